"""How few boards all layouts need, by prices: the relaxation over every load of a board.

Each size has a price, and no board holds more than its dearest load is worth; so what all pieces
are worth takes so many boards. The prices come of column generation (Gilmore and Gomory 1961,
Farley 1990; from memory), what they prove is worked out in whole numbers. Imports
``shopstep.model`` and this room.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from shopstep.model.material import Material
from shopstep.stock.dearest_loads import Board, Cutting, DearestLoads
from shopstep.stock.items import Item
from shopstep.stock.least import attainable
from shopstep.stock.lengths.patterns import Basis
from shopstep.stock.loads import Load, TooMuch, Work
from shopstep.stock.sold import sold_kinds
from shopstep.units import Length

_WORK = 600_000
"""About half a second for all that is tried together."""
_MOST_ROUNDS = 300
_SCALE = 10**7
"""Prices are rounded to so many parts before they prove anything."""
_TINY = 1e-9


def least_by_prices(
    items: Sequence[Item],
    material: Material,
    kerf: Length,
    rough_extra: Length,
    edge_trim: Length,
    known: int,
    most: int,
) -> int:
    """No layout from bought boards alone spends less; ``known`` is proved, ``most`` is enough."""
    kinds = sold_kinds(material)
    worths = [kind.worth for kind in kinds]
    lengths = [kind.length.nm for kind in kinds]
    counted = Counter((item.length.nm, item.width.nm) for item in items)
    sizes, wanted = tuple(counted), tuple(counted.values())
    loads = DearestLoads(sizes, kerf.nm, rough_extra.nm, Work(_WORK), proves=True)
    board = Board(lengths[0], material.sold_width.nm, edge_trim.nm, whole=False)
    best = known
    try:
        for bound, end in _bounds(loads, board, lengths, worths, wanted):
            best = max(best, attainable(bound, worths))
            if best >= min(most, attainable(end, worths)):
                break
    except TooMuch:
        pass
    return min(best, most)


def _bounds(
    loads: DearestLoads, board: Board, lengths: list[int], worths: list[int], wanted: Load
) -> Iterator[tuple[int, int]]:
    """Better and better bounds, each of them proved, and what no later one will exceed; ends where
    the prices are the best."""
    basis = Basis(_alone(loads, board, wanted), wanted, float(worths[0]))
    for _ in range(_MOST_ROUNDS):
        prices = basis.prices()
        lowest = min(range(len(prices)), key=lambda n: prices[n])
        if prices[lowest] < -_TINY:
            surplus = tuple(-int(n == lowest) for n in range(len(prices)))
            if not basis.bring_in(surplus):
                return
            continue
        whole = [max(0, round(price * _SCALE)) for price in prices]
        value = sum(price * count for price, count in zip(whole, wanted, strict=True))
        ways = loads.of_lengths(board, lengths, whole, wanted)
        found = [(*way, worth) for way, worth in zip(ways, worths, strict=True)]
        bound = min(-(-value * worth // load) for load, _, worth in found if load)
        yield bound, max(bound, -(-value // _SCALE))
        load, cutting, worth = max(found, key=lambda one: one[0] / one[2])
        is_best = load <= worth * (_SCALE + len(wanted))
        if is_best or not basis.bring_in(_load_of(cutting, len(wanted)), float(worth)):
            return


def _alone(loads: DearestLoads, board: Board, wanted: Load) -> list[int]:
    """How many of each size by itself the board holds, up to what is wanted."""
    held: list[int] = []
    for number, count in enumerate(wanted):
        prices = [int(number == n) for n in range(len(wanted))]
        worth, _ = loads.load(board, prices, wanted)
        held.append(max(1, min(worth, count)))
    return held


def _load_of(cutting: Cutting, sizes: int) -> Load:
    """How many of each size lie on a board that is cut so."""
    total = Counter[int]()
    for _, lanes in cutting:
        for lane in lanes:
            total.update(dict(lane))
    return tuple(total[number] for number in range(sizes))
