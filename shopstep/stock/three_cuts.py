"""Loads of a board by its own way of cutting: rough lengths, lanes of one width, crosscuts.

What any layout of ``pieces`` puts on a board is one of these loads at most; so a bound made of them
holds. Slices and what has to be left to hold them by are passed over. Whole nanometres; imports
``loads`` and the rules of this room.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from shopstep.stock.lanes import SHORTEST_RIP
from shopstep.stock.loads import Load, Work, add_loads, keep_best

Side = tuple[int, int]
"""Length and width."""
Loads = dict[Load, None]


@dataclass(slots=True)
class ThreeCuts:
    """All loads of boards for some sizes; each board is worked out once."""

    sizes: Sequence[Side]
    wanted: Load
    kerf: int
    extra: int
    """What a rough length has more than its longest lane."""
    work: Work
    lanes: dict[tuple[int, int], Loads] = field(default_factory=dict)
    known: dict[tuple[int, int, int, bool], Loads] = field(default_factory=dict)

    def loads(self, length: int, width: int, trim: int, *, whole: bool) -> Loads:
        """``trim``: goes off an edge where there is more than one lane; ``whole``: it may be
        ripped as it is."""
        key = length, width, trim, whole
        if key not in self.known:
            ways = self._sections(length, width, trim)
            if whole:
                ways |= self._across(length, width, trim)
            self.known[key] = keep_best(ways, self.work)
        return self.known[key]

    def _sections(self, length: int, width: int, trim: int) -> Loads:
        """Rough lengths behind each other, the longest first."""
        things: list[tuple[int, Loads]] = []
        held: Loads = {}
        for inner in self._inner_lengths(length - self.extra):
            ways = self._across(inner, width, trim)
            fresh = {load: None for load in ways if load not in held}
            if fresh:
                things.append((max(inner + self.extra, SHORTEST_RIP.nm), fresh))
                held |= fresh
        return self._line_up(things[::-1], length)

    def _inner_lengths(self, most: int) -> list[int]:
        """All lengths that a lane can have, the shortest first."""
        found: set[int] = set()
        for width in {wide for _, wide in self.sizes}:
            sums = {0}
            own = [n for n, (_, wide) in enumerate(self.sizes) if wide == width]
            for number in own:
                long = self.sizes[number][0] + self.kerf
                for start in sorted(sums):
                    for count in range(1, self.wanted[number] + 1):
                        if start + count * long - self.kerf > most:
                            break
                        self.work.spend(1)
                        sums.add(start + count * long)
            found |= {total - self.kerf for total in sums if total}
        return sorted(found)

    def _across(self, inner: int, width: int, trim: int) -> Loads:
        """Lanes side by side on one rough length."""
        lanes = [(wide, self._lane(wide, inner)) for wide in sorted({w for _, w in self.sizes})]
        fitting = [(wide, loads) for wide, loads in lanes if wide <= width and any(map(any, loads))]
        ways = self._line_up(fitting, width - trim)
        for wide, loads in fitting:
            if wide > width - trim:
                ways |= loads
        return keep_best(ways, self.work)

    def _lane(self, wide: int, inner: int) -> Loads:
        key = wide, inner
        if key not in self.lanes:
            own = [(long, n) for n, (long, w) in enumerate(self.sizes) if w == wide]
            self.lanes[key] = self._line_up([(long, self._one(n)) for long, n in own], inner)
        return self.lanes[key]

    def _line_up(self, things: Sequence[tuple[int, Loads]], room: int) -> Loads:
        """Things of these sizes one behind the other, a kerf between, each as often as one likes.

        From the last kind of thing on, what fits into every room that is asked about.
        """
        nothing: Loads = {(0,) * len(self.sizes): None}
        known: dict[tuple[int, int], Loads] = {}

        def fit(kind: int, left: int) -> Loads:
            while kind < len(things) and things[kind][0] > left:
                kind += 1
            if kind == len(things):
                return nothing
            if (kind, left) not in known:
                size, loads = things[kind]
                ways = dict(fit(kind + 1, left))
                rest = fit(kind, left - size - self.kerf)
                self.work.spend(len(loads) * len(rest))
                for one in loads:
                    for other in rest:
                        ways[add_loads(one, other, self.wanted)] = None
                known[kind, left] = keep_best(ways, self.work)
            return known[kind, left]

        return fit(0, room)

    def _one(self, number: int) -> Loads:
        return {tuple(int(number == n) for n in range(len(self.sizes))): None}
