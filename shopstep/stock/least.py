"""How few boards, sheets or lengths of a roll any layout has to buy, or how little it spends.

Each item is weighed by its length and by its width; no piece of stock can hold more weight than it
has itself, so what the rack cannot hold has to be bought. A kerf goes with each item, and one more
is free at the end. Imports the lengths and the items of this room, and ``model``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

from shopstep.model.material import Material
from shopstep.model.stock import RackPiece
from shopstep.stock.items import Item
from shopstep.stock.lengths import Lengths, pack_with
from shopstep.stock.lengths.bounds import Weigh, weights
from shopstep.stock.sold import sold_kinds
from shopstep.units import Length

_WORK = 400
"""So much is spent on the proof for pieces that cannot lie side by side."""
_MOST_SUMS = 20_000
"""Up to here it is looked at what prices can add up to."""
_MOST_WEIGHINGS = 16
"""So many ways to weigh lengths, and as many to weigh widths, are tried together."""


def least_bought(
    items: list[Item],
    material: Material,
    rack: Iterable[RackPiece],
    kerf: Length,
    rough_extra: Length,
) -> int:
    """No layout spends less, in units of ``sold``: pieces, where they are of one length.

    ``rough_extra``: goes off every bought piece at its ends.
    """
    kinds = [(k.length.nm + kerf.nm - rough_extra.nm, k.worth) for k in sold_kinds(material)]
    kinds = [kind for kind in kinds if kind[0] > 0]
    long, wide = material.sold_length + kerf - rough_extra, material.sold_width + kerf
    sizes = Counter((item.length.nm + kerf.nm, item.width.nm + kerf.nm) for item in items)
    here = {size: n for size, n in sizes.items() if size[0] <= long.nm and size[1] <= wide.nm}
    there = [(piece.length.nm + kerf.nm, piece.width.nm + kerf.nm) for piece in rack]
    if not here:
        return 0
    best = _by_weight(here, there, kinds, wide.nm)
    if not there:
        bars = _side_by_side(here, long.nm, wide.nm)
        best = max(best, bars * min(worth for _, worth in kinds))
    return attainable(best, [worth for _, worth in kinds])


def attainable(least: int, worths: list[int]) -> int:
    """The least sum of worths that is no less."""
    if len(worths) == 1:
        return -(-least // worths[0]) * worths[0]
    sums, most = {0}, least + max(worths)
    if most > _MOST_SUMS:
        return least
    for total in range(1, most + 1):
        if any(total - worth in sums for worth in worths):
            sums.add(total)
    return min(total for total in sums if total >= least)


def _by_weight(
    here: dict[tuple[int, int], int],
    there: list[tuple[int, int]],
    kinds: list[tuple[int, int]],
    wide: int,
) -> int:
    """The best of many ways to weigh; what lies on the rack is as heavy as it can be loaded.

    ``kinds``: lengths on sale with their worth, the longest first; what is loaded for the least
    worth is what all that has to be bought is taken to be.
    """
    long = kinds[0][0]
    stock = [a for a, _ in (*there, *kinds)]
    ways_long = [
        _Weighed.of(f, [a for a, _ in here], stock, long) for f in _few(long, {a for a, _ in here})
    ]
    ways_wide = [
        _Weighed.of(g, [b for _, b in here], [b for _, b in there], wide)
        for g in _few(wide, {b for _, b in here})
    ]
    counts = list(here.values())
    fitting = [
        [n for n, (a, b) in enumerate(here) if a <= long_ and b <= wide_] for long_, wide_ in there
    ]
    best = 0
    for f in ways_long:
        for g in ways_wide:
            loads = [a * b * n for a, b, n in zip(f.items, g.items, counts, strict=True)]
            # a rack piece holds no more than its own weight, and no more than all that fits on it
            room = sum(
                min(a * b, sum(loads[n] for n in fits))
                for a, b, fits in zip(f.rack[: len(there)], g.rack, fitting, strict=True)
            )
            need = sum(loads) - room
            if need > 0:
                sold = zip(f.rack[len(there) :], kinds, strict=True)
                costs = (_worth(need, a * g.parts, worth) for a, (_, worth) in sold if a)
                best = max(best, min(costs))
    return best


def _worth(need: int, holds: int, worth: int) -> int:
    """So much is worth what holds all that is needed, parts of a piece counted as parts."""
    return -(-need * worth // holds)


@dataclass(frozen=True, slots=True)
class _Weighed:
    """One way to weigh one side of everything, in whole parts."""

    parts: int
    """So many parts are the weight that a bought piece holds."""
    items: list[int]
    rack: list[int]

    @classmethod
    def of(cls, weigh: Weigh, items: list[int], rack: list[int], capacity: int) -> _Weighed:
        """``items`` and ``rack``: the sides of all of them, in order."""
        load = [weigh(size) for size in items]
        room = [_holds(weigh, size, capacity) for size in rack]
        parts = lcm(*(weight.denominator for weight in (*load, *room)))
        return cls(parts, [int(w * parts) for w in load], [int(w * parts) for w in room])


def _few(capacity: int, sizes: set[int]) -> list[Weigh]:
    """The plain weight first; the others as far as they are not too many."""
    found = list(weights(capacity, tuple(sizes)))
    return [found[0], *found[1:][-_MOST_WEIGHINGS + 1 :]]


def _holds(weigh: Weigh, size: int, capacity: int) -> Fraction:
    """What a length of stock can be loaded with; one longer than is sold counts as two and more.

    The weights grow faster than the lengths together do (f(a) + f(b) is f(a + b) at most), so a
    length holds as much as one piece of its own length weighs.
    """
    if size <= capacity:
        return weigh(size)
    whole, rest = divmod(size, capacity)
    return Fraction(2 * whole + (1 if rest else 0))


def _side_by_side(here: dict[tuple[int, int], int], long: int, wide: int) -> int:
    """What is wider than half a piece lies end to end: bars of one length."""
    lengths = [a for (a, b), n in here.items() if 2 * b > wide for _ in range(n)]
    return pack_with(Lengths.of(long, lengths), _WORK).bound if lengths else 0


def least_off_roll(items: list[Item], width: Length, rack: Iterable[RackPiece]) -> Length:
    """No layout takes less of a roll's length; each piece may lie either way round."""
    there = [(piece.length.nm, piece.width.nm) for piece in rack]
    sides = [(item.length.nm, item.width.nm) for item in items]
    best = 0
    for g in _few(width.nm, {side for pair in sides for side in pair if side <= width.nm}):
        load = sum((_lightest(a, b, g, width.nm) for a, b in sides), Fraction(0))
        room = sum((_cloth_holds(a, b, g, width.nm) for a, b in there), Fraction(0))
        need = load - room
        best = max(best, -(-need.numerator // need.denominator))
    if not there:
        along = (min(pair) if max(pair) <= width.nm else max(pair) for pair in sides)
        best = max((best, *along))
    return Length(best)


def _cloth_holds(long: int, wide: int, weigh: Weigh, width: int) -> Fraction:
    """What a piece on the rack can be loaded with; across one that is wider than the roll a piece
    may lie that has to be turned on the roll."""
    held = long * _holds(weigh, wide, width)
    return held if wide <= width else held + wide * _holds(weigh, long, width)


def _lightest(a: int, b: int, weigh: Weigh, width: int) -> Fraction:
    """The weight of a piece of cloth the way round that weighs less; nothing if it fits neither."""
    ways = [along * weigh(across) for along, across in ((a, b), (b, a)) if across <= width]
    return min(ways, default=Fraction(0))
