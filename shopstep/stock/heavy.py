"""How few boards hold the largest pieces by themselves: a bound where the rack holds much.

All smaller pieces are left out, and alike lengths of one width are taken for the shortest of them:
so any layout of all is a layout of these. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from shopstep.model.material import Material
from shopstep.model.stock import RackPiece
from shopstep.stock.items import Item
from shopstep.stock.lanes import SHORTEST_RIP
from shopstep.stock.loads import TooMuch, Work, cheapest_more, load_rack
from shopstep.stock.sold import sold_kinds
from shopstep.stock.three_cuts import Side, ThreeCuts
from shopstep.units import Length

_WORK = 400_000
"""About half a second for all that is tried together."""
_MOST_SIZES = 10
_ALIKE = 20
"""Lengths of one width that differ by less than this part of them are taken for one."""


def usable_boards(
    rack: Sequence[RackPiece], items: Sequence[Item], extra: Length
) -> list[RackPiece]:
    """What of the boards on the rack can be used at all, by the rules of ``pieces``.

    An end that is not square goes off; what is too short to be ripped serves only at its width.
    """
    widths = {item.width for item in items}
    found: list[RackPiece] = []
    for piece in rack:
        if piece.length < SHORTEST_RIP and not (piece.squared and piece.width in widths):
            continue
        found.append(piece if piece.squared else replace(piece, length=piece.length - extra))
    return found


def least_for_heavy(
    items: Sequence[Item],
    material: Material,
    rack: Sequence[RackPiece],
    kerf: Length,
    rough_extra: Length,
    edge_trim: Length,
    most: int,
) -> int:
    """No layout spends less; looked for up to ``most``. Nought where that cannot be said."""
    best, work = 0, Work(_WORK)
    for count in range(2, _MOST_SIZES + 1):
        sizes = largest_sizes(items, count)
        try:
            found = _least(sizes, material, rack, kerf, rough_extra, edge_trim, most, work)
        except (TooMuch, RecursionError):
            break
        best = max(best, found)
        if best >= most or len(sizes) < count:
            break
    return best


def largest_sizes(items: Sequence[Item], count: int) -> dict[Side, int]:
    """So many sizes with most area each, and how many there are of them."""
    sizes = Counter((item.length.nm, item.width.nm) for item in items)
    joined: dict[Side, int] = {}
    for (length, width), number in sorted(sizes.items(), reverse=True):
        alike = next((s for s in joined if s[1] == width and (s[0] - length) * _ALIKE < s[0]), None)
        both = joined.pop(alike, 0) if alike else 0
        joined[length, width] = both + number
    heaviest = sorted(joined, key=lambda size: (size[0] * size[1], size), reverse=True)
    return {size: joined[size] for size in heaviest[:count]}


def _least(
    sizes: dict[Side, int],
    material: Material,
    rack: Sequence[RackPiece],
    kerf: Length,
    rough_extra: Length,
    edge_trim: Length,
    most: int,
    work: Work,
) -> int:
    """No way of cutting boards by their rules has smaller pieces out of less."""
    wanted = tuple(sizes.values())
    ways = ThreeCuts(tuple(sizes), wanted, kerf.nm, rough_extra.nm, work)
    held = [
        ways.loads(piece.length.nm, piece.width.nm, 0, whole=piece.squared)
        for piece in rack
        if piece.length >= SHORTEST_RIP or piece.width.nm in {wide for _, wide in sizes}
    ]
    wide = material.sold_width.nm
    sold = [
        (ways.loads(kind.length.nm, wide, edge_trim.nm, whole=False), kind.worth)
        for kind in sold_kinds(material)
    ]
    chosen = cheapest_more(load_rack(held, wanted, work), sold, wanted, most, work)
    return most if chosen is None else chosen.cost
