"""The connection to a session file: its settings, its transactions, its complaints in one sentence.

Imports ``sqlite3``, the file's errors and what can be wrong with its place.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from shopstep.storage.file_problem import SessionFileError, salvage_hint
from shopstep.storage.place_problem import (
    KEEP_AT_HOME,
    MAKE_ELSEWHERE,
    go_on_with_copy,
    say_trouble,
)
from shopstep.words import say

_BUSY_S = 10.0
"""How long to wait for another writer; one commit takes about a millisecond."""


PRAGMAS = ("trusted_schema=OFF", "journal_mode=DELETE", "synchronous=EXTRA")
"""EXTRA also syncs the folder after the journal is deleted: without it a power cut can bring back a
journal and take away a commit (https://www.sqlite.org/pragma.html#pragma_synchronous)."""


def connect(path: Path, mode: str) -> sqlite3.Connection:
    """A connection in SQLite's ``rw`` or ``rwc`` mode, set so that a commit is on disk."""
    connection = sqlite3.connect(
        f"{path.absolute().as_uri()}?mode={mode}",
        uri=True,
        timeout=_BUSY_S,
        isolation_level=None,
    )
    try:
        for pragma in PRAGMAS:
            connection.execute(f"PRAGMA {pragma}").fetchall()
    except sqlite3.Error:
        connection.close()
        raise
    return connection


@contextmanager
def plainly(path: Path, done: str, hint: str = "") -> Iterator[None]:
    """Turns what the database and the disk complain about into one sentence.

    ``done``: what could not be done, ``made``, ``opened``, ``read`` or ``written``; ``hint``: what
    to do about a damaged file, where it is no session.
    """
    try:
        yield
    except sqlite3.Error as problem:
        why = say_trouble(problem, _remedy(path, done, hint))
        if why:
            raise SessionFileError(
                say("{path} could not be {done}: {why}.", path=path, done=done, why=why)
            ) from problem
        raise SessionFileError(
            say(
                "{path} is damaged ({problem}). {hint}",
                path=path,
                problem=problem,
                hint=hint or salvage_hint(path),
            )
        ) from problem
    except UnicodeEncodeError as problem:
        why = say(
            "{object} is no character that can be kept",
            object=ascii(problem.object[problem.start : problem.end]),
        )
        raise SessionFileError(
            say("{path} could not be {done}: {why}.", path=path, done=done, why=why)
        ) from problem
    except OSError as problem:
        raise SessionFileError(
            say(
                "{path} could not be {done}: {trouble}.",
                path=path,
                done=done,
                trouble=say_trouble(problem, _remedy(path, done, hint)),
            )
        ) from problem


def _remedy(path: Path, done: str, hint: str) -> str:
    """What to do where the place of the file is what is wrong."""
    if hint:
        return say(KEEP_AT_HOME)
    return say(MAKE_ELSEWHERE) if done == "made" else go_on_with_copy(path)


@contextmanager
def transaction(connection: sqlite3.Connection) -> Iterator[None]:
    """All or nothing; takes the write lock at once, so that two writers never deadlock."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
        connection.execute("COMMIT")
    finally:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
