"""Upgrades of the session file's form, one by one; each in one transaction.

Imports ``sqlite3`` and the tables of this room.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable

from shopstep.storage.session_database import transaction
from shopstep.storage.session_schema import SCHEMA, SNAPSHOT_TABLE


def _add_snapshots(connection: sqlite3.Connection) -> None:
    """1 → 2: a table for the folded state, and a digest with each event from now on."""
    connection.execute(SNAPSHOT_TABLE)
    connection.execute("ALTER TABLE event ADD COLUMN digest TEXT")


_STEPS: dict[int, Callable[[sqlite3.Connection], None]] = {1: _add_snapshots}
"""What makes the next form out of a form."""


def upgrade(connection: sqlite3.Connection) -> None:
    """Brings a file to the present form. Two programs may come at once: one of them does it."""
    while _form(connection) < SCHEMA:
        with transaction(connection):
            form = _form(connection)
            if form < SCHEMA:
                _STEPS[form](connection)
                connection.execute(f"PRAGMA user_version={form + 1}")


def _form(connection: sqlite3.Connection) -> int:
    (form,) = connection.execute("PRAGMA user_version").fetchone()
    return int(form)
