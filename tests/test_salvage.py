"""Damaged session files: one sentence each, nothing overwritten, and whole events got back."""

from __future__ import annotations

import random
import sqlite3
from functools import cache
from pathlib import Path

import pytest

from shopstep.cli.main import run
from shopstep.session.events import Envelope
from shopstep.session.evolve import fold
from shopstep.storage.backups import back_up, backups_of
from shopstep.storage.file_problem import SessionFileError
from shopstep.storage.raw_pages import read_rows
from shopstep.storage.salvage import Salvaged, salvage
from shopstep.storage.session_check import check_session
from shopstep.storage.session_file import SessionFile
from tests.sample_plan import BEGIN_S, make_plan
from tests.session_bench import Play, first_events, make_request, moment_at

PAGE = 4096


def fill(path: Path) -> tuple[Envelope, ...]:
    """A session worked for a while; its events."""
    plan = make_plan()
    first = first_events(plan)
    play = Play()
    play.finish_until("u2/glue/spread")
    with SessionFile.create(path, make_request(), plan, first, moment_at(BEGIN_S), "bench") as file:
        for envelope in play.envelopes[len(first) :]:
            at = envelope.version - 1
            file.append(at, (envelope.event,), envelope.moment, "do", f"c{at}")
        return file.events_after(0)


@cache
def whole() -> bytes:
    """The bytes of a whole session file."""
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "a.session"
        fill(path)
        return path.read_bytes()


def cut(share: float) -> bytes:
    """The file up to a share of its length."""
    return whole()[: int(len(whole()) * share)]


def flipped(seed: int, count: int) -> bytes:
    """The file with some bits turned over."""
    dice, data = random.Random(seed), bytearray(whole())
    for _ in range(count):
        data[dice.randrange(len(data))] ^= 1 << dice.randrange(8)
    return bytes(data)


def blanked(page: int) -> bytes:
    """The file with one page of zeros."""
    begin = page * PAGE
    return whole()[:begin] + bytes(PAGE) + whole()[begin + PAGE :]


def pages() -> int:
    """Pages of the whole file."""
    return len(whole()) // PAGE


DAMAGED = (
    [(f"cut at {n} of 16", lambda n=n: cut(n / 16)) for n in range(1, 16)]
    + [(f"flip {n}", lambda n=n: flipped(n, 1)) for n in range(20)]
    + [(f"many flips {n}", lambda n=n: flipped(n, 200)) for n in range(10)]
    + [(f"blank page {n}", lambda n=n: blanked(n)) for n in range(12)]
    + [
        ("zeros", lambda: bytes(20_000)),
        ("noise", lambda: random.Random(1).randbytes(20_000)),
        ("foreign head", lambda: b"%PDF-1.7\n" + whole()[9:]),
        ("text before it", lambda: b"hello" + whole()),
        ("twice", lambda: whole() + whole()),
    ]
)


@pytest.mark.parametrize(("name", "make"), DAMAGED, ids=[name for name, _ in DAMAGED])
def test_a_damaged_file_is_told_and_what_is_whole_comes_back(
    name: str, make: object, tmp_path: Path
) -> None:
    damaged = make()  # type: ignore[operator]
    path, target = tmp_path / "bad.session", tmp_path / "good.session"
    path.write_bytes(damaged)
    report = check_session(path)
    if report.is_whole:
        assert report.events > 0
    assert "Traceback" not in report.problem
    found = try_to_salvage(path, target)
    if isinstance(found, str):
        assert found.endswith(".")
        assert not target.exists()
    else:
        check_what_came_back(name, found, target)
    assert path.read_bytes() == damaged
    leftovers = {entry.name for entry in tmp_path.iterdir()} - {"bad.session", "good.session"}
    assert leftovers == set()


def try_to_salvage(path: Path, target: Path) -> Salvaged | str:
    """What came out of it, or the sentence that nothing did."""
    try:
        return salvage(path, target)
    except SessionFileError as nothing:
        return nothing.text


def check_what_came_back(name: str, found: Salvaged, target: Path) -> None:
    """Events from the first on without a gap, and none that was not there."""
    with SessionFile.open(target) as file:
        got = file.events_after(0)
    assert len(got) == found.events > 0
    assert fold(got).version == found.events
    if name.startswith(("cut", "blank", "foreign")):
        assert [e.event for e in got] == [e.event for e in all_events()[: len(got)]]


@cache
def all_events() -> tuple[Envelope, ...]:
    """The events of the whole file."""
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        return fill(Path(folder) / "a.session")


def test_without_its_first_page_nothing_at_all_is_lost(tmp_path: Path) -> None:
    path, target = tmp_path / "bad.session", tmp_path / "good.session"
    path.write_bytes(blanked(0))
    assert salvage(path, target).events == len(all_events())


def test_a_copy_gives_what_the_file_has_lost(tmp_path: Path) -> None:
    path, target = tmp_path / "a.session", tmp_path / "good.session"
    events = fill(path)
    assert back_up(path, BEGIN_S) is not None
    path.write_bytes(path.read_bytes()[: 2 * PAGE])
    found = salvage(path, target)
    assert (found.events, found.lost, found.copies) == (len(events), 0, 1)


def test_events_behind_a_gap_are_told_and_left(tmp_path: Path) -> None:
    path, target = tmp_path / "a.session", tmp_path / "good.session"
    events = fill(path)
    connection = sqlite3.connect(path)
    connection.execute("UPDATE event SET body = '{' WHERE version = 5")
    connection.commit()
    connection.close()
    found = salvage(path, target)
    assert (found.events, found.lost) == (4, len(events) - 5)


def test_rows_read_by_pages_are_those_that_the_database_gives() -> None:
    """SQLite itself is the other side."""
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "a.session"
        path.write_bytes(whole())
        connection = sqlite3.connect(path)
        wanted = [
            row
            for table in ("session", "plan", "event")
            for row in connection.execute(f"SELECT * FROM {table}").fetchall()
        ]
        connection.close()
    found = list(read_rows(whole()))
    assert all(row in found for row in wanted)


def test_the_last_five_copies_are_kept_and_young_ones_are_enough(tmp_path: Path) -> None:
    path = tmp_path / "a.session"
    fill(path)
    made = [back_up(path, BEGIN_S + n * 300) for n in range(20)]
    assert [bool(copy) for copy in made] == [n % 2 == 0 for n in range(20)]
    copies = backups_of(path)
    assert len(copies) == 5
    assert copies[0].name == f"a.{_name(BEGIN_S + 18 * 300)}.session"
    assert check_session(copies[0]).is_whole


def _name(at_s: int) -> str:
    from datetime import UTC, datetime

    return datetime.fromtimestamp(at_s, UTC).strftime("%Y%m%dT%H%M%SZ")


def test_a_folder_that_takes_no_copy_does_no_harm(tmp_path: Path) -> None:
    path = tmp_path / "a.session"
    fill(path)
    (tmp_path / "backups").write_text("a file where the folder should be")
    assert back_up(path, BEGIN_S) is None
    assert check_session(path).is_whole


def test_the_commands_say_what_is_there_and_what_to_do(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "a.session"
    fill(path)
    assert run(["check-session", str(path)]) == 0
    assert "Whole: every page" in capsys.readouterr().out
    path.write_bytes(blanked(0))
    assert run(["check-session", str(path)]) == 4
    assert f"shopstep salvage {path}" in capsys.readouterr().out
    assert run(["salvage", str(path)]) == 0
    said = capsys.readouterr().out
    assert "a-salvaged.session" in said
    assert run(["salvage", str(path)]) == 4
    assert "is already there" in capsys.readouterr().err
    assert run(["check-session", str(tmp_path / "a-salvaged.session"), "--json"]) == 0
