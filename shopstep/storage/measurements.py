"""Kept measurements, by shop: one SQLite file that only ever gains readings.

Nothing is written over: what a newer round replaces, and what is put away, stays in the file.
Imports ``model`` and the connection of this room.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from shopstep.model.measure import Reading
from shopstep.storage.file_problem import SessionFileError
from shopstep.storage.session_database import connect, plainly, transaction
from shopstep.units import LONGEST_NM, Length
from shopstep.words import say, to_say

APPLICATION_ID = 0x53_48_4D_53
"""Marks the file as ours in the database header; another number than a session file's."""
SCHEMA = 1
_MAGIC = b"SQLite format 3\x00"
_HEADER_BYTES = 100
"""Source: https://www.sqlite.org/fileformat2.html, section 1.3."""

_TABLE = f"""CREATE TABLE reading (
    number     INTEGER PRIMARY KEY,
    shop       TEXT    NOT NULL CHECK (shop <> ''),
    name       TEXT    NOT NULL CHECK (name <> ''),
    nm         INTEGER NOT NULL CHECK (nm BETWEEN 0 AND {LONGEST_NM}),
    at_s       INTEGER NOT NULL,
    round      TEXT    NOT NULL,
    put_away_s INTEGER
)"""
_NEWEST_ROUND = """
    SELECT name, nm, at_s, round FROM reading AS r
    WHERE shop = :shop AND put_away_s IS NULL AND round = (
        SELECT round FROM reading
        WHERE shop = :shop AND name = r.name AND put_away_s IS NULL
        ORDER BY number DESC LIMIT 1
    )
    ORDER BY number"""

_FROM_COPY = to_say("Take it from a copy, or move it away to begin anew.")


class MeasurementFile:
    """The keeper's measurements on disk. The file is made with the first reading."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def shops(self) -> tuple[str, ...]:
        """Names of all shops that readings are kept for."""
        with self._reading() as connection:
            if connection is None:
                return ()
            rows = connection.execute(
                "SELECT DISTINCT shop FROM reading WHERE put_away_s IS NULL ORDER BY shop"
            ).fetchall()
            return tuple(str(shop) for (shop,) in rows)

    def kept(self, shop: str) -> dict[str, tuple[Reading, ...]]:
        """The newest round of each measurement of a shop, in the order of reading."""
        found: dict[str, tuple[Reading, ...]] = {}
        with self._reading() as connection:
            rows = connection.execute(_NEWEST_ROUND, {"shop": shop}) if connection else ()
            for name, nm, at_s, round_ in rows:
                reading = Reading(name, Length(nm), at_s, round_)
                found[name] = (*found.get(name, ()), reading)
        return found

    def keep(self, shop: str, readings: tuple[Reading, ...]) -> None:
        """Store readings, all or none; on disk on return. SessionFileError where it cannot be."""
        with self._writing() as connection:
            connection.executemany(
                "INSERT INTO reading (shop, name, nm, at_s, round) VALUES (?, ?, ?, ?, ?)",
                [(shop, r.name, r.value.nm, r.at_s, r.round) for r in readings],
            )

    def put_away(self, shop: str, name: str, at_s: int) -> int:
        """Let no reading of a measurement count any more; how many there were."""
        if name not in self.kept(shop):
            return 0
        with self._writing() as connection:
            return connection.execute(
                "UPDATE reading SET put_away_s = ?"
                " WHERE shop = ? AND name = ? AND put_away_s IS NULL",
                (at_s, shop, name),
            ).rowcount

    @contextmanager
    def _reading(self) -> Iterator[sqlite3.Connection | None]:
        """A checked connection; None where nothing was ever kept."""
        with plainly(self.path, "read", say(_FROM_COPY)):
            self._look()
            if not self.path.exists():
                yield None
                return
            connection = connect(self.path, "rw")
            try:
                yield connection if self._check(connection) else None
            finally:
                connection.close()

    @contextmanager
    def _writing(self) -> Iterator[sqlite3.Connection]:
        """A checked connection inside a transaction; makes the file where there is none."""
        with plainly(self.path, "written", say(_FROM_COPY)):
            self._look()
            self.path.parent.mkdir(parents=True, exist_ok=True)
            connection = connect(self.path, "rwc")
            try:
                with transaction(connection):
                    if not self._check(connection):
                        connection.execute(f"PRAGMA application_id={APPLICATION_ID}")
                        connection.execute(f"PRAGMA user_version={SCHEMA}")
                        connection.execute(_TABLE)
                    yield connection
            finally:
                connection.close()

    def _look(self) -> None:
        """SessionFileError where another's file stands; it is not opened as a database then."""
        if not self.path.exists():
            return
        with self.path.open("rb") as file:
            head = file.read(_HEADER_BYTES)
        if not head:
            return
        if not head.startswith(_MAGIC) or len(head) < _HEADER_BYTES:
            raise SessionFileError(
                say(
                    "{path} is damaged or no file of kept measurements. Nothing was changed; take"
                    " it from a copy, or move it away to begin anew.",
                    path=self.path,
                )
            )
        if int.from_bytes(head[68:72], "big") != APPLICATION_ID:
            raise SessionFileError(
                say(
                    "{path} is a database of another program, not kept measurements.",
                    path=self.path,
                )
            )
        if int.from_bytes(head[60:64], "big") > SCHEMA:
            raise SessionFileError(
                say(
                    "{path} was written by a newer version of this program; open it with that.",
                    path=self.path,
                )
            )

    def _check(self, connection: sqlite3.Connection) -> bool:
        """Whether our table is there; SessionFileError for damage."""
        (tables,) = connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()
        if not tables:
            return False
        (sound,) = connection.execute("PRAGMA quick_check(1)").fetchone()
        if sound != "ok":
            raise SessionFileError(
                say(
                    "{path} is damaged ({sound}). Nothing was changed; take it from a copy.",
                    path=self.path,
                    sound=sound,
                )
            )
        return True
