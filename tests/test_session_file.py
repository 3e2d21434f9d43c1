"""The session file: what it keeps, what it refuses, and that both journals have one manner."""

from __future__ import annotations

import os
import sqlite3
import stat
import struct
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

import pytest

from shopstep.model.codec import digest, to_text
from shopstep.model.plan import Plan
from shopstep.session import events as e
from shopstep.session.evolve import fold
from shopstep.storage.event_text import UnknownEvent
from shopstep.storage.session_file import SessionFile, SessionFileError
from shopstep.storage.session_schema import APPLICATION_ID, SCHEMA
from shopstep.workbench import Journal, VersionTaken
from tests.sample_plan import BEGIN_S, make_plan
from tests.session_bench import MemoryJournal, first_events, make_request, moment_at

NOTES = (e.NoteTaken("", "knot ✓"), e.NoteTaken("all/rip/rail", "\ud800 lone"))


def create(path: Path, plan: Plan | None = None) -> SessionFile:
    """A new session file with the sample plan."""
    made = plan if plan is not None else make_plan()
    return SessionFile.create(
        path, make_request(), made, first_events(made), moment_at(BEGIN_S), "bench"
    )


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where the session file of a test stands."""
    return tmp_path / "floors.session"


@pytest.fixture(params=["memory", "file"])
def journal(request: pytest.FixtureRequest, path: Path) -> Iterator[Journal]:
    """Each of the two journals in turn."""
    if request.param == "memory":
        yield MemoryJournal()
        return
    with create(path) as file:
        yield file


def test_a_journal_gives_back_the_request_and_the_plan(journal: Journal) -> None:
    assert journal.request() == make_request()
    assert journal.plan(1) == make_plan()


def test_a_journal_begins_with_the_first_events(journal: Journal) -> None:
    envelopes = journal.events_after(0)
    assert tuple(one.event for one in envelopes) == first_events(make_plan())
    assert [one.version for one in envelopes] == [1, 2]
    assert {one.face for one in envelopes} == {"bench"}


def test_a_journal_keeps_events_with_their_moment_face_and_command(journal: Journal) -> None:
    moment = e.Moment(BEGIN_S + 9, "Europe/Dublin", "boot-7", 2**62)
    stored = journal.append(2, NOTES, moment, "do", "c1")
    assert stored == tuple(e.Envelope(n, NOTES[n - 3], moment, "do", "c1") for n in (3, 4))
    assert journal.events_after(2) == stored
    assert journal.events_after(3) == stored[1:]
    assert journal.events_after(4) == ()


def test_a_journal_refuses_events_on_an_old_version(journal: Journal) -> None:
    journal.append(2, NOTES, moment_at(BEGIN_S), "do", "c1")
    with pytest.raises(VersionTaken):
        journal.append(2, NOTES, moment_at(BEGIN_S), "do", "c2")
    with pytest.raises(VersionTaken):
        journal.append(9, NOTES, moment_at(BEGIN_S), "do", "c3")
    assert len(journal.events_after(0)) == 4


def test_a_journal_never_stores_a_command_twice(journal: Journal) -> None:
    first = journal.append(2, NOTES, moment_at(BEGIN_S), "do", "c1")
    again = journal.append(4, (e.BatchHeld("x"),), moment_at(BEGIN_S + 5), "bench", "c1")
    late = journal.append(2, (e.BatchHeld("x"),), moment_at(BEGIN_S + 5), "bench", "c1")
    assert first == again == late
    assert len(journal.events_after(0)) == 4


def test_a_journal_stores_nothing_for_no_events(journal: Journal) -> None:
    assert journal.append(2, (), moment_at(BEGIN_S), "do", "c1") == ()
    assert len(journal.events_after(0)) == 2


def test_a_journal_keeps_a_new_plan_with_its_event(journal: Journal) -> None:
    plan = make_plan(units=3)
    revised = e.PlanRevised(2, digest(to_text(plan)), 2, "colder", ("a",), ("b", "c"))
    journal.append(2, (revised,), moment_at(BEGIN_S), "do", "c1", plan)
    assert journal.plan(2) == plan
    assert journal.plan(1) == make_plan()
    assert journal.events_after(2)[0].event == revised


def test_a_closed_session_is_the_same_when_it_is_opened_again(path: Path) -> None:
    with create(path) as file:
        before = (*file.events_after(0), *file.append(2, NOTES, moment_at(BEGIN_S), "do", "c1"))
    with SessionFile.open(path) as file:
        assert file.events_after(0) == before
        assert fold(file.events_after(0)).notes[0].text == "knot ✓"


def test_a_plan_without_its_event_is_not_stored(path: Path) -> None:
    with create(path) as file:
        with pytest.raises(ValueError, match="together with its PlanRevised"):
            file.append(2, NOTES, moment_at(BEGIN_S), "do", "c1", make_plan())
        assert len(file.events_after(0)) == 2


def test_the_file_is_marked_as_ours_and_commits_reach_the_disk(path: Path) -> None:
    with create(path) as file:
        connection = file._connection  # noqa: SLF001 - the settings are what is tested
        values = [
            connection.execute(f"PRAGMA {name}").fetchone()[0]
            for name in ("application_id", "user_version", "journal_mode", "synchronous")
        ]
    # EXTRA is 3: https://www.sqlite.org/pragma.html#pragma_synchronous
    assert values == [APPLICATION_ID, SCHEMA, "delete", 3]


def test_nothing_is_left_beside_a_new_session_file(path: Path) -> None:
    create(path).close()
    assert list(path.parent.iterdir()) == [path]


def test_two_open_files_see_what_the_other_wrote(path: Path) -> None:
    with create(path) as one, SessionFile.open(path) as other:
        one.append(2, NOTES, moment_at(BEGIN_S), "bench", "c1")
        assert len(other.events_after(2)) == 2
        with pytest.raises(VersionTaken):
            other.append(2, NOTES, moment_at(BEGIN_S), "tablet", "c2")


@dataclass(frozen=True, slots=True)
class Sneezed(e.Event):
    """A kind of event of a later version."""

    kind: ClassVar[str] = "sneezed"
    loudly: bool


def test_a_file_with_events_of_a_later_version_opens_and_counts_them(path: Path) -> None:
    with create(path) as file:
        file.append(2, (Sneezed(loudly=True),), moment_at(BEGIN_S), "do", "c1")
        envelopes = file.events_after(0)
    assert envelopes[-1].event == UnknownEvent("sneezed", 1, '{"loudly":true}')
    assert fold(envelopes).version == 3


# --- bad files --------------------------------------------------------------------------------


def _rewrite(path: Path, *statements: str) -> None:
    connection = sqlite3.connect(path)
    for statement in statements:
        connection.execute(statement)
    connection.commit()
    connection.close()


def _patch(path: Path, at: int, data: bytes) -> None:
    with path.open("r+b") as file:
        file.seek(at)
        file.write(data)


def _cut(path: Path, size: int) -> None:
    os.truncate(path, size)


def _put_folder(path: Path) -> None:
    path.unlink()
    path.mkdir()


def _put_pipe(path: Path) -> None:
    path.unlink()
    os.mkfifo(path)


def _foreign(path: Path) -> None:
    path.unlink()
    _rewrite(path, "CREATE TABLE songs (title TEXT)")


Spoil = Callable[[Path], object]
SPOILED: list[tuple[str, Spoil, str]] = [
    ("missing", lambda p: p.unlink(), "There is no session file"),
    ("folder", _put_folder, "is a folder"),
    ("pipe", _put_pipe, "a pipe"),
    ("empty", lambda p: p.write_bytes(b""), "is empty"),
    ("text", lambda p: p.write_text("title: floor\n" * 50), "is not a session file"),
    ("short text", lambda p: p.write_text("x"), "is not a session file"),
    ("picture", lambda p: p.write_bytes(b"\x89PNG\r\n\x1a\n" * 99), "is not a session file"),
    ("magic only", lambda p: _cut(p, 40), "cut off after 40 bytes"),
    ("cut in two", lambda p: _cut(p, p.stat().st_size // 2), "is cut off"),
    ("last page gone", lambda p: _cut(p, p.stat().st_size - 4096), "is cut off"),
    ("other database", _foreign, "database of another program"),
    ("newer", lambda p: _patch(p, 60, struct.pack(">I", SCHEMA + 1)), "newer version of this"),
    ("no tables", lambda p: _rewrite(p, "DROP TABLE event", "DROP TABLE plan",
     "DROP TABLE session"), "could not be opened"),
    ("no session", lambda p: _rewrite(p, "DELETE FROM session"), "is damaged"),
    ("two sessions", lambda p: _rewrite(p, "INSERT INTO session VALUES ('x', 0, '{}')"),
     "is damaged"),
    ("overwritten page", lambda p: _patch(p, 4096, b"\xff" * 4096), "damaged"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("spoil", "words"), [row[1:] for row in SPOILED], ids=[r[0] for r in SPOILED]
)
def test_what_is_no_session_file_is_refused_in_one_sentence_and_left_as_it_is(
    path: Path, spoil: Spoil, words: str
) -> None:
    create(path).close()
    spoil(path)
    before = _look(path.parent)
    with pytest.raises(SessionFileError) as caught:
        SessionFile.open(path)
    assert words in caught.value.text
    assert str(path) in caught.value.text
    assert "\n" not in caught.value.text
    assert _look(path.parent) == before


def _look(folder: Path) -> dict[str, bytes | None]:
    return {
        entry.name: entry.read_bytes() if stat.S_ISREG(entry.stat().st_mode) else None
        for entry in folder.iterdir()
    }


INSIDE: list[tuple[str, str, str]] = [
    ("request", "UPDATE session SET request = '{}'", "request cannot be read"),
    ("plan text", "UPDATE plan SET document = replace(document, 'Dry fit', 'Wet fit')",
     "does not agree with its hash"),
    ("plan gone", "DELETE FROM plan", "a part of it is missing"),
    ("event gone", "DELETE FROM event WHERE version = 1", "event 1 is missing"),
    ("event body", "UPDATE event SET body = '[', digest = NULL WHERE version = 2",
     "event 2 cannot be read"),
    ("event moment", "UPDATE event SET at_s = 'noon', digest = NULL WHERE version = 2",
     "event 2 cannot be read"),
    ("event newer", "UPDATE event SET schema = 9, digest = NULL WHERE version = 2",
     "in a newer form"),
    ("flipped bit", "UPDATE event SET at_s = at_s + 64 WHERE version = 2",
     "event 2 does not agree with its digest"),
    ("deep body", f"UPDATE event SET body = '{'[' * 100_000}' WHERE version = 2", "event 2"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("statement", "words"), [r[1:] for r in INSIDE], ids=[r[0] for r in INSIDE]
)
def test_damage_inside_a_session_file_is_told_in_one_sentence(
    path: Path, statement: str, words: str
) -> None:
    create(path).close()
    _rewrite(path, statement)
    with pytest.raises(SessionFileError) as caught:
        _read_all(path)
    assert words in caught.value.text


def _read_all(path: Path) -> None:
    with SessionFile.open(path) as file:
        file.events_after(0)
        file.plan(1)
        file.request()


def test_a_new_session_never_takes_the_place_of_a_file(path: Path) -> None:
    path.write_text("my only copy")
    with pytest.raises(SessionFileError, match="already there"):
        create(path)
    assert path.read_text() == "my only copy"
    assert list(path.parent.iterdir()) == [path]


def test_a_new_session_never_goes_through_a_dangling_link(path: Path) -> None:
    path.symlink_to(path.parent / "elsewhere")
    with pytest.raises(SessionFileError, match="already there"):
        create(path)
    assert not (path.parent / "elsewhere").exists()


def test_a_name_taken_at_the_last_moment_is_not_overwritten(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os.path, "lexists", lambda _: False)
    path.write_text("somebody was faster")
    with pytest.raises(SessionFileError, match="already there"):
        create(path)
    assert path.read_text() == "somebody was faster"
    assert list(path.parent.iterdir()) == [path]


def test_a_file_system_without_links_gets_its_session_file_too(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_links(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", no_links)
    create(path).close()
    assert list(path.parent.iterdir()) == [path]
    with pytest.raises(SessionFileError, match="already there"):
        create(path)


def test_a_new_session_needs_its_folder(tmp_path: Path) -> None:
    with pytest.raises(SessionFileError, match="There is no folder"):
        create(tmp_path / "none" / "floors.session")
    assert list(tmp_path.iterdir()) == []


def test_a_new_session_that_cannot_be_stored_leaves_nothing_behind(path: Path) -> None:
    plan = make_plan()
    events = (*first_events(plan), e.PlanRevised(1, "h", 0, "r", (), ()))
    with pytest.raises(SessionFileError, match="no character that can be kept"):
        SessionFile.create(path, make_request(), plan, events, moment_at(0), "\ud800")
    assert list(path.parent.iterdir()) == []


def test_a_writer_that_holds_the_file_too_long_is_told_in_plain_words(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("shopstep.storage.session_database._BUSY_S", 0.0)
    with create(path) as file:
        other = sqlite3.connect(path, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(SessionFileError, match="another program holds it; try again"):
            file.append(2, NOTES, moment_at(BEGIN_S), "do", "c1")
        other.execute("ROLLBACK")
        other.close()
        assert len(file.append(2, NOTES, moment_at(BEGIN_S), "do", "c1")) == 2
