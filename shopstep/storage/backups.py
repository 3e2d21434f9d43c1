"""Copies of a session file by SQLite's own backup: the last five, beside the session.

Imports ``sqlite3`` and the connection of this room.
"""

from __future__ import annotations

import sqlite3
import time
from contextlib import closing, suppress
from datetime import datetime
from pathlib import Path

from shopstep.storage.session_database import connect

KEPT = 5
LEAST_AGE_S = 600
"""A younger copy is good enough: many single commands must not push out last evening's."""
EVERY_S = 3600
"""So often a copy is made while a session is worked at."""


def backup_folder(path: Path) -> Path:
    """Where the copies of a session are; not made until there is one."""
    return path.parent / "backups"


def backups_of(path: Path) -> tuple[Path, ...]:
    """The copies of a session, the newest first."""
    found = backup_folder(path).glob(f"{glob_safe(path.stem)}.*.session")
    return tuple(sorted(found, key=lambda copy: copy.name, reverse=True))


def glob_safe(name: str) -> str:
    """A file name in which no sign is a pattern."""
    return "".join(f"[{letter}]" if letter in "[]*?" else letter for letter in name)


def back_up(path: Path, at_s: int) -> Path | None:
    """A new copy, and only the newest five kept; None where a young one is there or none can be.

    ``at_s``: now, seconds since 1970 UTC. Never raises: a session goes on without a copy.
    """
    newest = next(iter(backups_of(path)), None)
    if newest is not None and 0 <= at_s - _stamp(newest) < LEAST_AGE_S:
        return None
    when = time.strftime("%Y%m%dT%H%M%SZ", time.gmtime(at_s))
    copy = backup_folder(path) / f"{path.stem}.{when}.session"
    draft = copy.with_suffix(".draft")
    try:
        copy.parent.mkdir(exist_ok=True)
        _copy(path, draft)
        draft.replace(copy)
        for old in backups_of(path)[KEPT:]:
            old.unlink(missing_ok=True)
    except (OSError, sqlite3.Error, ValueError):
        with suppress(OSError):
            draft.unlink(missing_ok=True)
            copy.parent.rmdir()  # only where it is empty: nothing half-made stays
        return None
    return copy


def _copy(path: Path, draft: Path) -> None:
    draft.unlink(missing_ok=True)
    with (
        closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)) as source,
        closing(connect(draft, "rwc")) as target,
    ):
        source.backup(target)


def _stamp(copy: Path) -> int:
    """When a copy was made, by its name; long ago where the name does not say it."""
    try:
        when = datetime.fromisoformat(copy.name.removesuffix(".session").rpartition(".")[2])
        return int(when.timestamp()) if when.tzinfo else 0
    except ValueError:
        return 0
