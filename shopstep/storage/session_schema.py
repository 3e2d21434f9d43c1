"""The session file's tables, and what stands in the head of the file before they are touched.

SQLite's file format: https://www.sqlite.org/fileformat2.html,
section 1.3, the database header.
"""

from __future__ import annotations

import os
import stat
from dataclasses import dataclass
from pathlib import Path

from shopstep.storage.file_problem import SessionFileError, salvage_hint
from shopstep.words import say

APPLICATION_ID = 0x53_48_53_54
"""Marks the file as ours in the database header."""
SCHEMA = 2
"""Version of the tables, kept in ``user_version``."""

SNAPSHOT_TABLE = """CREATE TABLE snapshot (
        session      TEXT    NOT NULL PRIMARY KEY REFERENCES session,
        version      INTEGER NOT NULL,
        fingerprint  TEXT    NOT NULL,
        digest       TEXT    NOT NULL,
        body         TEXT    NOT NULL
    )"""
"""The folded state at some version; safe to drop."""
TABLES = (
    """CREATE TABLE session (
        session    TEXT    NOT NULL PRIMARY KEY,
        created_s  INTEGER NOT NULL,
        request    TEXT    NOT NULL
    )""",
    """CREATE TABLE plan (
        session    TEXT    NOT NULL REFERENCES session,
        number     INTEGER NOT NULL,
        hash       TEXT    NOT NULL,
        document   TEXT    NOT NULL,
        PRIMARY KEY (session, number)
    )""",
    """CREATE TABLE event (
        session      TEXT    NOT NULL REFERENCES session,
        version      INTEGER NOT NULL CHECK (version > 0),
        kind         TEXT    NOT NULL,
        schema       INTEGER NOT NULL,
        at_s         INTEGER NOT NULL,
        zone         TEXT    NOT NULL,
        boot_id      TEXT    NOT NULL,
        monotonic_ns INTEGER NOT NULL,
        face         TEXT    NOT NULL,
        command_id   TEXT    NOT NULL,
        ordinal      INTEGER NOT NULL,
        body         TEXT    NOT NULL,
        digest       TEXT,
        PRIMARY KEY (session, version),
        UNIQUE (session, command_id, ordinal)
    )""",
    SNAPSHOT_TABLE,
)

_MAGIC = b"SQLite format 3\x00"
_HEADER_BYTES = 100


@dataclass(frozen=True, slots=True)
class _Header:
    application_id: int
    schema: int
    bytes: int
    """Length of the whole file by the header; 0 where an old writer did not keep it."""


def check_file(path: Path) -> None:
    """Looks at the file's head without opening it as a database; SessionFileError if not ours.

    So nothing is ever created, locked or written where another file stands.
    """
    found = _look_at(path)
    header = _read_header(path)
    if header.application_id != APPLICATION_ID or header.schema < 1:
        raise SessionFileError(
            say("{path} is a database of another program, not a session file.", path=path)
        )
    if header.schema > SCHEMA:
        raise SessionFileError(
            say(
                "{path} was written by a newer version of this program (form {schema}; this "
                "one reads up to {schema_2}). Open it with that version.",
                path=path,
                schema=header.schema,
                schema_2=SCHEMA,
            )
        )
    # With a journal beside it, the file is put right by SQLite before it is read.
    if header.bytes > found.st_size and not _journal_of(path).exists():
        raise SessionFileError(
            say(
                "{path} is cut off: {st_size} of {bytes} bytes are there. {salvage_hint}",
                path=path,
                st_size=found.st_size,
                bytes=header.bytes,
                salvage_hint=salvage_hint(path),
            )
        )


def _journal_of(path: Path) -> Path:
    return path.with_name(path.name + "-journal")


def _look_at(path: Path) -> os.stat_result:
    try:
        found = path.stat()
    except FileNotFoundError:
        raise SessionFileError(say("There is no session file {path}.", path=path)) from None
    except (OSError, ValueError) as problem:
        raise SessionFileError(
            say("{path} cannot be looked at: {reason}.", path=path, reason=_reason(problem))
        ) from None
    if stat.S_ISDIR(found.st_mode):
        raise SessionFileError(say("{path} is a folder, not a session file.", path=path))
    if not stat.S_ISREG(found.st_mode):
        raise SessionFileError(say("{path} is a device or a pipe, not a session file.", path=path))
    if found.st_size == 0:
        raise SessionFileError(say("{path} is empty, not a session file.", path=path))
    return found


def _read_header(path: Path) -> _Header:
    try:
        with path.open("rb") as file:
            head = file.read(_HEADER_BYTES)
    except OSError as problem:
        raise SessionFileError(
            say("{path} cannot be read: {reason}.", path=path, reason=_reason(problem))
        ) from None
    if not head.startswith(_MAGIC):
        raise SessionFileError(say("{path} is not a session file.", path=path))
    if len(head) < _HEADER_BYTES:
        raise SessionFileError(
            say(
                "{path} is cut off after {head} bytes. {salvage_hint}",
                path=path,
                head=len(head),
                salvage_hint=salvage_hint(path),
            )
        )

    def number(at: int, width: int = 4) -> int:
        return int.from_bytes(head[at : at + width], "big")

    page_bytes = 65536 if number(16, 2) == 1 else number(16, 2)
    # Offset 92 must equal the change counter at 24, else the page count at 28 is not kept.
    pages = number(28) if number(24) == number(92) else 0
    return _Header(application_id=number(68), schema=number(60), bytes=pages * page_bytes)


def _reason(problem: OSError | ValueError) -> str:
    return getattr(problem, "strerror", None) or str(problem)
