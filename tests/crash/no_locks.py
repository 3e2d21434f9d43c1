"""A file system that refuses locks, and a stand-in for ``sqlite3.connect`` that opens files on it.

The standard library cannot put another file system under its SQLite; the other binding can. Its
exceptions become those of the standard library by the table that CPython has for it
(Modules/_sqlite/util.c, ``get_exception_class``; from memory).
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, NoReturn
from urllib.parse import unquote, urlsplit

import apsw

SHARED, RESERVED, EXCLUSIVE = 1, 2, 4
"""Locks to read, to write and to commit (https://www.sqlite.org/c3ref/c_lock_exclusive.html)."""
_OPERATIONAL = frozenset(
    {
        sqlite3.SQLITE_ERROR, sqlite3.SQLITE_PERM, sqlite3.SQLITE_ABORT, sqlite3.SQLITE_BUSY,
        sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_INTERRUPT,
        sqlite3.SQLITE_IOERR, sqlite3.SQLITE_FULL, sqlite3.SQLITE_CANTOPEN,
        sqlite3.SQLITE_PROTOCOL, sqlite3.SQLITE_EMPTY, sqlite3.SQLITE_SCHEMA,
    }
)  # fmt: skip


class _LocklessFile(apsw.VFSFile):
    """A file whose locks from a level on fail with one code."""

    def __init__(self, name: Any, flags: list[int], code: int, from_level: int) -> None:
        self._code, self._from_level = code, from_level
        super().__init__("", name, flags)

    def xLock(self, level: int) -> None:
        """The lock, or the refusal."""
        if level >= self._from_level:
            refused: Any = apsw.exception_for(self._code & 0xFF)
            refused.extendedresult = self._code
            raise refused
        super().xLock(level)


class LocklessVFS(apsw.VFS):
    """The usual file system, where locks from ``from_level`` on fail with ``code``."""

    def __init__(self, name: str, code: int, from_level: int) -> None:
        self._code, self._from_level = code, from_level
        super().__init__(name, "")

    def xOpen(self, name: Any, flags: list[int]) -> apsw.VFSFile:
        """A file that cannot be locked."""
        return _LocklessFile(name, flags, self._code, self._from_level)


class Connection:
    """What the sessions use of ``sqlite3.Connection``, on another binding."""

    def __init__(self, address: str, vfs: str, timeout_s: float) -> None:
        parts = urlsplit(address)
        reads = apsw.SQLITE_OPEN_READONLY
        flags = {"mode=ro": reads, "mode=rw": apsw.SQLITE_OPEN_READWRITE}.get(
            parts.query, apsw.SQLITE_OPEN_READWRITE | apsw.SQLITE_OPEN_CREATE
        )
        with _as_standard():
            self._connection = apsw.Connection(unquote(parts.path), flags=flags, vfs=vfs)
            self._connection.set_busy_timeout(round(timeout_s * 1000))

    @property
    def in_transaction(self) -> bool:
        """Whether a transaction is open."""
        return self._connection.in_transaction

    def execute(self, statement: str, values: Any = ()) -> _Cursor:
        """One statement, its rows fetched at once."""
        with _as_standard():
            return _Cursor(list(self._connection.execute(statement, values)))

    def executemany(self, statement: str, rows: Any) -> None:
        """One statement for many rows."""
        with _as_standard():
            self._connection.executemany(statement, rows)

    def backup(self, target: Any) -> NoReturn:
        """Not needed: the copy fails at its first lock."""
        raise sqlite3.OperationalError("no copy can be made here")

    def close(self) -> None:
        """Lets the file go."""
        self._connection.close()


class _Cursor:
    def __init__(self, rows: list[tuple[Any, ...]]) -> None:
        self._rows = rows

    def __iter__(self) -> Iterator[tuple[Any, ...]]:
        return iter(self._rows)

    def fetchall(self) -> list[tuple[Any, ...]]:
        return self._rows

    def fetchone(self) -> tuple[Any, ...] | None:
        return self._rows[0] if self._rows else None


@contextmanager
def _as_standard() -> Iterator[None]:
    try:
        yield
    except apsw.Error as problem:
        code = int(getattr(problem, "extendedresult", 0))
        kind: type[sqlite3.Error] = (
            sqlite3.OperationalError if code & 0xFF in _OPERATIONAL else sqlite3.DatabaseError
        )
        standard = kind(str(problem))
        standard.sqlite_errorcode = code
        raise standard from None


@contextmanager
def no_locks(code: int, from_level: int) -> Iterator[Callable[..., Connection]]:
    """A stand-in for ``sqlite3.connect`` while locks from a level on fail with a code."""
    name = f"lockless-{code}-{from_level}"
    vfs = LocklessVFS(name, code, from_level)

    def connect(address: str, *, timeout: float = 5.0, **_: Any) -> Connection:
        return Connection(address, name, timeout)

    try:
        yield connect
    finally:
        vfs.unregister()
