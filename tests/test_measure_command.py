"""Measurements on the command line: kept by shop, typed line by line, refused in a sentence."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from shopstep.cli.main import run
from shopstep.desk import Wish
from shopstep.storage.measurements import MeasurementFile
from shopstep.units import Length
from shopstep.wiring.desks import open_desk
from tests.floor import BEGIN_S, FILE
from tests.kept_readings import BUILD, measured, place, shelf_build

NOW = ["--now", "2026-01-15T18:00:00+00:00"]


def test_measurements_are_kept_by_shop(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    eights = ["--shop", "neighbour's eights"]
    assert run(["measure", BUILD, "--set", "box_width=16 3/8 in", *NOW]) == 0
    assert run(["measure", BUILD, "--set", "box_width=14 in", *eights, *NOW]) == 2
    assert "--new" in capsys.readouterr().err
    assert run(["measure", BUILD, "--set", "box_width=14 in", *eights, "--new", *NOW]) == 0
    capsys.readouterr()
    assert run(["measure", "--show", *eights]) == 0
    said = capsys.readouterr().out
    assert said == "Kept for neighbour's eights:\n  box_width: 14 in, Thu 15 Jan 2026\n"
    assert run(["plan", BUILD, "--json", *eights]) == 0
    document = json.loads(capsys.readouterr().out)
    (width,) = [m for m in document["measurements"] if m["name"] == "box_width"]
    assert (width["value"]["text"], width["origin"]) == ("14 in", "kept")
    assert MeasurementFile(place(tmp_path)).shops() == ("bench", "neighbour's eights")


def test_a_shop_of_the_settings_keeps_its_own(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "config" / "shopstep" / "settings.toml"
    file.parent.mkdir(parents=True)
    file.write_text('usual_shop = "garage"\n[shops.garage]\ndisplay = "mm"\n', encoding="utf-8")
    assert run(["measure", BUILD, "--set", "box_width=413 mm"]) == 0
    assert run(["measure", "--show"]) == 0
    said = capsys.readouterr().out
    assert "Kept for garage:\n  box_width: 413 mm" in said


def test_the_same_name_set_again_is_one_more_reading_and_add_adds_to_them(
    capsys: pytest.CaptureFixture[str],
) -> None:
    board = ["measure", BUILD, "--set", "board_thickness=3/4 in"]
    assert run([*board, "--set", "board_thickness=25/32 in"]) == 0
    assert run(["measure", BUILD, "--add", "--set", "board_thickness=49/64 in"]) == 0
    assert "of 3 readings (3/4 in, 25/32 in, 49/64 in; spread 1/32 in)" in capsys.readouterr().out
    assert run(board) == 0
    assert "board_thickness: 3/4 in, " in capsys.readouterr().out


def test_what_is_forgotten_gives_way_to_the_usual_value(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run(["measure", BUILD, "--set", "box_width=16 3/8 in"]) == 0
    assert run(["measure", "--forget", "box_width"]) == 0
    assert run(["measure", "--show"]) == 0
    assert "Nothing is kept for bench yet." in capsys.readouterr().out
    assert measured(open_desk().request(Wish(BUILD), BEGIN_S))["box_width"].usual


def test_what_is_kept_is_printed_as_json_with_exact_lengths(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run(["measure", BUILD, "--set", "box_width=412.8 mm", *NOW]) == 0
    capsys.readouterr()
    assert run(["measure", "--show", "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == {
        "version": 1,
        "shop": "bench",
        "kept": {"box_width": [{"nm": 412_800_000, "at": "2026-01-15T18:00:00Z"}]},
    }


@pytest.mark.parametrize(
    ("arguments", "code", "hint"),
    [
        (["measure"], 2, "for which build"),
        (["measure", "screened-flor"], 2, "did you mean 'screened-floor'?"),
        (["measure", BUILD, "--set", "box_widht=16 in"], 2, "did you mean 'box_width'?"),
        (["measure", BUILD, "--set", "entrance_side=short"], 2, "is no length"),
        (["measure", BUILD, "--set", "box_width=16"], 2, "has no unit"),
        (["measure", BUILD, "--set", "box_width"], 2, "NAME=VALUE"),
        (["measure", BUILD, "--set", "box_width=9 in"], 1, "lies outside 12 in to 24 in"),
        (["measure", BUILD, "--forget", "box_width"], 2, "nothing is kept for 'box_width'"),
        (["measure", "--show", "--shop", "garage"], 2, "no shop 'garage'"),
        (["measure", BUILD, "--shop", "garage"], 2, "--new"),
    ],
)
def test_wrong_input_keeps_nothing_and_says_what_would_be_right(
    arguments: list[str], code: int, hint: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(arguments) == code
    assert hint in capsys.readouterr().err
    assert not place(tmp_path).exists()


def test_one_value_out_of_range_keeps_none_of_them(tmp_path: Path) -> None:
    pairs = ["--set", "box_length=20 in", "--set", "box_width=9 in"]
    assert run(["measure", BUILD, *pairs]) == 1
    assert not place(tmp_path).exists()


def test_a_damaged_file_is_a_file_problem_for_every_command(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    place(tmp_path).parent.mkdir(parents=True)
    place(tmp_path).write_bytes(b"no database")
    for arguments in (["measure", "--show"], ["plan", BUILD], ["measure", BUILD]):
        assert run(arguments) == 4
        assert "measurements.db is damaged" in capsys.readouterr().err
    assert place(tmp_path).read_bytes() == b"no database"


def talk(typed: str, *arguments: str) -> str:
    """Measure line by line in a process of its own; what it said."""
    done = subprocess.run(
        [sys.executable, "-m", "shopstep", "measure", *arguments, *NOW],
        input=typed, capture_output=True, text=True, check=False, cwd=FILE.parent.parent,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    return " ".join(done.stdout.split())


def test_line_by_line_takes_lengths_as_typed_skips_and_goes_back(tmp_path: Path) -> None:
    said = talk("16 3/8 in\n\nback\n50.8 cm\nquit\n", BUILD)
    assert "Hook the tape on the left." in said
    kept = MeasurementFile(place(tmp_path)).kept("bench")
    assert {name: readings[0].value for name, readings in kept.items()} == {
        "box_width": Length.inches("16.375"),
        "box_length": Length.inches(20),
    }


def test_line_by_line_says_what_is_wrong_and_keeps_a_doubtful_value_only_if_typed_twice(
    tmp_path: Path,
) -> None:
    said = talk("16\n9 in\n16 in\n9 in\n9 in\n9 in\n", BUILD)
    assert "has no unit" in said
    assert "9 in lies outside 12 in to 24 in" in said
    kept = MeasurementFile(place(tmp_path)).kept("bench")
    assert kept["box_width"][0].value == Length.inches(16)
    assert kept["box_length"][0].value == Length.inches(9)


def test_line_by_line_asks_for_more_readings_where_the_build_wants_several(tmp_path: Path) -> None:
    build = shelf_build(tmp_path, "thickest")
    said = talk("\n\n3/4 in\n25/32 in\n\n", build)
    assert "Another reading of the same" in said
    kept = MeasurementFile(place(tmp_path)).kept("bench")["board_thickness"]
    assert [reading.value for reading in kept] == [Length.inches("3/4"), Length.inches("25/32")]


# the keeper's own marks


@pytest.mark.parametrize(
    ("finest", "length", "shade"),
    [
        ("1/16 in", "22 3/16 in", "length a shade over"),
        ("1/64 in", "22 13/64 in", ""),
        ("0.5 mm", "22 13/64 in", ""),
    ],
)
def test_parts_are_shown_to_the_finest_mark_of_the_keepers_rule(
    finest: str, length: str, shade: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A rail is 2 in of landing longer than the box."""
    file = tmp_path / "config" / "shopstep" / "settings.toml"
    file.parent.mkdir(parents=True)
    file.write_text(f'[shops.bench]\nfinest = "{finest}"\n', encoding="utf-8")
    assert run(["plan", BUILD, "--set", "box_length=20 13/64 in"]) == 0
    said = capsys.readouterr().out
    row = said[said.index("left side rail") : said.index("right side rail")]
    assert length in row
    assert ("a shade" in row) == bool(shade)
    assert shade in " ".join(row.split())


@pytest.mark.parametrize("finest", ["3/16 in", "0 in", "2", "1 km"])
def test_what_is_no_mark_of_a_rule_is_refused(
    finest: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "config" / "shopstep" / "settings.toml"
    file.parent.mkdir(parents=True)
    file.write_text(f'[shops.bench]\nfinest = "{finest}"\n', encoding="utf-8")
    assert run(["plan", BUILD]) == 2
    said = capsys.readouterr().err
    assert "settings.toml, line 2" in said
    assert finest in said
