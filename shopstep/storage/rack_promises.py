"""Which batch is to have which piece of the rack; the caller holds the transaction.

Works on the rack alone and on a rack attached to a session. Imports ``sqlite3`` and ``model``.
"""

from __future__ import annotations

import sqlite3
from pathlib import Path

from shopstep.model.plan import Plan
from shopstep.storage.rack_rows import promises
from shopstep.words import say


def note_batch(connection: sqlite3.Connection, session: str, path: Path, title: str) -> None:
    """The session works with this rack, and lives in this file now."""
    connection.execute(
        "INSERT INTO batch (session, path, title) VALUES (?, ?, ?)"
        " ON CONFLICT (session) DO UPDATE SET path = excluded.path, title = excluded.title"
        " WHERE path <> excluded.path OR title <> excluded.title",
        (session, str(path.absolute()), title),
    )


def promise_stock(connection: sqlite3.Connection, session: str, plan: Plan) -> list[str]:
    """The plan's rack pieces are the session's, and no others any more; what cannot be, in words.

    A piece that the session has cut already needs no promise.
    """
    owners = promises(connection)
    cut = {
        piece
        for (piece,) in connection.execute("SELECT piece FROM cut WHERE session = ?", (session,))
    }
    gone = dict(connection.execute("SELECT id, gone FROM piece"))
    wanted = dict.fromkeys(piece.rack_id for piece in plan.stock if piece.rack_id)
    trouble: list[str] = []
    kept: set[str] = set()
    for id_ in wanted:
        if id_ in cut:
            continue
        owner, title = owners.get(id_, (session, ""))
        if owner != session:
            trouble.append(say("{id} is promised to {title}", id=id_, title=title))
        elif gone.get(id_, "lost"):
            trouble.append(
                say("{id} is not on the rack any more ({why})", id=id_, why=gone.get(id_, "lost"))
            )
        else:
            kept.add(id_)
    _keep(connection, session, kept)
    return trouble


def _keep(connection: sqlite3.Connection, session: str, pieces: set[str]) -> None:
    """Exactly these are promised to the session; nothing is written where that is so already."""
    rows = connection.execute("SELECT piece FROM promise WHERE session = ?", (session,))
    was = {piece for (piece,) in rows}
    for piece in sorted(was - pieces):
        connection.execute("DELETE FROM promise WHERE session = ? AND piece = ?", (session, piece))
    for piece in sorted(pieces - was):
        connection.execute("INSERT INTO promise VALUES (?, ?)", (session, piece))


def end_batch(connection: sqlite3.Connection, session: str) -> None:
    """The batch ended: all that it was promised, and all that it left over, is free."""
    connection.execute("UPDATE batch SET ended = 1 WHERE session = ?", (session,))


def take_up_batch(connection: sqlite3.Connection, session: str) -> None:
    """A step was opened again: the batch goes on."""
    connection.execute("UPDATE batch SET ended = 0 WHERE session = ?", (session,))


def forget_batch(connection: sqlite3.Connection, session: str) -> None:
    """The batch was never begun, or its file is gone: nothing is promised to it."""
    connection.execute("DELETE FROM promise WHERE session = ?", (session,))
    connection.execute("UPDATE batch SET ended = 1 WHERE session = ?", (session,))
