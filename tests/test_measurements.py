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
from shopstep.model.plan import PlanRefused, PlanRequest
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
from tests.kept_readings import BUILD, measured, place, shelf_build


def read_off(
    name: str, *texts: str, round_: str = "r1", at_s: int = BEGIN_S
) -> tuple[Reading, ...]:
    """Readings of one round."""
    return tuple(Reading(name, parse_length(text), at_s, round_) for text in texts)


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
