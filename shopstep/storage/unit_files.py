"""Which session files a unit's code stands for. One that cannot be read stands for none.

Imports ``sqlite3``, the session's codes, and the session file of this room.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

from shopstep.session.unit_codes import code_of

MOST_UNITS = 200
"""No batch has more."""


def all_units(folder: Path) -> list[tuple[Path, str]]:
    """All sessions of a folder with the id that their codes follow from."""
    return list(_sessions(folder))


def files_with(code: str, folder: Path) -> list[tuple[Path, int]]:
    """The sessions in a folder that have a unit of this code, each with the unit."""
    return [
        (path, unit)
        for path, session in _sessions(folder)
        for unit in range(1, MOST_UNITS + 1)
        if code_of(session, unit) == code
    ]


def _sessions(folder: Path) -> Iterator[tuple[Path, str]]:
    for path in sorted(folder.glob("*.session")):
        try:
            with closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)) as file:
                rows = file.execute("SELECT session FROM session").fetchall()
        except sqlite3.Error:
            continue
        if len(rows) == 1 and isinstance(rows[0][0], str):
            yield path, rows[0][0]
