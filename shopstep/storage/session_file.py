"""One session on disk: the request, its plans and its events, in one SQLite file.

Satisfies the workbench's ``Journal``. Rollback journal and ``synchronous=EXTRA``: what ``append``
gave back survives a cut of the power. Imports ``sqlite3`` and no validation library.
"""

from __future__ import annotations

import errno
import json
import os
import sqlite3
import uuid
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from types import TracebackType
from typing import Any, Self, TypeVar

from shopstep.model.codec import decode, digest
from shopstep.model.plan import Plan, PlanRequest
from shopstep.session.events import Envelope, Event, Moment, PlanRevised
from shopstep.session.state import State
from shopstep.storage.backups import EVERY_S, back_up
from shopstep.storage.event_text import EventText, read_event
from shopstep.storage.file_problem import SessionFileError, salvage_hint
from shopstep.storage.session_database import connect, plainly, transaction
from shopstep.storage.session_draft import fill_draft, publish
from shopstep.storage.session_rows import (
    EVENT_COLUMNS,
    event_digest,
    has_digests,
    insert_events,
    insert_plan,
    wrap_events,
)
from shopstep.storage.session_schema import check_file
from shopstep.storage.session_upgrade import upgrade
from shopstep.storage.state_text import fingerprint, read_state, write_state
from shopstep.words import say
from shopstep.workbench import VersionTaken

__all__ = ["SessionFile", "SessionFileError"]

T = TypeVar("T")


class SessionFile:
    """An open session file. Use ``create`` or ``open``; both give a clear SessionFileError."""

    def __init__(self, path: Path, connection: sqlite3.Connection, session: str) -> None:
        self.path = path
        self._connection = connection
        self._session = session
        self._columns = f"{EVENT_COLUMNS}, {'digest' if has_digests(connection) else 'NULL'}"
        self._backed_up_s: int | None = None

    @classmethod
    def create(
        cls,
        path: Path,
        request: PlanRequest,
        plan: Plan,
        first: tuple[Event, ...],
        moment: Moment,
        face: str,
        history: tuple[Envelope, ...] = (),
    ) -> Self:
        """A new session file with its first plan and events; never over an existing file.

        ``history``: what followed them already, where that was played elsewhere.
        The file appears under its name only when it is whole.
        """
        if os.path.lexists(path):
            raise SessionFileError(say("{path} is already there; choose another name.", path=path))
        if not path.parent.is_dir():
            raise SessionFileError(
                say(
                    "There is no folder {parent} to put {path_name} into.",
                    parent=path.parent,
                    path_name=path.name,
                )
            )
        draft = path.with_name(f".{uuid.uuid4().hex}.new")
        try:
            with plainly(path, "made"):
                fill_draft(draft, request, plan, first, moment, face, history)
                publish(draft, path)
        finally:
            with suppress(OSError):  # on a closed folder there is no draft, and no unlinking
                draft.unlink(missing_ok=True)
        return cls.open(path)

    @classmethod
    def open(cls, path: Path) -> Self:
        """The session in a file; SessionFileError says what is wrong, and nothing is written."""
        check_file(path)
        with plainly(path, "opened"):
            connection = connect(path, "rw")
            try:
                session = _find_session(path, connection)  # read first: no lock, no upgrade
                _upgrade_if_possible(connection)
                return cls(path, connection, session)
            except BaseException:
                connection.close()
                raise

    def close(self) -> None:
        """Lets the file go; everything is on disk already."""
        self._connection.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        problem: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def request(self) -> PlanRequest:
        """What the first plan was made from."""
        (text,) = self._row("SELECT request FROM session WHERE session = ?", self._session)
        return self._read("request", lambda: decode(PlanRequest, json.loads(text)))

    def plan(self, number: int) -> Plan:
        """A stored plan by its number, checked against its hash."""
        hash_, text = self._row(
            "SELECT hash, document FROM plan WHERE session = ? AND number = ?",
            self._session,
            number,
        )
        if self._read("plan", lambda: digest(text)) != hash_:
            raise self._damaged(say("plan {number} does not agree with its hash", number=number))
        return self._read(
            say("plan {number}", number=number), lambda: decode(Plan, json.loads(text))
        )

    def events_after(self, version: int) -> tuple[Envelope, ...]:
        """All stored events with a higher version, in order and without a gap."""
        with plainly(self.path, "read"):
            rows = self._connection.execute(
                f"SELECT {self._columns} FROM event WHERE session = ? AND version > ? "
                "ORDER BY version",
                (self._session, version),
            ).fetchall()
        envelopes = tuple(self._envelope(row) for row in rows)
        for expected, envelope in enumerate(envelopes, max(version, 0) + 1):
            if envelope.version != expected:
                raise self._damaged(say("event {expected} is missing", expected=expected))
        return envelopes

    def append(
        self,
        expected_version: int,
        events: tuple[Event, ...],
        moment: Moment,
        face: str,
        command_id: str,
        plan: Plan | None = None,
    ) -> tuple[Envelope, ...]:
        """Store events (and the plan of a PlanRevised) in one transaction; on disk on return.

        A command that is stored already is not stored again: its events are given back.
        Raises VersionTaken when the session's newest version is not ``expected_version``.
        """
        if not events:
            return ()
        with plainly(self.path, "written"), transaction(self._connection):
            stored = self._events_of(command_id)
            if stored:
                return stored
            if self._newest_version() != expected_version:
                raise VersionTaken
            envelopes = wrap_events(events, expected_version, moment, face, command_id)
            insert_events(self._connection, self._session, envelopes)
            if plan is not None:
                insert_plan(self._connection, self._session, _revision_of(events), plan)
            self._move_beside(envelopes, plan)
        self._back_up_each_hour(moment.at_s)
        return envelopes

    def _move_beside(self, envelopes: tuple[Envelope, ...], plan: Plan | None) -> None:
        """What else is written in the same transaction; here nothing."""

    def check_place(self) -> None:
        """SessionFileError where nothing could be stored: better told now than at the first tick.

        Takes the write lock for a moment and changes nothing.
        """
        with plainly(self.path, "written"):
            for place in (self.path, self.path.parent):
                if not os.access(place, os.W_OK):
                    raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(place))
            with transaction(self._connection):
                pass

    def back_up(self, at_s: int) -> Path | None:
        """A copy beside the session, unless a young one is there; never fails."""
        self._backed_up_s = at_s
        return back_up(self.path, at_s)

    def _back_up_each_hour(self, at_s: int) -> None:
        if self._backed_up_s is not None and at_s - self._backed_up_s >= EVERY_S:
            self.back_up(at_s)

    def events_of(self, command_id: str) -> tuple[Envelope, ...]:
        """What is stored for a command, in order; empty where it is not."""
        with plainly(self.path, "read"):
            return self._events_of(command_id)

    def snapshot(self) -> State | None:
        """The state as it was kept last; None where none is to be trusted."""
        try:
            row = self._connection.execute(
                "SELECT version, fingerprint, digest, body FROM snapshot WHERE session = ?",
                (self._session,),
            ).fetchone()
            if (
                row is None
                or not isinstance(row[3], str)
                or row[1] != fingerprint()
                or digest(row[3]) != row[2]
            ):
                return None
            state = read_state(row[3])
        except (sqlite3.Error, ValueError):
            return None
        return state if state.version == row[0] <= self._newest_version() else None

    def keep_snapshot(self, state: State) -> None:
        """Keep a state as a shortcut; where it cannot be kept, nothing is lost."""
        body = write_state(state)
        with suppress(sqlite3.Error), transaction(self._connection):
            self._connection.execute(
                "INSERT OR REPLACE INTO snapshot VALUES (?, ?, ?, ?, ?)",
                (self._session, state.version, fingerprint(), digest(body), body),
            )

    def _events_of(self, command_id: str) -> tuple[Envelope, ...]:
        rows = self._connection.execute(
            f"SELECT {self._columns} FROM event WHERE session = ? AND command_id = ? "
            "ORDER BY ordinal",
            (self._session, command_id),
        ).fetchall()
        return tuple(self._envelope(row) for row in rows)

    def _newest_version(self) -> int:
        (newest,) = self._connection.execute(
            "SELECT coalesce(max(version), 0) FROM event WHERE session = ?", (self._session,)
        ).fetchone()
        return int(newest)

    def _envelope(self, row: tuple[Any, ...]) -> Envelope:
        *values, told = row
        version, kind, schema, at_s, zone, boot_id, monotonic_ns, face, command_id, _, body = values
        if told is not None and told != event_digest(tuple(values)):
            raise self._damaged(
                say("event {version} does not agree with its digest", version=version)
            )
        moment = {"at_s": at_s, "zone": zone, "boot_id": boot_id, "monotonic_ns": monotonic_ns}
        return self._read(
            say("event {version}", version=version),
            lambda: Envelope(
                version,
                read_event(EventText(kind, schema, body)),
                decode(Moment, moment),
                face,
                command_id,
            ),
        )

    def _row(self, query: str, *values: object) -> tuple[Any, ...]:
        with plainly(self.path, "read"):
            row: tuple[Any, ...] | None = self._connection.execute(query, values).fetchone()
        if row is None:
            raise self._damaged(say("a part of it is missing"))
        return row

    def _read(self, what: str, read: Callable[[], T]) -> T:
        try:
            return read()
        except (ValueError, TypeError, RecursionError) as problem:
            raise self._damaged(
                say("{what} cannot be read ({problem})", what=what, problem=problem)
            ) from problem

    def _damaged(self, what: str) -> SessionFileError:
        return SessionFileError(
            say(
                "{path} is damaged: {what}. {salvage_hint}",
                path=self.path,
                what=what,
                salvage_hint=salvage_hint(self.path),
            )
        )


def _upgrade_if_possible(connection: sqlite3.Connection) -> None:
    """A file or folder that cannot be written stays in its old form; it can still be read."""
    with suppress(sqlite3.OperationalError):
        upgrade(connection)


def _find_session(path: Path, connection: sqlite3.Connection) -> str:
    ((verdict,),) = connection.execute("PRAGMA quick_check(1)").fetchall()
    rows = connection.execute("SELECT session FROM session").fetchall()
    if verdict != "ok" or len(rows) != 1 or not isinstance(rows[0][0], str):
        raise SessionFileError(
            say("{path} is damaged. {salvage_hint}", path=path, salvage_hint=salvage_hint(path))
        )
    return rows[0][0]


def _revision_of(events: tuple[Event, ...]) -> int:
    """The number of the plan that these events bring in; ValueError when they bring none."""
    for event in events:
        if isinstance(event, PlanRevised):
            return event.number
    raise ValueError("a plan is stored only together with its PlanRevised")
