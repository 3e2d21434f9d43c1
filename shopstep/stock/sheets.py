"""Sheets of few sizes: every way of cutting them that the rules allow, so the fewest are proved.

The rules are those of ``pieces``: first right across, for what is cut to its length first, each
section as long as its pieces; then lengthwise, in lanes of one width. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from shopstep.stock.items import Item
from shopstep.stock.loads import (
    Load,
    TooMuch,
    Work,
    add_loads,
    cheapest_more,
    keep_best,
    load_rack,
)
from shopstep.stock.pieces import Laid, OpenPiece, Stock, reach_of
from shopstep.stock.sold import Sold
from shopstep.units import Length

_WORK = 300_000
"""About a third of a second."""

Size = tuple[int, int, bool]
"""Length, width, and whether it is cut to its length first."""
Order = tuple[int, ...]
"""Numbers of the sizes, in the order in which they are laid on a piece."""
Ways = dict[Load, Order]


def lay_sheets(
    items: Sequence[Item],
    rack: Sequence[Callable[[], OpenPiece]],
    buy: Callable[[int, int], OpenPiece],
    kinds: Sequence[Sold],
    most: int,
) -> Laid | None:
    """The layout that spends least, ``most`` at most: no layout within the rules spends less.

    ``rack`` makes pieces with nothing on them, and so does ``buy`` by number and kind. None
    where the ways are too many to say so, or more would have to be spent.
    """
    counted = Counter((i.length.nm, i.width.nm, i.length_first) for i in items)
    sizes, wanted = tuple(counted), tuple(counted.values())
    work = Work(_WORK)
    try:
        held = [_ways_on(opener(), sizes, wanted, work) for opener in rack]
        fresh = [_ways_on(buy(1, kind), sizes, wanted, work) for kind in range(len(kinds))]
        states = load_rack(held, wanted, work)
        sold = [(ways, kind.worth) for ways, kind in zip(fresh, kinds, strict=True)]
        chosen = cheapest_more(states, sold, wanted, most, work)
    except (TooMuch, RecursionError):
        return None
    if chosen is None:
        return None
    pieces = [opener() for opener in rack]
    pieces += [buy(number, kind) for number, kind in enumerate(chosen.kinds, 1)]
    held += [fresh[kind] for kind in chosen.kinds]
    orders = [
        ways[load] if any(load) else () for ways, load in zip(held, chosen.loads, strict=True)
    ]
    return _lay(items, sizes, pieces, orders)


def _lay(
    items: Sequence[Item], sizes: tuple[Size, ...], pieces: list[OpenPiece], orders: list[Order]
) -> Laid | None:
    """The pieces with the items on them; what is there more often than wanted is left out."""
    left: dict[Size, list[Item]] = {}
    for item in items:
        left.setdefault((item.length.nm, item.width.nm, item.length_first), []).append(item)
    for piece, order in zip(pieces, orders, strict=True):
        for number in order:
            own = left[sizes[number]]
            if own and piece.place(own[-1]):
                own.pop()
    if any(left.values()):
        return None
    return Laid(tuple(piece for piece in pieces if piece.regions), ())


def _ways_on(piece: OpenPiece, sizes: tuple[Size, ...], wanted: Load, work: Work) -> Ways:
    return _Sheet(piece.stock, sizes, wanted, work).ways(piece.stock.length.nm)


@dataclass(slots=True)
class _Sheet:
    """All loads of one sheet, worked out once for each length that is left of it."""

    stock: Stock
    sizes: tuple[Size, ...]
    wanted: Load
    work: Work
    known: dict[int, Ways] = field(default_factory=dict)

    def ways(self, left: int) -> Ways:
        """All loads of the length that is left, none that another one outdoes."""
        found = self.known.get(left)
        if found is None:
            found = self.known[left] = keep_best(self._all_ways(left), self.work)
        return found

    def _all_ways(self, left: int) -> Ways:
        """A section right across and what is left behind it, or lanes over all that is left."""
        ways = dict(self._along(left))
        reach = reach_of(self.stock, self.stock.width).nm
        for length in sorted({long for long, _, is_first in self.sizes if is_first}):
            if length == left or length <= min(reach, left):
                behind = left - length - self.stock.kerf.nm
                rest = self.ways(behind) if behind > 0 else self._nothing()
                self._join(ways, self._section(length), rest)
        return ways

    def _section(self, length: int) -> Ways:
        """Right across: pieces of that length side by side."""
        own = [n for n, (long, _, is_first) in enumerate(self.sizes) if is_first and long == length]
        singles = [(self.sizes[n][1], self._one(n)) for n in own]
        return self._line_up(singles, self.stock.width.nm)

    def _along(self, left: int) -> Ways:
        """Lanes side by side, each guided by an edge as long as it is wide, or as wide as all."""
        reach, width = reach_of(self.stock, Length(left)).nm, self.stock.width.nm
        lanes = [
            (wide, self._lane(wide, left))
            for wide in sorted({wide for _, wide, is_first in self.sizes if not is_first})
            if wide <= reach or wide == width
        ]
        return self._line_up(lanes, width)

    def _lane(self, wide: int, left: int) -> Ways:
        own = [n for n, (_, own, is_first) in enumerate(self.sizes) if not is_first and own == wide]
        return self._line_up([(self.sizes[n][0], self._one(n)) for n in own], left)

    def _line_up(self, things: list[tuple[int, Ways]], room: int) -> Ways:
        """Things of these sizes one behind the other, a kerf between, each as often as one likes.

        From the last kind of thing on, what fits into every room that is asked about.
        """
        kerf = self.stock.kerf.nm
        known: dict[tuple[int, int], Ways] = {}

        def fit(kind: int, left: int) -> Ways:
            if kind == len(things):
                return self._nothing()
            if (kind, left) not in known:
                size, loads = things[kind]
                ways = dict(fit(kind + 1, left))
                if size <= left:
                    self._join(ways, loads, fit(kind, left - size - kerf))
                known[kind, left] = keep_best(ways, self.work)
            return known[kind, left]

        return fit(0, room)

    def _join(self, ways: Ways, these: Ways, those: Ways) -> None:
        self.work.spend(len(these) * len(those))
        for one, order in these.items():
            for other, rest in those.items():
                both = add_loads(one, other, self.wanted)
                if both not in ways:
                    ways[both] = (*order, *rest)

    def _nothing(self) -> Ways:
        return {(0,) * len(self.sizes): ()}

    def _one(self, number: int) -> Ways:
        return {tuple(int(number == n) for n in range(len(self.sizes))): (number,)}
