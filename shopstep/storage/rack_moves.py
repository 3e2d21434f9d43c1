"""A tick's moves written into the rack, beside the session's events in one transaction.

The rack is attached to the session's connection; the caller holds the transaction. Whatever was
moved for a session before is known by (session, stock piece, rest), so nothing is moved twice:
neither when a tick is played again nor when an older copy of the session goes on. Imports
``sqlite3``, the moves of ``session``, and the rows of this room.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from dataclasses import replace

from shopstep.model.material import Form
from shopstep.model.naming import BUILD_MARK
from shopstep.model.plan import Plan
from shopstep.model.rack import Answers, KeptPiece, Stuff
from shopstep.model.stock import REST, StockPiece
from shopstep.session.rack_moves import (
    CLEAR,
    PLANED,
    Came,
    Come,
    CutInto,
    Leave,
    Move,
    Moved,
    Thin,
    Undo,
)
from shopstep.stock.clear import planed_zones
from shopstep.storage.rack_rows import (
    insert_piece,
    next_id,
    put_back,
    read_pieces,
    take_away,
)
from shopstep.units import ZERO
from shopstep.words import say

CUT = "cut"
_SIZE = " was "
"""Parts a rest that was cut into from the length and width that it had, in nanometres."""


def moved_for(connection: sqlite3.Connection, session: str) -> Moved:
    """What was moved for a session so far."""
    left = connection.execute("SELECT stock FROM cut WHERE session = ?", (session,))
    came: set[Came] = {
        (stock, rest)
        for stock, rest in connection.execute(
            "SELECT stock, rest FROM piece WHERE session = ? AND stock IS NOT NULL", (session,)
        )
    }
    return Moved(frozenset(stock for (stock,) in left), frozenset(came))


def apply_moves(
    connection: sqlite3.Connection,
    session: str,
    version: int,
    moves: Iterable[Move],
    plan: Plan,
    at_s: int,
) -> list[KeptPiece | str]:
    """Write the moves of one event; the pieces that came, and sentences about what does not fit."""
    told: list[KeptPiece | str] = []
    for move in moves:
        if isinstance(move, Undo):
            told += _undo(connection, session, move.step)
        elif isinstance(move, CutInto):
            _cut_into(connection, session, version, move, at_s)
        elif isinstance(move, Thin):
            told += _thin(connection, session, version, move)
        elif isinstance(move, Leave):
            told += _leave(connection, session, version, move, plan, at_s)
        else:
            told += _come(connection, session, version, move, plan, at_s)
    return told


def rack_id_of(connection: sqlite3.Connection, session: str, piece: StockPiece) -> str | None:
    """The rack's id of a piece of a plan's stock; None where it was bought, or came off no rack."""
    if piece.id.startswith(REST):
        row = connection.execute(
            "SELECT id FROM piece WHERE session = ? AND stock = ? AND rest = 'end'",
            (session, piece.id.removeprefix(REST)),
        ).fetchone()
        return None if row is None else str(row[0])
    if not piece.rack_id:
        return None
    # a clear part that came back by itself when another part of its board was cut
    clear = connection.execute(
        "SELECT p.id FROM piece AS p JOIN cut AS c ON c.session = p.session AND c.stock = p.stock"
        " WHERE p.session = ? AND p.rest = ? AND c.piece = ?",
        (session, f"{CLEAR}{piece.starts_at.nm}", piece.rack_id),
    ).fetchone()
    return piece.rack_id if clear is None else str(clear[0])


def _leave(
    connection: sqlite3.Connection, session: str, version: int, move: Leave, plan: Plan, at_s: int
) -> list[KeptPiece | str]:
    id_ = rack_id_of(connection, session, move.piece)
    connection.execute(
        "INSERT INTO cut VALUES (?, ?, ?, ?, ?)", (session, version, move.step, move.piece.id, id_)
    )
    if id_ is None:
        return []
    was = next((p for p in read_pieces(connection, is_all=True) if p.id == id_), None)
    if was is None or was.gone not in ("", CUT):
        gone = was.gone if was is not None else "lost"
        return [say("{id} was not on the rack any more ({gone})", id=id_, gone=gone)]
    if was.gone == CUT:
        return []  # another clear part of the same board was cut before
    take_away(connection, id_, CUT, at_s)
    used = {piece.starts_at for piece in plan.stock if piece.rack_id == id_}
    parts: list[KeptPiece | str] = []
    snipe = move.piece.snipe if move.piece.planed_from else ZERO
    for start, end in planed_zones(was.length, was.defects, snipe) if was.defects else ():
        if start in used:
            continue
        part = replace(was, id=next_id(connection), length=end - start, defects=(), promised_to="")
        origin = (session, version, move.step, move.piece.id, f"{CLEAR}{start.nm}")
        insert_piece(connection, part, at_s, origin)
        parts.append(part)
    return parts


def _thin(
    connection: sqlite3.Connection, session: str, version: int, move: Thin
) -> list[KeptPiece | str]:
    """The board is as thick as it was planed; what it was is noted in the name of the move.

    No piece stands beside the name, for none has left the rack.
    """
    id_ = move.piece.rack_id
    connection.execute(
        "INSERT OR REPLACE INTO cut VALUES (?, ?, ?, ?, NULL)",
        (session, version, move.step, move.name),
    )
    row = connection.execute("SELECT gone FROM piece WHERE id = ?", (id_,)).fetchone()
    if row is None or row[0]:
        return [
            say("{id} was not on the rack any more ({row})", id=id_, row=row[0] if row else "lost")
        ]
    connection.execute("UPDATE piece SET thickness_nm = ? WHERE id = ?", (move.thickness.nm, id_))
    return []


def _come(
    connection: sqlite3.Connection, session: str, version: int, move: Come, plan: Plan, at_s: int
) -> list[KeptPiece | str]:
    there = connection.execute(
        "SELECT id, length_nm, width_nm, gone FROM piece"
        " WHERE session = ? AND stock = ? AND rest = ?",
        (session, move.piece.id, move.rest.key),
    ).fetchone()
    if there is not None:
        return _resize(connection, session, version, there, move)
    id_ = rack_id_of(connection, session, move.piece)
    parent = next((p for p in read_pieces(connection, is_all=True) if p.id == id_), None)
    piece = KeptPiece(
        id=next_id(connection),
        stuff=parent.stuff if parent else stuff_of(plan, move.piece),
        length=move.rest.length,
        width=move.rest.width,
        thickness=parent.thickness if parent and move.spoiled is None else move.thickness,
        note="" if move.spoiled is None else _spoiled_words(move.rest.owners[0], move.spoiled),
        reclaimed=move.spoiled is not None or (parent is not None and parent.reclaimed),
        answers=parent.answers if parent and move.spoiled is None else Answers(),
    )
    origin = (session, version, move.step, move.piece.id, move.rest.key)
    insert_piece(connection, piece, at_s, origin)
    return [piece]


def _spoiled_words(part: str, reason: str) -> str:
    """What the rack's list says of it: "spoiled back rail: split at the end"."""
    name = part.partition(BUILD_MARK)[0].replace("_", " ")
    return f"spoiled {name}{f': {reason}' if reason else ''}"


def _cut_into(
    connection: sqlite3.Connection, session: str, version: int, move: CutInto, at_s: int
) -> None:
    row = connection.execute(
        "SELECT id FROM piece WHERE session = ? AND stock = ? AND rest = ? AND gone = ''",
        (session, move.piece.id, move.key),
    ).fetchone()
    if row is None:
        return
    stock = f"{move.piece.id} {move.key}"
    connection.execute(
        "INSERT OR REPLACE INTO cut VALUES (?, ?, ?, ?, ?)",
        (session, version, move.step, stock, row[0]),
    )
    take_away(connection, row[0], CUT, at_s)


def _resize(
    connection: sqlite3.Connection,
    session: str,
    version: int,
    there: tuple[str, int, int, str],
    move: Come,
) -> list[KeptPiece | str]:
    """What came before, and was cut into since by the same session: its size is what is left.

    The size that it had is noted beside the cut, for a step that is opened again.
    """
    id_, length, width, gone = there
    if gone or (length, width) == (move.rest.length.nm, move.rest.width.nm):
        return []
    was = f"{move.piece.id} {move.rest.key}{_SIZE}{length} {width}"
    connection.execute(
        "INSERT OR REPLACE INTO cut VALUES (?, ?, ?, ?, ?)", (session, version, move.step, was, id_)
    )
    connection.execute(
        "UPDATE piece SET length_nm = ?, width_nm = ? WHERE id = ?",
        (move.rest.length.nm, move.rest.width.nm, id_),
    )
    return [next(piece for piece in read_pieces(connection) if piece.id == id_)]


def stuff_of(plan: Plan, piece: StockPiece) -> Stuff:
    """What a bought piece is made of, in the rack's words."""
    material = next(m for m in plan.materials if m.id == piece.material)
    if material.stuff:
        return Stuff(material.stuff)
    if material.form is Form.BOARD:
        return Stuff.WOOD
    if material.form is Form.ROLL:
        return Stuff.CLOTH
    return Stuff.HARDBOARD if Stuff.HARDBOARD in material.title.lower() else Stuff.PLYWOOD


def _undo(connection: sqlite3.Connection, session: str, step: str) -> list[KeptPiece | str]:
    """Nothing was cut by the step: what it brought goes, what it took comes back.

    What was used meanwhile stays used, and then the piece that it came off stays cut.
    """
    came = connection.execute(
        "SELECT id, stock, gone FROM piece WHERE session = ? AND step = ?", (session, step)
    ).fetchall()
    used = {stock: id_ for id_, stock, gone in came if gone}
    connection.executemany(
        "DELETE FROM piece WHERE id = ?", [(id_,) for id_, stock, _ in came if stock not in used]
    )
    rows = connection.execute(
        "SELECT stock, piece FROM cut WHERE session = ? AND step = ?", (session, step)
    ).fetchall()
    for stock, id_ in rows:
        if stock in used:
            continue
        connection.execute("DELETE FROM cut WHERE session = ? AND stock = ?", (session, stock))
        if PLANED in stock:
            board, _, was = stock.rpartition(PLANED)
            connection.execute("UPDATE piece SET thickness_nm = ? WHERE id = ?", (int(was), board))
            continue
        if _SIZE in stock:
            size = (int(nm) for nm in stock.rpartition(_SIZE)[2].split())
            connection.execute(
                "UPDATE piece SET length_nm = ?, width_nm = ? WHERE id = ? AND gone = ''",
                (*size, id_),
            )
            continue
        others = connection.execute("SELECT 1 FROM cut WHERE piece = ?", (id_,)).fetchone()
        if id_ is not None and others is None:
            put_back(connection, id_)
    return [
        say(
            "{id}, left over from {stock}, has left the rack meanwhile, so {stock} stays cut there",
            id=id_,
            stock=stock,
        )
        for stock, id_ in used.items()
    ]
