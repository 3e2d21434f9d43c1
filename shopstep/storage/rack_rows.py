"""Rows of the rack file as pieces, and pieces as rows; the caller holds the transaction.

Works on the rack alone and on a rack attached to a session. Imports ``sqlite3`` and ``model``.
"""

from __future__ import annotations

import json
import re
import sqlite3
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from shopstep.model.rack import Answers, KeptPiece, Stuff
from shopstep.units import Length

_COLUMNS = (
    "p.id, p.stuff, p.length_nm, p.width_nm, p.thickness_nm, p.defects, p.note, p.reclaimed,"
    " p.metal, p.old_paint, p.preservative, p.damp, p.gone, p.session, p.stock"
)


def read_pieces(connection: sqlite3.Connection, *, is_all: bool = False) -> list[KeptPiece]:
    """The pieces on the rack in the order of their numbers; ``is_all``: also those that left."""
    promised = promises(connection)
    titles = dict(connection.execute("SELECT session, title FROM batch"))
    where = "" if is_all else "WHERE p.gone = ''"
    rows = connection.execute(f"SELECT {_COLUMNS} FROM piece AS p {where} ORDER BY p.number")
    return [_piece(row, promised.get(row[0], ("", ""))[1], titles) for row in rows]


def _piece(row: tuple[Any, ...], promised: str, titles: dict[str, str]) -> KeptPiece:
    id_, stuff, length, width, thickness, defects, note, reclaimed, *answers = row
    metal, paint, preservative, damp, gone, session, stock = answers
    left_of = "" if stock is None else f"{stock} ({titles.get(session, 'a batch')})"
    return KeptPiece(
        id=id_,
        stuff=Stuff(stuff),
        length=Length(length),
        width=Length(width),
        thickness=Length(thickness),
        defects=tuple((Length(begin), Length(end)) for begin, end in json.loads(defects)),
        note=note,
        reclaimed=bool(reclaimed),
        answers=Answers(_bool(metal), _bool(paint), _bool(preservative), _bool(damp)),
        promised_to=promised if not gone else "",
        gone=gone,
        left_of=left_of,
    )


def _bool(value: int | None) -> bool | None:
    return None if value is None else bool(value)


def promises(connection: sqlite3.Connection) -> dict[str, tuple[str, str]]:
    """By piece the session that is to have it, and that batch's title.

    A session that ended, or whose file is gone, is promised nothing. What a running session left
    over stays with it too, for what it has to make again.
    """
    batches = {
        session: title
        for session, path, title in connection.execute(
            "SELECT session, path, title FROM batch WHERE ended = 0"
        )
        if Path(path).exists()
    }
    rows = connection.execute(
        "SELECT piece, session FROM promise UNION"
        " SELECT id, session FROM piece WHERE session IS NOT NULL"
    )
    return {piece: (session, batches[session]) for piece, session in rows if session in batches}


def insert_piece(
    connection: sqlite3.Connection,
    piece: KeptPiece,
    added_s: int,
    origin: tuple[str, int, str, str, str] | None = None,
) -> None:
    """A new row; ``origin``: session, version, step, stock piece and rest that it comes from."""
    connection.execute(
        "INSERT INTO piece (id, stuff, length_nm, width_nm, thickness_nm, defects, note, reclaimed,"
        " metal, old_paint, preservative, damp, added_s, session, version, step, stock, rest)"
        f" VALUES ({', '.join('?' * 18)})",
        (*_values(piece), added_s, *(origin or (None,) * 5)),
    )


def update_piece(connection: sqlite3.Connection, piece: KeptPiece) -> None:
    """The row of a piece, as it was measured anew."""
    id_, *values = _values(piece)
    connection.execute(
        "UPDATE piece SET stuff = ?, length_nm = ?, width_nm = ?, thickness_nm = ?, defects = ?,"
        " note = ?, reclaimed = ?, metal = ?, old_paint = ?, preservative = ?, damp = ?"
        " WHERE id = ?",
        (*values, id_),
    )


def _values(piece: KeptPiece) -> tuple[object, ...]:
    answers = piece.answers
    return (
        piece.id,
        piece.stuff.value,
        piece.length.nm,
        piece.width.nm,
        piece.thickness.nm,
        json.dumps([[begin.nm, end.nm] for begin, end in piece.defects]),
        piece.note,
        int(piece.reclaimed),
        answers.metal,
        answers.old_paint,
        answers.preservative,
        answers.damp,
    )


def next_id(connection: sqlite3.Connection) -> str:
    """R1, R2…: one more than the largest that was ever given."""
    return id_of(highest_number(id_ for (id_,) in connection.execute("SELECT id FROM piece")) + 1)


def id_of(number: int) -> str:
    """The id that goes with a number: R12."""
    return f"R{number}"


def highest_number(ids: Iterable[str]) -> int:
    """The largest number of these ids; 0 where none has one."""
    numbers = [int(found[1]) for id_ in ids if (found := re.fullmatch(r"R(\d{1,9})", id_))]
    return max(numbers, default=0)


def take_away(connection: sqlite3.Connection, id_: str, how: str, at_s: int) -> None:
    """The piece is no longer on the rack; its row stays."""
    connection.execute("UPDATE piece SET gone = ?, gone_s = ? WHERE id = ?", (how, at_s, id_))


def put_back(connection: sqlite3.Connection, id_: str) -> None:
    """The piece lies on the rack again."""
    connection.execute("UPDATE piece SET gone = '', gone_s = NULL WHERE id = ?", (id_,))
