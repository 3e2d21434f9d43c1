"""The commands picture, drawing, prove and solid; and the files that they write."""

from __future__ import annotations

import io
import json
import os
import re
import subprocess
import sys
import xml.etree.ElementTree as ElementTree
import zipfile
from pathlib import Path

import numpy
import pytest
import trimesh

from shopstep.cli.main import run
from shopstep.solids.bodies import make_pieces
from shopstep.solids.exporting import write_3mf, write_stl
from shopstep.wiring.pictures import find_picture, picture_of
from tests.floor import FILE, floor_plan, floor_text

BUILD = str(FILE)
CORE = "{http://schemas.microsoft.com/3dmanufacturing/core/2015/02}"


def test_a_step_is_shown_on_the_terminal(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["picture", BUILD, "u1/glue/close_right"]) == 0
    said = capsys.readouterr().out
    assert said.startswith("glue/close_right: Close the frame\n")
    assert "1 right side rail" in said
    assert any("\u2800" < ch <= "\u28ff" for ch in said)
    assert run(["picture", BUILD, "jig/spacers"]) == 0
    assert "nothing to show" in capsys.readouterr().out


def test_pictures_are_written_one_by_one_and_on_one_sheet(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    one, sheet, folder = tmp_path / "one.svg", tmp_path / "all.svg", tmp_path / "each"
    assert run(["picture", BUILD, "glue/close_left", "--to", str(one)]) == 0
    assert run(["picture", BUILD, "--to", str(sheet)]) == 0
    assert run(["picture", BUILD, "--to", str(folder)]) == 0
    assert ElementTree.parse(one).getroot().tag.endswith("svg")
    files = sorted(folder.iterdir())
    assert folder / "glue-close_left.svg" in files
    assert (folder / "glue-close_left.svg").read_bytes() == one.read_bytes()
    titles = [file.read_text(encoding="utf-8").split("<title>")[1] for file in files]
    drawn = sheet.read_text(encoding="utf-8")
    assert all(title.split("</title>")[0] in drawn for title in titles)
    assert len(capsys.readouterr().out.splitlines()) == 2 + len(files)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["picture", BUILD, "glue/close_rigth"], "did you mean 'glue/close_right'"),
        (["picture", BUILD, "jig/spacers", "--to", "x.svg"], "nothing to show"),
        (["drawing", BUILD, "side_rail", "--to", "x.svg"], "'left side_rail' or 'right side_rail'"),
        (["drawing", BUILD, "left side rial", "--to", "x.svg"], "did you mean 'left side_rail'"),
        (["solid", BUILD, "--to", "floor.obj"], ".3mf or .stl, not as '.obj'"),
    ],
)
def test_a_wrong_word_is_answered_with_what_would_be_right(
    words: list[str], said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    monkeypatch.chdir(tmp_path)
    assert run(words) == 2
    assert said in capsys.readouterr().err
    assert list(tmp_path.glob("*.svg")) == []


def test_a_drawing_is_written(tmp_path: Path) -> None:
    file = tmp_path / "rail.svg"
    assert run(["drawing", BUILD, "right side_rail", "--to", str(file)]) == 0
    assert "inside (left) face" in file.read_text(encoding="utf-8")


def test_a_proof_is_told_and_its_exit_code_says_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["prove", BUILD]) == 0
    said = capsys.readouterr().out
    assert said.rstrip().endswith(
        "every joint meets, the order can be done, fasteners stay inside."
    )
    assert "glue/close_right: right side rail, from right" in said
    assert "fasteners" in said
    wrong = floor_text().replace("    adds: [right side_rail]\n", "")
    wrong = wrong.replace("      - {parts: [rear_head], from: right}\n",
                          "      - {parts: [rear_head], from: right}\n      - right side_rail\n"
                          "      - {parts: [tray], from: top}\n")  # fmt: skip
    wrong = wrong.replace("    bottom: foot\n", "    bottom: foot + 1/8 in\n", 1)
    file = tmp_path / "wrong.yaml"
    file.write_text(wrong, encoding="utf-8")
    assert run(["prove", str(file), "--json"]) == 1
    document = json.loads(capsys.readouterr().out)
    assert document["proved"] is False
    rules = {finding["rule"] for finding in document["findings"]}
    assert "shared_space" in rules
    assert all(finding["remedy"] for finding in document["findings"])


def test_a_build_that_does_not_say_what_it_adds_claims_no_order(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bare = re.sub(r"    adds:(?: .*\n|\n(?:      .*\n)+)", "", floor_text())
    assert "adds:" not in bare
    file = tmp_path / "bare.yaml"
    file.write_text(bare, encoding="utf-8")
    assert run(["prove", str(file)]) == 0
    said = capsys.readouterr().out
    assert "every joint meets; the order was not looked at" in said
    assert "Order: not looked at" in said


def test_what_a_fit_refuses_is_refused_before_any_solid(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run(["prove", BUILD, "--set", "box_width=99 in"]) == 1
    assert "24 in" in capsys.readouterr().err


def test_a_3mf_file_holds_every_piece_with_its_name_and_volume(tmp_path: Path) -> None:
    file = tmp_path / "floor.3mf"
    assert run(["solid", BUILD, "--to", str(file)]) == 0
    with zipfile.ZipFile(file) as package:
        assert set(package.namelist()) == {
            "[Content_Types].xml", "_rels/.rels", "3D/3dmodel.model",
        }  # fmt: skip
        model = ElementTree.fromstring(package.read("3D/3dmodel.model"))
    assert model.attrib["unit"] == "millimeter"
    pieces = {piece.label: piece for piece in make_pieces(floor_plan().parts)}
    objects = list(model.iter(f"{CORE}object"))
    assert {each.attrib["name"] for each in objects} == set(pieces)
    assert len(list(model.iter(f"{CORE}item"))) == len(objects)
    for each in objects:
        corners = [[float(v.attrib[k]) for k in "xyz"] for v in each.iter(f"{CORE}vertex")]
        faces = [
            [int(t.attrib[k]) for k in ("v1", "v2", "v3")] for t in each.iter(f"{CORE}triangle")
        ]
        mesh = trimesh.Trimesh(numpy.array(corners), numpy.array(faces))
        assert mesh.is_watertight
        own = pieces[each.attrib["name"]].body.volume()
        assert mesh.volume == pytest.approx(own, rel=1e-6)


def test_an_stl_file_is_read_by_a_second_library(tmp_path: Path) -> None:
    file = tmp_path / "floor.stl"
    assert run(["solid", BUILD, "--to", str(file)]) == 0
    mesh = trimesh.load(io.BytesIO(file.read_bytes()), file_type="stl", force="mesh")
    pieces = make_pieces(floor_plan().parts)
    whole = sum(float(piece.body.volume()) for piece in pieces)
    assert isinstance(mesh, trimesh.Trimesh)
    assert mesh.volume == pytest.approx(whole, rel=1e-5)


def test_solid_files_are_the_same_to_the_byte_each_time() -> None:
    pieces = make_pieces(floor_plan().parts)
    again = make_pieces(floor_plan().parts)
    assert write_3mf(pieces, "floor") == write_3mf(again, "floor")
    assert write_stl(pieces, "floor") == write_stl(again, "floor")


def test_a_picture_is_drawn_once_and_then_shown_without_the_solids() -> None:
    """The second interpreter finds it drawn, and a bench can show it."""
    code = (
        "from tests.floor import floor_plan\n"
        "from shopstep.wiring.pictures import picture_of\n"
        "lines = picture_of(floor_plan(), 'glue/close_right', 60, 20)\n"
        "import sys\n"
        "print(len(lines), 'manifold3d' in sys.modules, 'numpy' in sys.modules)\n"
    )
    said = [
        subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True,
                       cwd=FILE.parent.parent).stdout.split()
        for _ in range(2)
    ]  # fmt: skip
    assert said == [["20", "True", "True"], ["20", "False", "False"]]


def test_a_damaged_picture_is_drawn_again(tmp_path: Path) -> None:
    plan = floor_plan()
    first = find_picture(plan, "glue/close_stiffener")
    files = list(tmp_path.rglob("pictures/*.json"))
    assert len(files) == 1
    files[0].write_text("{", encoding="utf-8")
    assert find_picture(plan, "glue/close_stiffener") == first
    assert picture_of(plan, "jig/spacers") == ()


def test_an_output_without_braille_is_told_what_to_do(capsys: pytest.CaptureFixture[str]) -> None:
    del capsys
    done = subprocess.run(
        [sys.executable, "-m", "shopstep", "picture", BUILD, "glue/close_right"],
        capture_output=True, text=True, check=False, cwd=FILE.parent.parent,
        env={**os.environ, "PYTHONIOENCODING": "ascii"},
    )  # fmt: skip
    assert done.returncode == 2
    assert "--to picture.svg" in done.stderr
    assert done.stdout == ""


@pytest.mark.parametrize("command", ["picture", "drawing", "prove", "solid"])
def test_the_commands_have_help_with_an_example_and_stand_in_the_readme(
    command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run([command, "--help"]) == 0
    assert "Example" in capsys.readouterr().out
    readme = (FILE.parent.parent / "README.md").read_text(encoding="utf-8")
    assert f"`shopstep {command}" in readme
