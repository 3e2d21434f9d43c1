"""The load of one board that is worth most at given prices, by all rules of cutting boards.

Rough lengths, on each of them lanes of one width, in each lane pieces end to end; slices leave
wood to hold them by. Lanes first, then what lies side by side, then the rough lengths: each of
them is a knapsack. Whole nanometres; imports ``loads`` and the rules of this room.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from operator import itemgetter

from shopstep.stock.lanes import BACKING, NARROW, SHORTEST_RIP
from shopstep.stock.loads import Load, Work

Lane = tuple[tuple[int, int], ...]
"""Number of a size, and how many of it lie in the lane."""
Lanes = tuple[Lane, ...]
Cutting = tuple[tuple[int, Lanes], ...]
"""Of each rough length what its pieces can take up of it, and its lanes; nought: the whole board,
as it is."""
Ends = list[tuple[int, int, Lane]]
"""Where a lane ends, what it is worth and what lies in it: the longer, the more it is worth."""
Thing = tuple[int, int, int, int]
"""What it takes up with its kerf, what of that a slice takes, its worth, how often it may be."""
Counts = tuple[tuple[int, int], ...]
_NO_WAY: tuple[int, Cutting] = (0, ())
_ANY = 1_000
"""More lanes, or rough lengths, than a board has."""


@dataclass(frozen=True, slots=True)
class Board:
    """A board with nothing on it."""

    length: int
    width: int
    trim: int
    """Goes off an edge, where a lane does not need all of the width."""
    whole: bool
    """It may be ripped as it is, its ends being square."""


@dataclass(slots=True)
class DearestLoads:
    """What is worth most on a board, at prices that change. TooMuch where the work is spent."""

    sizes: Sequence[tuple[int, int]]
    """Length and width of each."""
    kerf: int
    extra: int
    """What a rough length has more than its longest lane."""
    work: Work
    proves: bool
    """No load is worth more: lanes may come again and again, though nothing of them is wanted."""
    _left: Load = ()
    _ends: dict[int, Ends] = field(default_factory=dict)

    def load(self, board: Board, prices: Sequence[int], left: Load) -> tuple[int, Cutting]:
        """The dearest load and its worth, where so much of each size is still wanted."""
        self._price(board, prices, left)
        if board.length < SHORTEST_RIP.nm:
            return self._unripped(board)
        things, held = self._rough_lengths(board)
        best = self._behind(things, held, board.length)
        if board.whole and held:
            whole = things[-1][2], ((0, held[-1][1]),)
            return whole if whole[0] >= best[0] else best
        return best

    def of_lengths(
        self, board: Board, lengths: Sequence[int], prices: Sequence[int], wanted: Load
    ) -> list[tuple[int, Cutting]]:
        """As ``load``, for boards of all these lengths; ``board`` is the longest, not whole."""
        self._price(board, prices, wanted)
        things, held = self._rough_lengths(board)
        return [self._behind(things, held, length) for length in lengths]

    def _price(self, board: Board, prices: Sequence[int], left: Load) -> None:
        self.work.spend(1)
        self._left = left
        widths = sorted({wide for _, wide in self.sizes if wide <= board.width})
        lanes = {wide: self._lanes(wide, board.length, prices) for wide in widths}
        self._ends = {wide: ends for wide, ends in lanes.items() if ends}

    def _lanes(self, wide: int, room: int, prices: Sequence[int]) -> Ends:
        """The ways to fill a lane that no shorter one outdoes, the shortest first."""
        kept: Ends = [(-self.kerf, 0, ())]
        for number, (long, own) in enumerate(self.sizes):
            if own != wide or not self._left[number] or prices[number] <= 0:
                continue
            step, price = long + self.kerf, prices[number]
            ways = list(kept)
            for end, worth, lane in kept:
                for count in range(1, min(self._left[number], (room - end) // step) + 1):
                    more = (*lane, (number, count))
                    ways.append((end + count * step, worth + count * price, more))
            self.work.spend(len(ways))
            ways.sort(key=lambda way: (way[0], -way[1]))
            kept = []
            for way in ways:
                if not kept or way[1] > kept[-1][1]:
                    kept.append(way)
        return kept[1:]

    def _best_lane(self, wide: int, inner: int) -> tuple[int, int, Lane] | None:
        ends = self._ends.get(wide, [])
        place = bisect_right(ends, inner, key=itemgetter(0))
        return ends[place - 1] if place else None

    def _unripped(self, board: Board) -> tuple[int, Cutting]:
        """Too short to be ripped: it serves as it is, at its own width."""
        way = self._best_lane(board.width, board.length) if board.whole else None
        return _NO_WAY if way is None else (way[1], ((0, (way[2],)),))

    def _rough_lengths(self, board: Board) -> tuple[list[Thing], list[tuple[int, Lanes]]]:
        """Those that no shorter one outdoes, the shortest first, and what lies on each."""
        things: list[Thing] = []
        held: list[tuple[int, Lanes]] = []
        best = 0
        for inner in sorted({end for ways in self._ends.values() for end, _, _ in ways}):
            worth, lanes = self._across(board, inner, best)
            if worth > best:
                best = worth
                size = max(inner + self.extra, SHORTEST_RIP.nm) + self.kerf
                things.append((size, 0, worth, self._most(lanes)))
                held.append((inner, lanes))
        return things, held

    def _behind(
        self, things: list[Thing], held: list[tuple[int, Lanes]], length: int
    ) -> tuple[int, Cutting]:
        """Rough lengths behind each other."""
        worth, counts = pack_dearest(things, length + self.kerf, 0, 0, self.work)
        return worth, tuple(held[n] for n, count in counts for _ in range(count))

    def _across(self, board: Board, inner: int, best: int) -> tuple[int, Lanes]:
        """Lanes side by side that are worth more than ``best``; else that, and nothing."""
        found: Lanes = ()
        room = board.width - board.trim
        things: list[Thing] = []
        lanes: list[Lane] = []
        for wide in self._ends:
            way = self._best_lane(wide, inner)
            if way is None:
                continue
            _, worth, lane = way
            alone = wide == board.width or (wide > room and wide >= NARROW.nm)
            if alone and worth > best:
                best, found = worth, (lane,)
            if wide <= room:
                size = wide + self.kerf
                things.append((size, size * (wide < NARROW.nm), worth, self._most((lane,))))
                lanes.append(lane)
        thin = max(0, room - BACKING.nm)
        worth, counts = pack_dearest(things, room + self.kerf, thin, best, self.work)
        if worth > best:
            best, found = worth, tuple(lanes[n] for n, count in counts for _ in range(count))
        return best, found

    def _most(self, lanes: Lanes) -> int:
        """How often these lanes are of use, all of what lies in them being wanted."""
        if self.proves:
            return _ANY
        counts = Counter[int]()
        for lane in lanes:
            for number, count in lane:
                counts[number] += count
        return max(1, min(-(-self._left[number] // count) for number, count in counts.items()))


def pack_dearest(
    things: Sequence[Thing], room: int, thin: int, least: int, work: Work
) -> tuple[int, Counts]:
    """What fits and is worth most, and how often each thing is there; nothing where it is worth no
    more than ``least``. ``thin``: room for slices, which are part of all.

    Depth first along falling worth for room, with the usual bound.
    """
    order = sorted(range(len(things)), key=lambda n: (-things[n][2] / things[n][0], n))
    best, found = least, Counts()
    counts: dict[int, int] = {}

    def go(place: int, room: int, thin: int, worth: int) -> None:
        nonlocal best, found
        work.spend(1)
        if worth > best:
            best, found = worth, tuple(sorted(counts.items()))
        for later in range(place, len(order)):
            number = order[later]
            size, sliced, price, most = things[number]
            if (best - worth) * size >= price * room:
                return
            most = min(most, room // size, thin // sliced if sliced else most)
            for count in range(most, 0, -1):
                counts[number] = count
                go(later + 1, room - count * size, thin - count * sliced, worth + count * price)
            counts.pop(number, None)

    go(0, room, thin, 0)
    return best, found
