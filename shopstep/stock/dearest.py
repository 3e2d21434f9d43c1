"""How few boards all layouts need, by prices: the relaxation over every load of a board.

Each size has a price, and no board holds more than its dearest load is worth; so what all pieces
are worth takes so many boards. The prices come of column generation (Gilmore and Gomory 1961,
Farley 1990; from memory), what they prove is worked out in whole numbers. A load is what three
cuts give: rough lengths, lanes of one width, crosscuts. Imports ``shopstep.model`` and this room.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from shopstep.model.material import Material
from shopstep.stock.heavy import largest_sizes
from shopstep.stock.items import Item
from shopstep.stock.lanes import SHORTEST_RIP
from shopstep.stock.least import attainable
from shopstep.stock.lengths.patterns import Basis
from shopstep.stock.loads import Load, TooMuch, Work
from shopstep.stock.sold import sold_kinds
from shopstep.stock.straight import reachable_places
from shopstep.stock.three_cuts import Side
from shopstep.units import Length

_WORK = 900_000
"""About half a second for all that is tried together."""
_COUNTS = (8, 12)
"""So many of the largest sizes are looked at: with more of them more is proved, and more slowly."""
_MOST_ROUNDS = 300
_SCALE = 10**7
"""Prices are rounded to so many parts before they prove anything."""
_TINY = 1e-9
_ANY = 1_000
"""More things than lie beside each other on a board."""

Thing = tuple[int, int, int]
"""What it takes up with its kerf, what it is worth, how often it may be there."""


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
    best, work = known, Work(_WORK)
    kinds = sold_kinds(material)
    worths = [kind.worth for kind in kinds]
    for count in _COUNTS:
        sizes = largest_sizes(items, count)
        wanted = tuple(sizes.values())
        try:
            board = _Boards(
                tuple(sizes), wanted, [kind.length.nm for kind in kinds], material.sold_width.nm,
                kerf.nm, rough_extra.nm, edge_trim.nm, work,
            )  # fmt: skip
            for bound in _bounds(board, wanted, worths):
                best = max(best, attainable(bound, worths))
        except TooMuch:
            break
        if best >= most or len(sizes) < count:
            break
    return min(best, most)


def _bounds(boards: _Boards, wanted: Load, worths: Sequence[int]) -> Iterator[int]:
    """Better and better bounds, each of them proved; ends where the prices are the best."""
    singles = [boards.alone(number) for number in range(len(wanted))]
    basis = Basis(singles, wanted, float(worths[0]))
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
        loads = boards.dearest(whole)
        found = [(*load, worth) for load, worth in zip(loads, worths, strict=True)]
        yield min(-(-value * worth // load) for load, _, worth in found if load)
        load, column, worth = max(found, key=lambda one: one[0] / one[2])
        is_best = load <= worth * (_SCALE + len(wanted))
        if is_best or not basis.bring_in(column, float(worth)):
            return


@dataclass(slots=True)
class _Boards:
    """What is worth most on a board of each length on sale, at prices that change."""

    sizes: Sequence[Side]
    wanted: Load
    lengths: Sequence[int]
    """The longest first."""
    width: int
    kerf: int
    extra: int
    trim: int
    work: Work
    inner: list[int] = field(default_factory=list)
    """All lengths that a lane can have, the shortest first."""

    def __post_init__(self) -> None:
        most = self.lengths[0] - self.extra
        found: set[int] = set()
        for width in {wide for _, wide in self.sizes}:
            own = [n for n, (_, wide) in enumerate(self.sizes) if wide == width]
            counted = [(self.sizes[n][0] + self.kerf, self.wanted[n]) for n in own]
            found |= {end - self.kerf for end in reachable_places(counted, most + self.kerf) if end}
        self.inner = sorted(found)

    def alone(self, number: int) -> int:
        """How many of one size the longest board holds, up to what is wanted."""
        prices = [int(n == number) for n in range(len(self.sizes))]
        return max(1, min(self.dearest(prices)[0][1][number], self.wanted[number]))

    def dearest(self, prices: Sequence[int]) -> list[tuple[int, Load]]:
        """For each length the worth of the dearest load, and the load."""
        sections: dict[int, tuple[int, Load]] = {}
        best = 0
        known: dict[tuple[int, ...], tuple[int, Load]] = {}
        for inner in self.inner:
            worth, load = self._across(inner, prices, known)
            if worth > best:
                best = worth
                sections[max(inner + self.extra, SHORTEST_RIP.nm) + self.kerf] = worth, load
        things = [(size, worth, _ANY) for size, (worth, _) in sections.items()]
        loads = [load for _, load in sections.values()]
        found: list[tuple[int, Load]] = []
        for length in self.lengths:
            worth, counts = pack_dearest(things, length + self.kerf, self.work)
            found.append((worth, self._sum(counts, loads)))
        return found

    def _across(
        self, inner: int, prices: Sequence[int], known: dict[tuple[int, ...], tuple[int, Load]]
    ) -> tuple[int, Load]:
        """Lanes side by side on one rough length; ``known`` by what the lanes are worth."""
        lanes = [(w, *self._lane(w, inner, prices)) for w in sorted({w for _, w in self.sizes})]
        lanes = [lane for lane in lanes if lane[1]]
        key = tuple(number for wide, worth, _ in lanes for number in (wide, worth))
        if key not in known:
            room = self.width - self.trim
            side = [lane for lane in lanes if lane[0] <= room]
            things = [(wide + self.kerf, worth, _ANY) for wide, worth, _ in side]
            worth, counts = pack_dearest(things, room + self.kerf, self.work)
            ways = [(worth, self._sum(counts, [load for _, _, load in side]))]
            ways += [(worth, load) for wide, worth, load in lanes if room < wide <= self.width]
            known[key] = max(ways)
        return known[key]

    def _lane(self, wide: int, inner: int, prices: Sequence[int]) -> tuple[int, Load]:
        own = [n for n, (_, width) in enumerate(self.sizes) if width == wide]
        things = [(self.sizes[n][0] + self.kerf, prices[n], self.wanted[n]) for n in own]
        worth, counts = pack_dearest(things, inner + self.kerf, self.work)
        load = dict(zip(own, counts, strict=True))
        return worth, tuple(load.get(n, 0) for n in range(len(self.sizes)))

    def _sum(self, counts: Sequence[int], loads: Sequence[Load]) -> Load:
        """So many of each load together."""
        total = [0] * len(self.sizes)
        for count, load in zip(counts, loads, strict=True):
            if count:
                total = [t + count * n for t, n in zip(total, load, strict=True)]
        return tuple(total)


def pack_dearest(things: Sequence[Thing], room: int, work: Work) -> tuple[int, tuple[int, ...]]:
    """What fits into the room and is worth most: its worth, and how often each thing is there.

    Depth first along falling worth for room, with the usual bound. TooMuch where the work is spent.
    """
    order = [n for n, (size, worth, _) in enumerate(things) if worth > 0 and size <= room]
    order.sort(key=lambda n: (-things[n][1] / things[n][0], n))
    best, best_counts = 0, (0,) * len(things)
    counts = [0] * len(things)

    def go(place: int, left: int, worth: int) -> None:
        nonlocal best, best_counts
        work.spend(1)
        if worth > best:
            best, best_counts = worth, tuple(counts)
        if place == len(order):
            return
        size, price, most = things[order[place]]
        if (best - worth) * size >= price * left:
            return
        for count in range(min(most, left // size), -1, -1):
            counts[order[place]] = count
            go(place + 1, left - count * size, worth + count * price)

    go(0, room, 0)
    return best, best_counts
