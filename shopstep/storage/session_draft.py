"""A new session file: filled under a hidden name, and given its own when it is whole.

Imports ``sqlite3`` and the tables, rows and connection of this room.
"""

from __future__ import annotations

import os
import uuid
from contextlib import suppress
from itertools import groupby
from pathlib import Path

from shopstep.model.codec import to_text
from shopstep.model.plan import Plan, PlanRequest
from shopstep.session.events import Envelope, Event, Moment
from shopstep.storage.file_problem import SessionFileError
from shopstep.storage.session_database import connect, transaction
from shopstep.storage.session_rows import insert_events, insert_plan, wrap_events
from shopstep.storage.session_schema import APPLICATION_ID, SCHEMA, TABLES
from shopstep.words import say


def fill_draft(
    draft: Path,
    request: PlanRequest,
    plan: Plan,
    first: tuple[Event, ...],
    moment: Moment,
    face: str,
    history: tuple[Envelope, ...] = (),
) -> None:
    """Writes a whole session file under the draft's name.

    ``history``: what came after the first events, in order, each command's events side by side.
    """
    session = uuid.uuid4().hex
    connection = connect(draft, "rwc")
    try:
        with transaction(connection):
            connection.execute(f"PRAGMA application_id={APPLICATION_ID}")
            connection.execute(f"PRAGMA user_version={SCHEMA}")
            for statement in TABLES:
                connection.execute(statement)
            connection.execute(
                "INSERT INTO session VALUES (?, ?, ?)", (session, moment.at_s, to_text(request))
            )
            insert_plan(connection, session, 1, plan)
            insert_events(connection, session, wrap_events(first, 0, moment, face, session))
            for _, events in groupby(history, key=lambda envelope: envelope.command_id):
                insert_events(connection, session, tuple(events))
    finally:
        connection.close()


def publish(draft: Path, path: Path) -> None:
    """Gives the whole file its name, never over another, and makes the folder remember it."""
    try:
        _name_file(draft, path)
    except FileExistsError:
        raise SessionFileError(
            say("{path} is already there; choose another name.", path=path)
        ) from None
    _sync_folder(path.parent)


def _name_file(draft: Path, path: Path) -> None:
    """FileExistsError when the name is taken."""
    try:
        os.link(draft, path)
    except FileExistsError:
        raise
    except OSError:  # a file system without links: take the name first, then fill it
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o644))
        try:
            os.replace(draft, path)
        except OSError:
            path.unlink(missing_ok=True)
            raise


def _sync_folder(folder: Path) -> None:
    with suppress(OSError):  # not every system lets a folder be opened
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
