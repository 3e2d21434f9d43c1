"""Kept measurements: exact, by shop, reused by every build, and never lost."""

from __future__ import annotations

import json
import sqlite3
import subprocess
import sys
from pathlib import Path
from threading import Thread

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopstep.cli.main import run
from shopstep.desk import Wish
from shopstep.model.codec import decode, encode
from shopstep.model.measure import SEVERAL, MeasureQuestion, Reading
from shopstep.model.plan import Measured, PlanRefused, PlanRequest
from shopstep.planner import ask_measurements, make_plan
from shopstep.present.readings import (
    kept_words,
    origin_words,
    pick_value,
    range_complaint,
    spread_of,
)
from shopstep.storage.file_problem import SessionFileError
from shopstep.storage.measurements import MeasurementFile
from shopstep.units import Length, parse_length
from shopstep.wiring.desks import open_desk
from tests.floor import BEGIN_S, FILE, floor_request, floor_text

BUILD = str(FILE)
NOW = ["--now", "2026-01-15T18:00:00+00:00"]


def read_off(
    name: str, *texts: str, round_: str = "r1", at_s: int = BEGIN_S
) -> tuple[Reading, ...]:
    """Readings of one round."""
    return tuple(Reading(name, parse_length(text), at_s, round_) for text in texts)


def place(tmp_path: Path) -> Path:
    """Where the command line keeps measurements in a test."""
    return tmp_path / "data" / "shopstep" / "measurements.db"


def shelf_build(tmp_path: Path, several: str) -> str:
    """The floor with a rule for several readings of the board."""
    file = tmp_path / "own.yaml"
    text = floor_text().replace("    several: thickest\n", f"    several: {several}\n", 1)
    file.write_text(text, encoding="utf-8")
    return str(file)


# the file


def test_readings_come_back_exactly_and_in_the_order_of_reading(tmp_path: Path) -> None:
    file = MeasurementFile(tmp_path / "deep" / "m.db")
    odd = (Reading("board", Length(19_050_001), 7, "r"), Reading("board", Length(1), 8, "r"))
    file.keep("garage", odd)
    assert MeasurementFile(file.path).kept("garage") == {"board": odd}
    assert file.kept("elsewhere") == {}
    assert file.shops() == ("garage",)


def test_a_newer_round_takes_the_place_of_an_older_one_which_stays_in_the_file(
    tmp_path: Path,
) -> None:
    file = MeasurementFile(tmp_path / "m.db")
    file.keep("garage", read_off("board", "3/4 in", "25/32 in"))
    file.keep("garage", read_off("width", "16 in"))
    file.keep("garage", read_off("board", "11/16 in", round_="r2"))
    file.keep("neighbour's eights", read_off("board", "5/8 in", round_="r3"))
    kept = file.kept("garage")
    assert [reading.value for reading in kept["board"]] == [Length.inches("11/16")]
    assert [reading.value for reading in kept["width"]] == [Length.inches(16)]
    with sqlite3.connect(file.path) as connection:
        assert connection.execute("SELECT count(*) FROM reading").fetchone() == (5,)
    connection.close()


def test_what_is_put_away_counts_no_more_and_is_not_lost(tmp_path: Path) -> None:
    file = MeasurementFile(tmp_path / "m.db")
    file.keep("garage", read_off("board", "3/4 in", "25/32 in"))
    assert file.put_away("garage", "board", BEGIN_S) == 2
    assert file.put_away("garage", "board", BEGIN_S) == 0
    assert file.kept("garage") == {}
    assert file.shops() == ()
    with sqlite3.connect(file.path) as connection:
        assert connection.execute("SELECT count(*) FROM reading").fetchone() == (2,)
    connection.close()


def test_looking_makes_no_file(tmp_path: Path) -> None:
    file = MeasurementFile(tmp_path / "deep" / "m.db")
    assert (file.kept("garage"), file.shops(), file.put_away("garage", "x", 1)) == ({}, (), 0)
    assert list(tmp_path.iterdir()) == []


def test_an_empty_file_is_filled_as_if_it_were_not_there(tmp_path: Path) -> None:
    file = MeasurementFile(tmp_path / "m.db")
    file.path.touch()
    assert file.kept("garage") == {}
    file.keep("garage", read_off("board", "3/4 in"))
    assert len(file.kept("garage")["board"]) == 1


def foreign(path: Path) -> bytes:
    """A database of another program, in the write-ahead mode that opening would end."""
    with sqlite3.connect(path) as connection:
        connection.execute("PRAGMA journal_mode=WAL")
        connection.execute("CREATE TABLE t (x)")
    connection.close()
    return path.read_bytes()


@pytest.mark.parametrize(
    "data", [b"hello", b"x" * 5000, b"SQLite format 3\x00", b"SQLite format 3\x00" + b"\x00" * 500]
)
def test_what_is_no_measurement_file_is_told_and_left_as_it_is(data: bytes, tmp_path: Path) -> None:
    file = MeasurementFile(tmp_path / "m.db")
    file.path.write_bytes(data)
    for use in (lambda: file.kept("a"), lambda: file.keep("a", read_off("b", "1 in"))):
        with pytest.raises(SessionFileError, match=r"m\.db is"):
            use()
    assert file.path.read_bytes() == data


def test_a_database_of_another_program_is_not_touched(tmp_path: Path) -> None:
    file = MeasurementFile(tmp_path / "m.db")
    data = foreign(file.path)
    with pytest.raises(SessionFileError, match="another program"):
        file.keep("a", read_off("b", "1 in"))
    assert file.path.read_bytes() == data


def test_a_file_that_was_cut_off_is_told_and_left_as_it_is(tmp_path: Path) -> None:
    file = MeasurementFile(tmp_path / "m.db")
    file.keep("garage", tuple(Reading(f"name_{n}", Length(n), 0, "r") for n in range(400)))
    data = file.path.read_bytes()
    file.path.write_bytes(data[: len(data) // 2])
    with pytest.raises(SessionFileError, match="copy"):
        file.kept("garage")
    assert file.path.read_bytes() == data[: len(data) // 2]


def test_a_file_of_a_newer_version_is_left_alone(tmp_path: Path) -> None:
    file = MeasurementFile(tmp_path / "m.db")
    file.keep("garage", read_off("board", "3/4 in"))
    with sqlite3.connect(file.path) as connection:
        connection.execute("PRAGMA user_version=9")
    connection.close()
    with pytest.raises(SessionFileError, match="newer version"):
        file.kept("garage")


def test_readings_are_kept_all_or_none(tmp_path: Path) -> None:
    file = MeasurementFile(tmp_path / "m.db")
    file.keep("garage", read_off("board", "3/4 in"))
    wrong = (*read_off("width", "16 in"), Reading("length", Length(-1), 0, "r"))
    with pytest.raises(SessionFileError):
        file.keep("garage", wrong)
    assert list(file.kept("garage")) == ["board"]


def test_several_writers_at_once_lose_nothing(tmp_path: Path) -> None:
    path = tmp_path / "m.db"

    def write(worker: int) -> None:
        for number in range(10):
            MeasurementFile(path).keep("garage", read_off(f"name_{worker}_{number}", "3/4 in"))

    workers = [Thread(target=write, args=(worker,)) for worker in range(4)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    assert len(MeasurementFile(path).kept("garage")) == 40


WRITER = """
import sys
from pathlib import Path
from shopstep.model.measure import Reading
from shopstep.storage.measurements import MeasurementFile
from shopstep.units import Length
file = MeasurementFile(Path(sys.argv[1]))
for number in range(10_000):
    pair = tuple(Reading(f"n{number}", Length(nm), 0, "r") for nm in (1, 2))
    file.keep("garage", pair)
    print(number, flush=True)
"""


def test_what_was_said_to_be_kept_is_there_after_a_kill(tmp_path: Path) -> None:
    path = tmp_path / "m.db"
    writer = subprocess.Popen(
        [sys.executable, "-c", WRITER, str(path)], stdout=subprocess.PIPE, text=True,
        cwd=FILE.parent.parent,
    )  # fmt: skip
    assert writer.stdout is not None
    said = [int(writer.stdout.readline()) for _ in range(20)]
    writer.kill()
    said += [int(line) for line in writer.stdout.read().split()]
    writer.wait()
    writer.stdout.close()
    kept = MeasurementFile(path).kept("garage")
    assert {f"n{number}" for number in said} <= set(kept)
    assert all(len(pair) == 2 for pair in kept.values())


# which value counts


@given(st.lists(st.integers(1, 10**9), min_size=1, max_size=9), st.sampled_from(SEVERAL))
def test_the_value_that_counts_lies_within_the_spread(values: list[int], several: str) -> None:
    readings = tuple(Reading("b", Length(nm), 0, "r") for nm in values)
    value = pick_value(readings, several).nm
    assert min(values) <= value <= max(values)
    assert spread_of(readings).nm == max(values) - min(values)
    wanted = {"latest": values[-1], "thickest": max(values), "thinnest": min(values)}
    if several in wanted:
        assert value == wanted[several]
    else:
        assert abs(value * len(values) - sum(values)) * 2 <= len(values)


def test_where_a_value_comes_from_is_told_with_the_spread() -> None:
    three = read_off("board", "3/4 in", "25/32 in", "49/64 in")
    assert origin_words(three[:1], "thickest", "in") == "kept"
    assert origin_words(three, "thickest", "in") == (
        "kept (thickest of 3 readings, spread 1/32 in)"
    )
    assert kept_words(three, "thickest", "in", "UTC") == (
        "25/32 in, thickest of 3 readings (3/4 in, 25/32 in, 49/64 in; spread 1/32 in),"
        " Thu 15 Jan 2026"
    )


def test_the_ends_of_a_range_belong_to_it() -> None:
    question = MeasureQuestion("b", "", Length(5), Length(4), Length(6))
    assert [range_complaint(question, Length(nm), "in") != "" for nm in (3, 4, 6, 7)] == [
        True, False, False, True,
    ]  # fmt: skip


def test_a_build_says_what_it_asks_for_with_ranges_as_lengths() -> None:
    asks = ask_measurements(floor_request().build, (), (), "")
    first = asks.questions[0]
    assert (asks.title, asks.display) == ("Screened hive floor", "in")
    assert (first.name, first.usual, first.least, first.most) == (
        "box_width", Length.inches("16.25"), Length.inches(12), Length.inches(24),
    )  # fmt: skip


# the plan


def keep_in(tmp_path: Path, *readings: Reading, shop: str = "bench") -> None:
    """Keep readings where the command line finds them."""
    MeasurementFile(place(tmp_path)).keep(shop, readings)


def measured(request: PlanRequest) -> dict[str, Measured]:
    """The plan's measurements by name."""
    return {item.name: item for item in make_plan(request).measured}


def test_what_is_given_comes_before_what_is_kept_and_that_before_the_usual(tmp_path: Path) -> None:
    keep_in(tmp_path, *read_off("box_width", "16 3/8 in"), *read_off("box_length", "20 in"))
    wish = Wish(BUILD, settings=(("box_width", "16 1/2 in"),))
    found = measured(open_desk().request(wish, BEGIN_S))
    assert (found["box_width"].value, found["box_width"].origin) == (Length.inches("16.5"), "given")
    assert (found["box_length"].value, found["box_length"].origin) == (Length.inches(20), "kept")
    assert (found["board_thickness"].usual, found["board_thickness"].origin) == (True, "usual")


def test_the_request_alone_makes_the_same_plan_again_whatever_is_kept_later(
    tmp_path: Path,
) -> None:
    keep_in(tmp_path, *read_off("panel_thickness", "12.23 mm"), *read_off("other", "1 in"))
    request = open_desk().request(Wish(BUILD), BEGIN_S)
    first = make_plan(request)
    keep_in(tmp_path, *read_off("panel_thickness", "11 mm", round_="r2"))
    stored = decode(PlanRequest, json.loads(json.dumps(encode(request))))
    assert stored == request
    assert make_plan(stored) == first
    assert next(m.value for m in first.measured if m.name == "panel_thickness") == Length.mm(
        "12.23"
    )


@pytest.mark.parametrize(
    ("several", "value"), [("thickest", "25/32"), ("thinnest", "47/64"), ("latest", "3/4")]
)
def test_the_build_says_which_of_several_readings_counts(
    several: str, value: str, tmp_path: Path
) -> None:
    keep_in(tmp_path, *read_off("board_thickness", "25/32 in", "47/64 in", "3/4 in"))
    build = shelf_build(tmp_path, several)
    board = measured(open_desk().request(Wish(build), BEGIN_S))["board_thickness"]
    assert board.value == Length.inches(value)
    assert board.origin == f"kept ({several} of 3 readings, spread 3/64 in)"


def test_the_mean_of_readings_enters_the_plan_to_the_nanometre(tmp_path: Path) -> None:
    keep_in(tmp_path, *read_off("board_thickness", "25/32 in", "47/64 in", "3/4 in"))
    build = shelf_build(tmp_path, "mean")
    board = measured(open_desk().request(Wish(build), BEGIN_S))["board_thickness"]
    assert board.value == Length(round((19_843_750 + 18_653_125 + 19_050_000) / 3))


def test_what_one_build_asked_for_is_reused_by_another(tmp_path: Path) -> None:
    assert run(["measure", BUILD, "--set", "box_width=16 3/8 in"]) == 0
    other = tmp_path / "other.yaml"
    other.write_text(floor_text().replace("id: screened-floor", "id: other"), encoding="utf-8")
    found = measured(open_desk().request(Wish(str(other)), BEGIN_S))
    assert found["box_width"].value == Length.inches("16.375")


def test_a_kept_value_that_a_build_cannot_take_is_refused_and_called_kept(tmp_path: Path) -> None:
    keep_in(tmp_path, *read_off("box_width", "9 in"))
    with pytest.raises(PlanRefused) as refused:
        open_desk().plan(Wish(BUILD), BEGIN_S)
    (finding,) = refused.value.findings
    assert "box_width is 9 in" in finding.text
    assert "what shop 'bench' has kept" in finding.remedy


def test_the_plan_says_where_each_number_comes_from(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    keep_in(tmp_path, *read_off("board_thickness", "25/32 in", "3/4 in"))
    assert run(["plan", BUILD, "--set", "box_width=16 1/2 in"]) == 0
    rows = capsys.readouterr().out.splitlines()
    told = {row.split()[0]: row for row in rows if row.startswith("  ")}
    assert told["box_width"].endswith("16 1/2 in  given")
    assert told["board_thickness"].endswith("(thickest of 2 readings, spread 1/32 in)")
    assert told["box_length"].endswith("usual value, measure yours")


def test_a_plan_stored_before_origins_were_known_is_still_read() -> None:
    plan, request = make_plan(floor_request()), floor_request()
    old = encode(plan)
    for item in old["measured"]:
        del item["origin"]
    del old["finest"]
    back = decode(type(plan), old)
    assert {item.origin for item in back.measured} == {""}
    old_request = encode(request)
    del old_request["origins"]
    del old_request["shop"]["finest"]
    assert decode(PlanRequest, old_request) == request


# the command


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
