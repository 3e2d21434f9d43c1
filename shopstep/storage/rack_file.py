"""The keeper's rack on disk: one SQLite file in the data folder, made with the first piece.

What leaves the rack keeps its row, so that nothing is lost. Imports ``model`` and this room.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from shopstep.model.rack import Answers, KeptPiece, barred_words
from shopstep.model.stock import RackPiece
from shopstep.storage.rack_rows import (
    highest_number,
    id_of,
    insert_piece,
    promises,
    read_pieces,
    take_away,
    update_piece,
)
from shopstep.storage.rack_schema import (
    FROM_COPY,
    check_rack,
    has_tables,
    identity_of,
    look_at_rack,
    make_tables,
)
from shopstep.storage.session_database import connect, plainly, transaction
from shopstep.words import say


class RackRefusal(Exception):
    """What is asked of the rack cannot be: one plain sentence."""

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self.text = text


class RackFile:
    """The rack on disk. SessionFileError where it cannot be read or written."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def identity(self) -> str:
        """Tells this rack from all others; empty where nothing was ever put on it."""
        with self.reading() as connection:
            return "" if connection is None else identity_of(connection)

    def pieces(self) -> tuple[RackPiece, ...]:
        """All that lies on the rack, for a new plan; with why where it is not to be cut."""
        return tuple(_offered(piece) for piece in self.kept())

    def pieces_for(self, session: str) -> tuple[RackPiece, ...]:
        """As ``pieces``, for a session: what it was promised, and what it has cut, is its own.

        Left out is what the planner gives it anyway: ends of its own boards (as the rest of
        those), clear parts of what it has cut, and what remains of its sheets and cloth, which are
        laid out whole each time.
        """
        with self.reading() as connection:
            if connection is None:
                return ()
            own = {piece for piece, (owner, _) in promises(connection).items() if owner == session}
            cut = {
                piece
                for (piece,) in connection.execute(
                    "SELECT piece FROM cut WHERE session = ? AND piece IS NOT NULL", (session,)
                )
            }
            ends = {
                id_
                for (id_,) in connection.execute(
                    "SELECT id FROM piece WHERE session = ?"
                    " AND (rest = 'end' OR rest LIKE 'clear-%' OR stuff <> 'wood' OR gone <> '')",
                    (session,),
                )
            }
            return tuple(
                _offered(replace(piece, promised_to="") if piece.id in own | cut else piece)
                for piece in read_pieces(connection, is_all=True)
                if (not piece.gone or piece.id in cut) and piece.id not in ends
            )

    def kept(self, *, is_all: bool = False) -> tuple[KeptPiece, ...]:
        """What lies on the rack, by number; ``is_all``: also what left it."""
        with self.reading() as connection:
            return () if connection is None else tuple(read_pieces(connection, is_all=is_all))

    def add(self, pieces: Iterable[KeptPiece], at_s: int) -> tuple[str, ...]:
        """Put pieces on the rack, all or none; an empty id gets the next number. Their ids."""
        put = tuple(pieces)
        with self.writing() as connection:
            filling = _Filling(connection, at_s, (piece.id for piece in put))
            return tuple(filling.put(piece) for piece in put)

    def merge(self, rows: Iterable[tuple[str, KeptPiece]], at_s: int) -> tuple[int, int]:
        """Pieces of a table: new ones added, known ones as measured now; all or none.

        ``rows``: where each stands (``line 4``), for the refusal. How many were added and changed.
        """
        added = changed = 0
        table = tuple(rows)
        with self.writing() as connection:
            filling = _Filling(connection, at_s, (piece.id for _, piece in table))
            for where, piece in table:
                was = filling.known.get(piece.id)
                if was is None:
                    filling.put(piece)
                    added += 1
                elif was.gone:
                    raise RackRefusal(f"{where}: {_taken_words(was)}")
                elif was != replace(piece, promised_to=was.promised_to, left_of=was.left_of):
                    _check_free(was, f"{where}: ")
                    update_piece(connection, piece)
                    changed += 1
        return added, changed

    def remove(self, id_: str, how: str, at_s: int, *, is_sure: bool = False) -> KeptPiece:
        """Take a piece off the rack; a promised one only when that is meant. What it was."""
        with self.writing() as connection:
            piece = _find(connection, id_)
            if not is_sure:
                _check_free(piece)
            take_away(connection, id_, how, at_s)
            return piece

    def answer(self, id_: str, answers: Answers) -> KeptPiece:
        """What a look at a reclaimed piece found; the piece as it is now."""
        with self.writing() as connection:
            piece = replace(_find(connection, id_), reclaimed=True, answers=answers)
            update_piece(connection, piece)
            return piece

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection | None]:
        """A checked connection; None where nothing was ever kept."""
        with plainly(self.path, "read", say(FROM_COPY)):
            if not look_at_rack(self.path):
                yield None
                return
            connection = connect(self.path, "rw")
            try:
                check_rack(connection, self.path)
                yield connection if has_tables(connection) else None
            finally:
                connection.close()

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """A checked connection inside a transaction; makes the file where there is none."""
        with plainly(self.path, "written", say(FROM_COPY)):
            look_at_rack(self.path)
            self.path.parent.mkdir(parents=True, exist_ok=True)
            connection = connect(self.path, "rwc")
            try:
                check_rack(connection, self.path)
                with transaction(connection):
                    if not has_tables(connection):
                        make_tables(connection)
                    yield connection
            finally:
                connection.close()


class _Filling:
    """Pieces on their way to the rack, which is read once however many they are.

    A piece without an id gets a number above all that were ever given, and above all that this
    round names itself, so that no row takes another one's.
    """

    def __init__(self, connection: sqlite3.Connection, at_s: int, named: Iterable[str]) -> None:
        self.known = {piece.id: piece for piece in read_pieces(connection, is_all=True)}
        """All that the rack ever held, by id."""
        self._connection = connection
        self._at_s = at_s
        self._last = highest_number([*self.known, *named])

    def put(self, piece: KeptPiece) -> str:
        """Put one more there; its id. RackRefusal where that is taken."""
        if not piece.id:
            self._last += 1
            piece = replace(piece, id=id_of(self._last))
        if piece.id in self.known:
            raise RackRefusal(_taken_words(self.known[piece.id]))
        insert_piece(self._connection, piece, self._at_s)
        self.known[piece.id] = piece
        return piece.id


def _offered(piece: KeptPiece) -> RackPiece:
    return RackPiece(
        id=piece.id,
        material=piece.stuff.value,
        length=piece.length,
        width=piece.width,
        thickness=piece.thickness,
        defects=piece.defects,
        barred=barred_words(piece),
    )


def _find(connection: sqlite3.Connection, id_: str) -> KeptPiece:
    known = {piece.id: piece for piece in read_pieces(connection, is_all=True)}
    if id_ in known and not known[id_].gone:
        return known[id_]
    if id_ in known:
        raise RackRefusal(_taken_words(known[id_]))
    there = ", ".join(piece.id for piece in known.values() if not piece.gone) or say("nothing")
    raise RackRefusal(
        say("there is no piece '{id}' on the rack; there are: {there}", id=id_, there=there)
    )


def _taken_words(piece: KeptPiece) -> str:
    if piece.gone:
        return say(
            "{piece_id} left the rack ({gone}); a new piece gets a new number",
            piece_id=piece.id,
            gone=piece.gone,
        )
    return say(
        "{piece_id} is on the rack already; leave the id out, and it gets the next number",
        piece_id=piece.id,
    )


def _check_free(piece: KeptPiece, where: str = "") -> None:
    if piece.promised_to:
        raise RackRefusal(
            say(
                "{where}{piece_id} is promised to {promised_to}; end that batch first, or add"
                " --anyway",
                where=where,
                piece_id=piece.id,
                promised_to=piece.promised_to,
            )
        )
