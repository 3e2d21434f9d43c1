"""Boards that are thicker than their parts, and stay as they are. Imports ``shopstep.model``."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from shopstep.model.material import Material
from shopstep.model.plan import Finding, Level, Where
from shopstep.model.stock import RackPiece, StockPiece
from shopstep.units import format_length


def fewer_planed(rack: list[RackPiece]) -> Iterator[list[RackPiece]]:
    """The rack with the first one, two, four… of the boards that have to be planed, in its order:
    those that lose least first; not with all of them."""
    boards = list(dict.fromkeys(piece.rack_id for piece in rack if piece.planed))
    count = 1
    while count < len(boards):
        yield [piece for piece in rack if not piece.planed or piece.rack_id in boards[:count]]
        count *= 2


def tell_unplaned(
    offered: Iterable[RackPiece], laid: Iterable[StockPiece], material: Material, display: str
) -> list[Finding]:
    """A note on the thicker pieces that could be planed, and that nothing is cut from."""
    boards = {piece.id: piece.rack_id or piece.id for piece in offered if piece.planed}
    used = {boards[piece.id] for piece in laid if piece.id in boards}
    left = dict.fromkeys(board for board in boards.values() if board not in used)
    if not left:
        return []
    named = ", ".join(left)
    thickness = format_length(material.thickness, display)
    return [
        Finding(
            Level.NOTE,
            "not_planed",
            f"{named} could be planed to {thickness}, and is left as it is: planing is work, and no"
            " less has to be bought with it",
            Where(name="rack"),
            "",
        )
    ]
