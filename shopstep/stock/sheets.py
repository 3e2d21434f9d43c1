"""Sheets of few sizes: every way of cutting them that the rules allow, so the fewest are proved.

The rules are those of ``open_sheets``: first right across, for what is cut to its length first,
each row as long as its pieces; then lengthwise, in lanes of one width. A sheet that may be sawn is
first parted into sections, each of them cut so. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from shopstep.stock.items import Item
from shopstep.stock.lanes import SHORTEST_RIP
from shopstep.stock.loads import (
    Load,
    TooMuch,
    Work,
    add_loads,
    cheapest_more,
    keep_best,
    load_rack,
)
from shopstep.stock.open_sheets import MOST_SECTIONS, OpenSheet, reach_of
from shopstep.stock.pieces import Laid, OpenPiece, Stock
from shopstep.stock.sold import Sold
from shopstep.stock.straight import reachable_places
from shopstep.units import Length

_WORK = 300_000
"""About a third of a second."""
_SAWN_WORK = 100_000
"""Where sheets may be sawn there are far more ways: either they are few, or too many anyhow."""

Size = tuple[int, int, bool]
"""Length, width, and whether it is cut to its length first."""
Order = tuple[int, ...]
"""Numbers of the sizes, in the order in which they are laid on a piece; below nought stands the
length of a section that is sawn off for what follows."""
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
    sheet = buy(1, 0)
    is_sawn = isinstance(sheet, OpenSheet) and sheet.fold > 0
    work = Work(_SAWN_WORK if is_sawn else _WORK)
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
        section = 0
        for number in order:
            if number < 0:
                section = -number
                continue
            own = left[sizes[number]]
            if own and _place(piece, own[-1], section):
                own.pop()
                section = 0
    if any(left.values()):
        return None
    return Laid(tuple(piece for piece in pieces if piece.regions), ())


def _place(piece: OpenPiece, item: Item, section: int) -> bool:
    if section and isinstance(piece, OpenSheet):
        return piece.open_section(item, Length(section))
    return piece.place(item)


def _ways_on(piece: OpenPiece, sizes: tuple[Size, ...], wanted: Load, work: Work) -> Ways:
    sheet = _Sheet(piece.stock, sizes, wanted, work)
    if isinstance(piece, OpenSheet) and piece.fold:
        return sheet.sawn(piece.extra.nm)
    return sheet.ways(piece.stock.length.nm)


def _led(by: int, ways: Ways) -> Ways:
    """The same loads, each order led by what stands for a section."""
    return {load: (by, *order) for load, order in ways.items()}


@dataclass(slots=True)
class _Sheet:
    """All loads of one sheet, worked out once for each length that is left of it."""

    stock: Stock
    sizes: tuple[Size, ...]
    wanted: Load
    work: Work
    known: dict[tuple[int, bool], Ways] = field(default_factory=dict)

    def sawn(self, extra: int) -> Ways:
        """All loads where it may be sawn into sections; ``extra``: what goes off at their ends."""
        sections: list[tuple[int, Ways]] = []
        for need in self._section_needs():
            length = max(need + extra, SHORTEST_RIP.nm)
            fits = length * 2 <= self.stock.length.nm
            loads = self.ways(length - extra, is_sawn=True) if fits else {}
            if loads and (not sections or loads.keys() != sections[-1][1].keys()):
                sections.append((length, _led(-length, loads)))
        whole = self.stock.length.nm
        ways = _led(-whole, self.ways(whole))
        for number in range(2, MOST_SECTIONS + 1):
            ways = {**self._part(sections, whole, number, extra), **ways}  # fewer go before more
        return keep_best(ways, self.work)

    def _part(self, sections: list[tuple[int, Ways]], left: int, number: int, extra: int) -> Ways:
        """So many sections, the shortest first; the last one is all that is left."""
        if number == 1:
            return _led(-left, self.ways(left - extra, is_sawn=True))
        ways: Ways = {}
        for length, loads in sections:
            behind = left - length - self.stock.kerf.nm
            if length * (number - 1) > behind:
                break
            self._join(ways, loads, self._part(sections, behind, number - 1, extra))
        return keep_best(ways, self.work)

    def _section_needs(self) -> list[int]:
        """What lengths a section can need: pieces end to end, and an edge to guide the last."""
        kerf, sizes = self.stock.kerf.nm, zip(self.sizes, self.wanted, strict=True)
        ends = reachable_places([(size[0] + kerf, n) for size, n in sizes], self.stock.length.nm)
        wides = {max(wide, SHORTEST_RIP.nm) for _, wide, is_first in self.sizes if not is_first}
        return sorted({end - kerf for end in ends[1:]} | {e + wide for e in ends for wide in wides})

    def ways(self, left: int, *, is_sawn: bool = False) -> Ways:
        """All loads of the length that is left, of the sheet or of a section of it; none that
        another one outdoes."""
        found = self.known.get((left, is_sawn))
        if found is None:
            found = keep_best(self._all_ways(left, is_sawn), self.work)
            self.known[left, is_sawn] = found
        return found

    def _all_ways(self, left: int, is_sawn: bool) -> Ways:
        """A row right across and what is left behind it, or lanes over all that is left."""
        ways = dict(self._along(left))
        reach = reach_of(self.stock.width).nm
        for length in sorted({long for long, _, is_first in self.sizes if is_first}):
            if (length == left and not is_sawn) or length <= min(reach, left):
                behind = left - length - self.stock.kerf.nm
                rest = self.ways(behind, is_sawn=is_sawn) if behind > 0 else self._nothing()
                self._join(ways, self._row(length), rest)
        return ways

    def _row(self, length: int) -> Ways:
        """Right across: pieces of that length side by side."""
        own = [n for n, (long, _, is_first) in enumerate(self.sizes) if is_first and long == length]
        singles = [(self.sizes[n][1], self._one(n)) for n in own]
        return self._line_up(singles, self.stock.width.nm)

    def _along(self, left: int) -> Ways:
        """Lanes side by side, each guided by an edge as long as it is wide, or as wide as all."""
        reach, width = reach_of(Length(left)).nm, self.stock.width.nm
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
