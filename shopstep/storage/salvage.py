"""All whole events out of a damaged session file and its copies, into a new file.

Imports the raw pages, the rows and the tables of this room.
"""

from __future__ import annotations

import json
import shutil
import sqlite3
import tempfile
from collections.abc import Iterable
from contextlib import closing, suppress
from dataclasses import dataclass, field
from pathlib import Path

from shopstep.model.codec import decode, digest
from shopstep.model.plan import PlanRequest
from shopstep.session.events import PlanRevised
from shopstep.storage.backups import backups_of
from shopstep.storage.event_text import EventText, read_event
from shopstep.storage.file_problem import SessionFileError
from shopstep.storage.raw_pages import Row, read_rows
from shopstep.storage.session_database import connect, plainly, transaction
from shopstep.storage.session_draft import publish
from shopstep.storage.session_rows import EVENT_COLUMNS, event_digest
from shopstep.storage.session_schema import APPLICATION_ID, SCHEMA, TABLES
from shopstep.words import say

_EVENT_VALUES = 12
"""Values of an event's row before its digest: session and the columns."""


@dataclass(slots=True)
class Found:
    """What was found of one session."""

    requests: dict[str, tuple[int, str]] = field(default_factory=dict)
    plans: dict[tuple[str, int], str] = field(default_factory=dict)
    events: dict[tuple[str, int], Row] = field(default_factory=dict)

    def take(self, rows: Iterable[Row]) -> None:
        """What is whole of some rows; what is known already stays."""
        for row in rows:
            if len(row) == 3:
                self._take_request(row)
            elif len(row) == 4:
                self._take_plan(row)
            elif len(row) in (_EVENT_VALUES, _EVENT_VALUES + 1):
                self._take_event(row)

    def _take_request(self, row: Row) -> None:
        session, created_s, text = row
        if isinstance(session, str) and isinstance(created_s, int) and isinstance(text, str):
            with suppress(ValueError, RecursionError):
                decode(PlanRequest, json.loads(text))
                self.requests.setdefault(session, (created_s, text))

    def _take_plan(self, row: Row) -> None:
        session, number, hash_, text = row
        if (
            isinstance(session, str)
            and isinstance(number, int)
            and isinstance(text, str)
            and digest(text) == hash_
        ):
            self.plans.setdefault((session, number), text)

    def _take_event(self, row: Row) -> None:
        session, version = row[:2]
        if isinstance(session, str) and isinstance(version, int) and _is_whole(row):
            self.events.setdefault((session, version), (*row, None)[: _EVENT_VALUES + 1])


def _is_whole(row: Row) -> bool:
    """Whether an event's row has the right kinds of values, its digest, and a body to be read."""
    _, version, kind, schema, at_s, zone, boot, mono, face, command, ordinal, body = row[:12]
    numbers = (version, schema, at_s, mono, ordinal)
    texts = (kind, zone, boot, face, command, body)
    if not all(isinstance(n, int) for n in numbers) or not all(isinstance(t, str) for t in texts):
        return False
    if len(row) > _EVENT_VALUES and row[12] not in (None, event_digest(row[1:12])):
        return False
    try:
        read_event(EventText(str(kind), int(str(schema)), str(body)))
    except (ValueError, TypeError, RecursionError):
        return False
    return True


@dataclass(frozen=True, slots=True)
class Salvaged:
    """What came out of it."""

    file: Path
    events: int
    """Events in the new file, from the first on without a gap."""
    lost: int
    """Later events that were found but stand behind a gap."""
    copies: int
    """Copies that were looked at besides the file."""


def salvage(path: Path, target: Path) -> Salvaged:
    """A new session file with every whole event; SessionFileError where nothing can be had."""
    if target.exists():
        raise SessionFileError(
            say("{target} is already there; name another with --to.", target=target)
        )
    if not path.is_file():
        raise SessionFileError(say("There is no file {path}.", path=path))
    copies = backups_of(path)
    found = Found()
    for source in (path, *copies):
        found.take(_rows_by_database(source))
        found.take(_rows_by_pages(source))
    session = max(found.requests, key=lambda name: _count(found, name), default=None)
    if session is None:
        raise SessionFileError(
            say("Nothing of a session can be found in {path}", path=path)
            + (
                say(" and its {copies} copies.", copies=len(copies))
                if copies
                else say(", and there is no copy of it.")
            )
        )
    run = _longest_run(found, session)
    if run == 0:
        raise SessionFileError(say("No whole event can be found in {path}.", path=path))
    _write(found, session, run, target)
    later = sum(1 for name, version in found.events if name == session and version > run)
    return Salvaged(target, run, later, len(copies))


def _count(found: Found, session: str) -> int:
    return sum(1 for name, _ in found.events if name == session)


def _longest_run(found: Found, session: str) -> int:
    """How many events follow each other from the first, each with the plan that it brings in."""
    version = 0
    if (session, 1) not in found.plans:
        return 0
    while (session, version + 1) in found.events:
        row = found.events[session, version + 1]
        event = read_event(EventText(str(row[2]), int(str(row[3])), str(row[11])))
        if isinstance(event, PlanRevised) and (session, event.number) not in found.plans:
            break
        version += 1
    return version


def _rows_by_database(path: Path) -> list[Row]:
    """Rows as SQLite gives them, from a copy with its journal, so that nothing is touched."""
    rows: list[Row] = []
    with tempfile.TemporaryDirectory() as folder, suppress(OSError, sqlite3.Error):
        copy = Path(folder) / "copy.session"
        shutil.copyfile(path, copy)
        journal = path.with_name(path.name + "-journal")
        if journal.is_file():
            shutil.copyfile(journal, copy.with_name(copy.name + "-journal"))
        with closing(sqlite3.connect(copy)) as connection:
            for table in ("session", "plan", "event"):
                with suppress(sqlite3.Error):
                    rows += connection.execute(f"SELECT * FROM {table}").fetchall()
    return rows


def _rows_by_pages(path: Path) -> list[Row]:
    try:
        return list(read_rows(path.read_bytes()))
    except OSError:
        return []


def _write(found: Found, session: str, run: int, target: Path) -> None:
    draft = target.with_name(f".{target.name}.new")
    try:
        with plainly(target, "made"):
            draft.unlink(missing_ok=True)
            _fill(found, session, run, draft)
            publish(draft, target)
    finally:
        with suppress(OSError):  # on a closed folder there is no draft, and no unlinking
            draft.unlink(missing_ok=True)


def _fill(found: Found, session: str, run: int, draft: Path) -> None:
    with closing(connect(draft, "rwc")) as connection, transaction(connection):
        connection.execute(f"PRAGMA application_id={APPLICATION_ID}")
        connection.execute(f"PRAGMA user_version={SCHEMA}")
        for statement in TABLES:
            connection.execute(statement)
        connection.execute(
            "INSERT INTO session VALUES (?, ?, ?)", (session, *found.requests[session])
        )
        connection.executemany(
            "INSERT INTO plan VALUES (?, ?, ?, ?)",
            [
                (session, number, digest(text), text)
                for (name, number), text in sorted(found.plans.items())
                if name == session
            ],
        )
        marks = ",".join("?" * (_EVENT_VALUES + 1))
        connection.executemany(
            f"INSERT INTO event (session, {EVENT_COLUMNS}, digest) VALUES ({marks})",
            [found.events[session, version] for version in range(1, run + 1)],
        )
