"""What is wrong with the place where a file stands: it cannot be written, or it cannot lock files.

Codes after https://www.sqlite.org/rescode.html, from memory. SQLite's file layer for Unix
(os_unix.c, ``sqliteErrorFromPosixError``) says *busy* also where a network share has no locks at
all (ENOLCK), so a file that stays busy may be either. Imports ``sqlite3`` only.
"""

from __future__ import annotations

import errno
import sqlite3
from pathlib import Path

from shopstep.words import say, to_say

_CANNOT_WRITE = frozenset({sqlite3.SQLITE_PERM, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN})
_CANNOT_DELETE = sqlite3.SQLITE_IOERR_DELETE
"""A journal that a power cut left behind is to be deleted after it was played back."""
_CANNOT_LOCK = frozenset({sqlite3.SQLITE_PROTOCOL, sqlite3.SQLITE_NOLFS})
_HELD = frozenset({sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED})
_LOCK_FAILED = frozenset(
    {
        sqlite3.SQLITE_IOERR_LOCK,
        sqlite3.SQLITE_IOERR_RDLOCK,
        sqlite3.SQLITE_IOERR_UNLOCK,
        sqlite3.SQLITE_IOERR_BLOCKED,
        sqlite3.SQLITE_IOERR_CHECKRESERVEDLOCK,
    }
)
"""Extended codes of SQLITE_IOERR that are about locks; the others are about reading and writing."""
_NO_WRITING = frozenset({errno.EROFS, errno.EACCES, errno.EPERM})
_NO_LOCKING = frozenset({errno.ENOLCK, errno.ENOTSUP})

MAKE_ELSEWHERE = to_say("make it in a folder on this machine's own disk")
KEEP_AT_HOME = to_say("the folder has to be one on this machine's own disk that can be written")


def go_on_with_copy(path: Path) -> str:
    """What to do with a session in the wrong place; a journal beside it is a part of it."""
    journal = path.with_name(f"{path.name}-journal")
    both = (
        say(" and {journal_name} beside it", journal_name=journal.name) if journal.exists() else ""
    )
    return say("copy it{both} to this machine's own disk and go on with the copy", both=both)


def say_trouble(problem: sqlite3.Error | OSError, remedy: str) -> str:
    """Why a file could not be used, and the ``remedy`` where its place is why.

    Empty where the file itself is damaged.
    """
    if _cannot_write(problem):
        return say("the file or the folder it is in is closed to writing; {remedy}", remedy=remedy)
    if _cannot_lock(problem):
        return say("the folder it is in cannot lock files; {remedy}", remedy=remedy)
    if isinstance(problem, OSError):
        return problem.strerror or str(problem)
    if _code_of(problem) & 0xFF in _HELD:
        return say(
            "another program holds it; try again, and where that never helps the folder cannot"
            " lock files: {remedy}",
            remedy=remedy,
        )
    return str(problem) if isinstance(problem, sqlite3.OperationalError) else ""


def _cannot_write(problem: sqlite3.Error | OSError) -> bool:
    if isinstance(problem, OSError):
        return problem.errno in _NO_WRITING
    code = _code_of(problem)
    return code & 0xFF in _CANNOT_WRITE or code == _CANNOT_DELETE


def _cannot_lock(problem: sqlite3.Error | OSError) -> bool:
    if isinstance(problem, OSError):
        return problem.errno in _NO_LOCKING
    code = _code_of(problem)
    return code & 0xFF in _CANNOT_LOCK or code in _LOCK_FAILED


def _code_of(problem: sqlite3.Error) -> int:
    """SQLite's extended code; 0 where the binding complains by itself."""
    return int(getattr(problem, "sqlite_errorcode", 0))
