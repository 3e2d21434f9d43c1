"""The rack file's tables, and what stands in its head before they are touched.

Names of tables differ from a session file's, so that both can be attached. Imports ``sqlite3``.
"""

from __future__ import annotations

import sqlite3
import uuid
from pathlib import Path

from shopstep.storage.file_problem import SessionFileError
from shopstep.units import LONGEST_NM
from shopstep.words import say, to_say

APPLICATION_ID = 0x53_48_52_4B
"""Marks the file as ours in the database header; another number than a session file's."""
SCHEMA = 1
_MAGIC = b"SQLite format 3\x00"
_HEADER_BYTES = 100
"""Source: https://www.sqlite.org/fileformat2.html, section 1.3."""
FROM_COPY = to_say(
    "Take it from a copy (shopstep rack export makes one), or move it away to begin anew; --no-rack"
    " plans without it."
)

TABLES = (
    """CREATE TABLE rack (
        identity TEXT NOT NULL
    )""",
    f"""CREATE TABLE piece (
        number       INTEGER PRIMARY KEY,
        id           TEXT    NOT NULL UNIQUE CHECK (id <> ''),
        stuff        TEXT    NOT NULL,
        length_nm    INTEGER NOT NULL CHECK (length_nm BETWEEN 1 AND {LONGEST_NM}),
        width_nm     INTEGER NOT NULL CHECK (width_nm BETWEEN 1 AND {LONGEST_NM}),
        thickness_nm INTEGER NOT NULL CHECK (thickness_nm BETWEEN 1 AND {LONGEST_NM}),
        defects      TEXT    NOT NULL DEFAULT '[]',
        note         TEXT    NOT NULL DEFAULT '',
        reclaimed    INTEGER NOT NULL DEFAULT 0,
        metal        INTEGER,
        old_paint    INTEGER,
        preservative INTEGER,
        damp         INTEGER,
        added_s      INTEGER NOT NULL,
        gone         TEXT    NOT NULL DEFAULT '',
        gone_s       INTEGER,
        session      TEXT,
        version      INTEGER,
        step         TEXT,
        stock        TEXT,
        rest         TEXT,
        UNIQUE (session, stock, rest)
    )""",
    """CREATE TABLE batch (
        session TEXT    NOT NULL PRIMARY KEY,
        path    TEXT    NOT NULL,
        title   TEXT    NOT NULL,
        ended   INTEGER NOT NULL DEFAULT 0
    )""",
    """CREATE TABLE promise (
        session TEXT NOT NULL,
        piece   TEXT NOT NULL,
        PRIMARY KEY (session, piece)
    )""",
    """CREATE TABLE cut (
        session TEXT    NOT NULL,
        version INTEGER NOT NULL,
        step    TEXT    NOT NULL,
        stock   TEXT    NOT NULL,
        piece   TEXT,
        PRIMARY KEY (session, stock)
    )""",
)
"""``piece.session`` to ``rest``: of what remained of a cut, which session's tick (its version) and
step brought it, of which piece of that plan's stock, and which rest of it; so a tick that is played
again brings nothing twice. ``cut``: what a session's ticks took; ``piece`` is the rack's id of it,
NULL where it was bought."""


def look_at_rack(path: Path) -> bool:
    """Whether a rack is there; SessionFileError where another's file stands, which stays closed."""
    if not path.exists():
        return False
    with path.open("rb") as file:
        head = file.read(_HEADER_BYTES)
    if not head:
        return False
    if not head.startswith(_MAGIC) or len(head) < _HEADER_BYTES:
        raise SessionFileError(
            say(
                "{path} is damaged or no rack file. Nothing was changed. {from_copy}",
                path=path,
                from_copy=say(FROM_COPY),
            )
        )
    if int.from_bytes(head[68:72], "big") != APPLICATION_ID:
        raise SessionFileError(
            say("{path} is a database of another program, not a rack file.", path=path)
        )
    if int.from_bytes(head[60:64], "big") > SCHEMA:
        raise SessionFileError(
            say(
                "{path} was written by a newer version of this program; open it with that.",
                path=path,
            )
        )
    return True


def check_rack(connection: sqlite3.Connection, path: Path, schema: str = "main") -> None:
    """SessionFileError where pages are damaged or the tables are not ours."""
    (verdict,) = connection.execute(f"PRAGMA {schema}.quick_check(1)").fetchone()
    if verdict != "ok":
        raise SessionFileError(
            say(
                "{path} is damaged ({verdict}). Nothing was changed. {from_copy}",
                path=path,
                verdict=verdict,
                from_copy=say(FROM_COPY),
            )
        )


def make_tables(connection: sqlite3.Connection) -> None:
    """In a new file, inside the caller's transaction."""
    connection.execute(f"PRAGMA application_id={APPLICATION_ID}")
    connection.execute(f"PRAGMA user_version={SCHEMA}")
    for statement in TABLES:
        connection.execute(statement)
    connection.execute("INSERT INTO rack VALUES (?)", (uuid.uuid4().hex,))


def identity_of(connection: sqlite3.Connection) -> str:
    """What tells this rack from all others: another one may have an R1 too."""
    (identity,) = connection.execute("SELECT identity FROM rack").fetchone()
    return str(identity)


def has_tables(connection: sqlite3.Connection) -> bool:
    """Whether the file is more than an empty one."""
    (tables,) = connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()
    return bool(tables)
