"""Cloth of few sizes: every way of cutting it straight from edge to edge, each piece either way
round. So it is proved how short a length off the roll will do. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from shopstep.model.stock import Cut, RackPiece
from shopstep.stock.items import Item
from shopstep.stock.loads import Load, TooMuch, Work, add_loads, load_rack
from shopstep.stock.straight import Side, StraightCuts
from shopstep.units import Length

_WORK = 400_000
"""About half a second."""


@dataclass(frozen=True, slots=True)
class ClothLayout:
    """What is cut from each piece on the rack, and from the roll."""

    rack: tuple[tuple[RackPiece, tuple[Cut, ...]], ...]
    """Only pieces that something is cut from."""
    roll: tuple[Cut, ...]
    length: Length
    """What is bought of the roll; no way needs less."""


def lay_cloth(
    items: Sequence[Item],
    width: Length,
    rack: Sequence[RackPiece],
    lengths: Sequence[Length],
) -> ClothLayout | None:
    """The layout with the shortest of ``lengths`` (as sold, rising; the first may be nothing) that
    does; None where none does, or the ways are too many to say so."""
    try:
        return _lay(items, width, rack, lengths, Work(_WORK))
    except (TooMuch, RecursionError):
        return None


def _lay(
    items: Sequence[Item],
    width: Length,
    rack: Sequence[RackPiece],
    lengths: Sequence[Length],
    work: Work,
) -> ClothLayout | None:
    counted = Counter((item.length.nm, item.width.nm) for item in items)
    longest = max(lengths[-1], *(piece.length for piece in rack)) if rack else lengths[-1]
    widest = max(width, *(piece.width for piece in rack)) if rack else width
    sides = longest.nm, widest.nm
    ways = StraightCuts.of(tuple(counted), tuple(counted.values()), sides, work, turning=True)
    held = [ways.loads(piece.length.nm, piece.width.nm) for piece in rack]
    states = load_rack(held, ways.wanted, work)
    for length in lengths:
        for load, chosen in states.items():
            for more in ways.loads(length.nm, width.nm):
                if add_loads(load, more, ways.wanted) == ways.wanted:
                    return _close(items, rack, chosen, ways, (length, width, more))
    return None


def _close(
    items: Sequence[Item],
    rack: Sequence[RackPiece],
    chosen: tuple[Load, ...],
    ways: StraightCuts,
    bought: tuple[Length, Length, Load],
) -> ClothLayout:
    """The cuts of the loads; what is there more often than it is wanted is left out."""
    left: dict[Side, list[Item]] = {}
    for item in items:
        left.setdefault((item.length.nm, item.width.nm), []).append(item)

    def cut(length: Length, width: Length, load: Load) -> tuple[Cut, ...]:
        cuts = []
        for number, turned, x, y in ways.places(length.nm, width.nm, load):
            if own := left[ways.sizes[number]]:
                item = own.pop().turned() if turned else own.pop()
                at = Length(x), Length(y)
                cuts.append(Cut(item.part, item.hand, *at, item.length, item.width))
        return tuple(cuts)

    laid = [
        (piece, cut(piece.length, piece.width, load))
        for piece, load in zip(rack, chosen, strict=True)
    ]
    roll = cut(*bought)
    return ClothLayout(tuple(pair for pair in laid if pair[1]), roll, bought[0])
