"""new, schema, compare and fit on the command line: what they print, write, and exit with."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from ruamel.yaml import YAML

from shopstep.cli.main import run
from shopstep.planner import build_schema
from tests.floor import FILE, floor_text
from tests.meeting_builds import box_text, rimmed_floor_text
from tests.schema_checker import faults

ROOT = FILE.parent.parent
SHIPPED = [*sorted((ROOT / "builds").glob("*.yaml")), ROOT / "assets" / "new-build.yaml"]

WHOLE = [file for file in SHIPPED if "\nparent:" not in file.read_text(encoding="utf-8")]
"""Those that say everything themselves."""


def properties_of(schema: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    """Every property that the schema names anywhere, with its path."""
    for name, inner in schema.get("properties", {}).items():
        yield name, inner
    for kind, inner in schema.get("$defs", {}).items():
        for name, found in properties_of(inner):
            yield f"{kind}.{name}", found


def test_every_field_of_the_schema_says_what_it_is() -> None:
    found = dict(properties_of(build_schema()))
    assert len(found) > 120
    for name, field in found.items():
        assert len(field.get("description", "").split()) >= 2, name


def test_every_entry_of_the_schema_is_described_and_refuses_other_keys() -> None:
    definitions: Any = build_schema()["$defs"]
    for name, entry in definitions.items():
        assert entry["description"], name
        assert entry["additionalProperties"] is False, name


def test_the_schema_is_printed_as_json_that_says_its_dialect(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """JSON Schema draft 2020-12: the dialect's own address is the value of ``$schema``."""
    assert run(["schema"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert document["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert {"schema", "id", "parts", "steps"} <= set(document["required"])


@pytest.mark.parametrize("file", WHOLE, ids=lambda file: file.stem)
def test_what_ships_obeys_the_published_schema(file: Path) -> None:
    schema = build_schema()
    data = YAML(typ="safe", pure=True).load(file.read_text(encoding="utf-8"))
    assert faults(schema, data, schema) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("schema: 1", "schema: 2"),
        ("revision: 1", "revision: 0"),
        ("form: board", "form: bord"),
        ("    title: side rail", "    titel: side rail"),
        ("kind: bevel", "kind: bevle"),
        ("minutes: 5", "minutes: many"),
        ("  fit/mark:", "  fit-mark:"),
        ("at_once: true", "at_once: 3"),
    ],
)
def test_the_published_schema_refuses_what_the_program_refuses(old: str, new: str) -> None:
    schema = build_schema()
    text = floor_text()
    assert old in text
    assert faults(schema, YAML(typ="safe", pure=True).load(text.replace(old, new, 1)), schema)


def test_a_new_build_is_written_checks_and_plans(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(["new", "herb-box"]) == 0
    assert "shopstep check herb-box.yaml" in capsys.readouterr().out
    text = (tmp_path / "herb-box.yaml").read_text(encoding="utf-8")
    assert "\nid: herb-box\n" in text
    assert "\ntitle: Herb box\n" in text
    for drain in ("holes", "lining"):
        assert run(["check", "herb-box.yaml", "--set", f"drain={drain}"]) == 0
    capsys.readouterr()
    assert run(["plan", "herb-box.yaml", "--units", "2", "--json"]) == 0
    plan = json.loads(capsys.readouterr().out)
    assert {part["name"] for part in plan["parts"]} == {"side", "end_piece", "bottom"}
    assert plan["buy"]


@pytest.mark.parametrize(
    ("length", "bottom_width"), [("12 in", "7 15/16 in"), ("48 in", "7 15/16 in")]
)
def test_the_new_build_is_right_at_both_ends_of_its_range(
    length: str, bottom_width: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """By hand: 9 − 2×3/4 clear, plus 2×1/4 of groove, less 1/16 play; 1/4 in shorter than asked."""
    file = str(SHIPPED[-1])
    assert run(["plan", file, "--set", f"place_length={length}", "--json"]) == 0
    parts = {p["name"]: p for p in json.loads(capsys.readouterr().out)["parts"]}
    assert parts["bottom"]["width"]["text"] == bottom_width
    inches = int(length.split()[0])
    assert parts["side"]["length"]["nm"] == inches * 25_400_000 - 6_350_000


def test_a_new_build_says_why_each_thing_stands_there() -> None:
    lines = SHIPPED[-1].read_text(encoding="utf-8").splitlines()
    sections = [i for i, line in enumerate(lines) if line[:1].isalpha() and line.endswith(":")]
    commented = [i for i in sections if lines[i - 1].startswith("#")]
    assert len(commented) >= 8


def test_a_file_that_is_there_is_never_written_over(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "mine.yaml"
    file.write_text("mine", encoding="utf-8")
    assert run(["new", "herb-box", "--to", str(file)]) == 4
    assert file.read_text(encoding="utf-8") == "mine"
    assert "stays as it is" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("arguments", "code", "hint"),
    [
        (["new", "Herb Box"], 2, "for example herb-box"),
        (["new", "9lives"], 2, "a letter first"),
        (["new", "a" * 61], 2, "up to 60"),
        (["new", "herb-box", "--to", "herb-box.txt"], 2, "end it in .yaml"),
        (["new", "herb-box", "--to", "no/such/folder/x.yaml"], 4, "no/such/folder"),
        (["new"], 2, "NAME"),
        (["compare", str(FILE)], 2, "NEW"),
        (["compare", str(FILE), "screened-flor"], 2, "did you mean 'screened-floor'?"),
        (["compare", str(FILE), str(FILE), "--set", "box_widht=1 in"], 2, "'box_width'?"),
        (["compare", str(FILE), str(FILE), "--set", "box_width=40 in"], 1, "works from 12 in"),
        (["fit", str(FILE)], 2, "two builds or more"),
        (["fit"], 2, "BUILDS"),
        (["fit", str(FILE), "nothing-here"], 2, "no build 'nothing-here'"),
        (["plan", str(FILE), "--only", "dor"], 2, "did you mean 'door'?"),
        (["check", str(FILE), "--only", "door,,tray"], 2, "write for example door,tray"),
    ],
)
def test_wrong_words_get_a_sentence_and_an_exit_code(
    arguments: list[str],
    code: int,
    hint: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(arguments) == code
    said = capsys.readouterr().err
    assert hint in said
    assert "Traceback" not in said
    assert not list(tmp_path.rglob("*.yaml"))


def test_builds_that_go_together_exit_0_and_those_that_do_not_exit_1(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    floor, box = tmp_path / "floor.yaml", tmp_path / "box.yaml"
    floor.write_text(rimmed_floor_text(), encoding="utf-8")
    box.write_text(box_text(), encoding="utf-8")
    arguments = ["fit", str(floor), str(box), "--set", "box_width=16 1/2 in"]
    assert run(arguments) == 0
    assert "they go together" in capsys.readouterr().out
    assert run([*arguments, "--json", "--show", "mm"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert document["meetings"][0]["mine"]["text"].endswith(" mm")
    box.write_text(box_text().replace("width: end_piece.length + 2*", "width: end_piece.length + "))
    assert run(arguments) == 1
    said = capsys.readouterr().out
    assert "they do not go together" in said
    assert "MISSED" in said


def test_settings_go_to_the_build_that_asks_for_them(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    floor, box = tmp_path / "floor.yaml", tmp_path / "box.yaml"
    floor.write_text(rimmed_floor_text(), encoding="utf-8")
    box.write_text(box_text(), encoding="utf-8")
    assert run(["fit", str(floor), str(box), "--set", "panel_thickness=1/2 in"]) == 0
    assert "panel_thickness: 1/2 in" in capsys.readouterr().out


def test_a_comparison_is_printed_and_given_as_json(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    newer = tmp_path / "newer.yaml"
    text = floor_text().replace("landing: 2 in", "landing: 2 1/2 in")
    newer.write_text(text.replace("revision: 1", "revision: 2", 1), encoding="utf-8")
    assert run(["compare", str(FILE), str(newer)]) == 0
    assert "changed: left side rail, 21 7/8 in" in capsys.readouterr().out
    assert run(["compare", str(FILE), str(newer), "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert (document["old"]["revision"], document["new"]["revision"]) == (1, 2)
    assert run(["compare", str(FILE), str(FILE)]) == 0
    assert "nothing changes" in capsys.readouterr().out


def test_a_build_file_of_50_mb_is_refused_by_its_size_before_it_is_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "b.yaml"
    with file.open("wb") as out:
        out.truncate(50_000_000)

    def refuse(path: Path) -> bytes:
        raise AssertionError(f"{path} was read")

    monkeypatch.setattr(Path, "read_bytes", refuse)
    assert run(["check", str(file)]) == 2
    assert "has 50,000,000 bytes; 1,000,000 is the most" in capsys.readouterr().err


def test_a_byte_that_is_no_utf_8_is_told_with_its_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "b.yaml"
    data = floor_text().encode().replace(b"title: side rail", b"title: side rail \xe9", 1)
    file.write_bytes(data)
    assert run(["check", str(file)]) == 2
    line = data[: data.index(b"\xe9")].count(b"\n") + 1
    assert f"line {line}: " in capsys.readouterr().err


@pytest.mark.parametrize("command", ["new", "schema", "compare", "fit"])
def test_the_commands_have_help_with_an_example_and_stand_in_the_readme(
    command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run([command, "--help"]) == 0
    assert "Example" in capsys.readouterr().out
    assert f"`shopstep {command}" in (ROOT / "README.md").read_text(encoding="utf-8")


def test_the_shelf_shows_numbers_where_the_file_has_sums(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run(["builds"]) == 0
    said = capsys.readouterr().out
    # of the file: box_length - 2*board_thickness + 5/8 in, with 19 7/8 in and 3/4 in as usual
    asked = "top_bar_length: usually 19 in; 18 7/8 in to 19 1/8 in, with the others as usual"
    assert asked in " ".join(said.split())
    assert max(map(len, said.splitlines())) <= 78
    assert "if bird is" not in said
    assert "  box_width: usually 16 1/4 in; 12 in to 24 in\n" in said
