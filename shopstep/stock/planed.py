"""Boards that are thicker than their parts: planed only where that saves buying.

Planing is work, so they come after all that need none, and no more of them than save as much.
Imports ``shopstep.model`` and the search of this room.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from shopstep.model.material import Material
from shopstep.model.plan import Finding, Level, Where
from shopstep.model.stock import RackPiece, StockPiece
from shopstep.stock.items import Item
from shopstep.stock.pieces import Rules
from shopstep.stock.search import Found, bound_bought, lay_within, search_layout
from shopstep.units import Length, format_length
from shopstep.words import say


def between_ends(material: Material) -> Material:
    """The material as long as its boards are once they are planed and their ends are off."""
    if not material.sold_thickness:
        return material
    return replace(material, sold_length=material.sold_length - material.snipe.times(2))


def as_bought(piece: StockPiece) -> StockPiece:
    """A piece as long as it is sold."""
    return replace(piece, length=piece.length + piece.snipe.times(2))


def search_sparing(
    items: list[Item], material: Material, rack: list[RackPiece], kerf: Length, rules: Rules
) -> Found:
    """As ``search_layout``; without the pieces that have to be planed, unless less has to be bought
    with them, and then with as few of them as are found to save as much.

    ``rack``: in the order in which it is to be used. The bound holds for all of it.
    """
    ready = [piece for piece in rack if not piece.planed]
    given = (kerf, rules)
    if len(ready) == len(rack):
        return search_layout(items, material, rack, *given)
    enough = lay_within(items, material, ready, *given, 0)
    if enough is not None:
        return Found(enough, 0)
    full = search_layout(items, material, rack, *given)
    best = len(full.laid.misfits), full.laid.spent
    if best >= (0, bound_bought(items, material, ready, *given)):
        plain = search_layout(items, material, ready, *given).laid
        if (len(plain.misfits), plain.spent) <= best:
            return Found(plain, full.least)
    for few in _fewer(rack) if not full.laid.misfits else ():
        laid = lay_within(items, material, few, *given, full.laid.spent)
        if laid is not None:
            return Found(laid, full.least)
    return full


def _fewer(rack: list[RackPiece]) -> Iterator[list[RackPiece]]:
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
            say(
                "{named} could be planed to {thickness}, and is left as it is: planing is work, "
                "and no less has to be bought with it",
                named=named,
                thickness=thickness,
            ),
            Where(name="rack"),
            "",
        )
    ]
