"""Builds from keeper to keeper: what is packed lands unchanged, what is not right does not land."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from shopstep.cli.main import run
from shopstep.model.plan import BuildFileError, BuildText
from shopstep.storage.folders import data_folder, own_builds_folder
from shopstep.storage.package_file import Package, pack_bytes, read_package
from tests.floor import FILE, floor_text
from tests.hostile_packages import ATTACKS, GOOD, packed

CHILD = """schema: 1
id: club-floor
revision: 2
title: Club floor
parent: screened-floor
"""


def _all_files(folder: Path) -> set[str]:
    return {str(path) for path in folder.rglob("*")}


def test_there_are_attacks_enough() -> None:
    assert len(ATTACKS) >= 40


def test_without_an_attack_the_same_package_lands(tmp_path: Path) -> None:
    file = tmp_path / "theirs.zip"
    file.write_bytes(packed())
    assert run(["unpack", str(file)]) == 0
    assert (own_builds_folder() / "shelf-box" / "shelf-box.yaml").read_text("utf-8") == GOOD


@pytest.mark.parametrize("name", ATTACKS)
def test_a_hostile_package_is_refused_with_a_sentence_and_nothing_lands(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "theirs.zip"
    file.write_bytes(ATTACKS[name]())
    before = _all_files(tmp_path)
    assert run(["unpack", str(file)]) in (1, 2, 4)
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.startswith("shopstep: ")
    assert "Traceback" not in told.err
    assert len(told.err) < 600
    assert all(letter.isprintable() or letter == "\n" for letter in told.err)
    assert _all_files(tmp_path) == before
    assert not own_builds_folder().exists()


@pytest.mark.parametrize("seed", range(4))
def test_a_damaged_package_is_whole_or_refused(seed: int, tmp_path: Path) -> None:
    package = Package("a.yaml", (BuildText("a.yaml", floor_text()),), (("box_width", "16 in"),))
    good, dice = pack_bytes(package), random.Random(seed)
    file = tmp_path / "a.zip"
    refused = 0
    for _ in range(100):
        data = bytearray(good)
        for _ in range(dice.randint(1, 3)):
            data[dice.randrange(len(data))] = dice.randrange(256)
        if dice.random() < 0.3:
            del data[dice.randrange(len(data)) :]
        file.write_bytes(data)
        try:
            assert read_package(file).texts == package.texts
        except BuildFileError:
            refused += 1
    assert refused > 50


def test_what_is_packed_lands_unchanged_and_plans_alike(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "floor.zip"
    wide = ["--set", "box_width=16 1/2 in"]
    assert run(["pack", "screened-floor", "--to", str(file), *wide]) == 0
    assert run(["unpack", str(file), "--as", "neighbours-floor", *wide]) == 0
    assert "Every part is the same." in capsys.readouterr().out
    landed = own_builds_folder() / "neighbours-floor" / "neighbours-floor.yaml"
    assert landed.read_text(encoding="utf-8") == floor_text()
    capsys.readouterr()
    assert run(["check", "neighbours-floor"]) == 0


def test_each_part_that_differs_is_named_with_both_sizes(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "floor.zip"
    run(["pack", "screened-floor", "--to", str(file), "--set", "box_width=16 1/2 in"])
    run(["unpack", str(file), "--as", "mine", "--set", "box_width=16 1/4 in"])
    said = " ".join(capsys.readouterr().out.split())
    assert "box_width: 16 1/2 in → 16 1/4 in" in said
    # by hand: the back rail stands between the side rails, 3/4 in each
    assert "back rail, 15 in × 1 1/4 in × 3/4 in → 14 3/4 in × 1 1/4 in × 3/4 in" in said
    assert "side rail" not in said, "its length hangs on the box's length alone"


def test_a_build_goes_with_its_parent_and_stands_apart_from_the_shelf_s_own(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "club-floor.yaml").write_text(CHILD, encoding="utf-8")
    changed = floor_text().replace("title: Screened hive floor", "title: Changed hive floor", 1)
    (tmp_path / "screened-floor.yaml").write_text(changed, encoding="utf-8")
    file = tmp_path / "club.zip"
    assert run(["pack", str(tmp_path / "club-floor.yaml"), "--to", str(file)]) == 0
    assert run(["unpack", str(file)]) == 0
    capsys.readouterr()
    assert run(["builds"]) == 0
    shelf = capsys.readouterr().out
    assert "club-floor: Club floor, revision 2" in shelf
    assert "Screened hive floor" in shelf, "the shipped build is what it was"
    beside = own_builds_folder() / "club-floor" / "screened-floor.yaml"
    assert "Changed hive floor" in beside.read_text(encoding="utf-8")
    assert run(["plan", "club-floor"]) == 0


def test_nothing_is_written_over(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "floor.zip"
    assert run(["pack", "screened-floor", "--to", str(file)]) == 0
    before = file.read_bytes()
    assert run(["pack", "screened-floor", "--to", str(file)]) == 4
    assert file.read_bytes() == before
    assert run(["unpack", str(file), "--as", "mine"]) == 0
    assert run(["unpack", str(file), "--as", "mine"]) == 0, "the same may land again"
    mine = own_builds_folder() / "mine" / "mine.yaml"
    mine.write_text(floor_text() + "# changed by me\n", encoding="utf-8")
    capsys.readouterr()
    assert run(["unpack", str(file), "--as", "mine"]) == 4
    assert "--as" in capsys.readouterr().err
    assert mine.read_text(encoding="utf-8").endswith("# changed by me\n")
    assert not [path for path in own_builds_folder().iterdir() if path.name.startswith(".")]


def test_a_build_that_ships_is_not_put_out_of_sight(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "floor.zip"
    assert run(["pack", "screened-floor", "--to", str(file)]) == 0
    assert run(["unpack", str(file)]) == 4
    assert "--as" in capsys.readouterr().err
    assert not own_builds_folder().exists()


def test_nobody_is_named_unless_they_say_so(tmp_path: Path) -> None:
    home = str(data_folder())
    file, other = tmp_path / "a.zip", tmp_path / "b.zip"
    assert run(["pack", str(FILE), "--to", str(file), "--set", "box_width=16 1/2 in"]) == 0
    assert run(["pack", str(FILE), "--to", str(other), "--set", "box_width=16 1/2 in"]) == 0
    assert file.read_bytes() == other.read_bytes(), "no day, no machine"
    package = read_package(file)
    assert package.note == ""
    assert package.measured == (("box_width", "16 1/2 in"),)
    assert str(FILE.parent).encode() not in file.read_bytes()
    assert home.encode() not in file.read_bytes()
    bare = tmp_path / "c.zip"
    assert run(["pack", str(FILE), "--to", str(bare), "--no-measurements", "--note", "Hello"]) == 0
    assert read_package(bare).measured == ()
    assert read_package(bare).note == "Hello"


def test_the_sheet_asks_for_every_measurement_with_a_blank(tmp_path: Path) -> None:
    file = tmp_path / "a.zip"
    assert run(["pack", "screened-floor", "--to", str(file)]) == 0
    sheet = read_package(file).sheet
    names = ("box_width", "box_length", "board_thickness", "panel_thickness")
    assert all(f"({name})" in sheet for name in names)
    assert sheet.count("mine: ___") == len(names)
    assert max(map(len, sheet.splitlines())) <= 72
