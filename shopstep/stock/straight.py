"""Every way of cutting an oblong straight from edge to edge into pieces of a few sizes.

Only places count that pieces laid side by side reach (normal patterns: Herz 1972, Christofides and
Whitlock 1977; from memory). Imports the loads of this room.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Literal

from shopstep.stock.loads import Load, TooMuch, Work, add_loads, keep_best

_MOST_PLACES = 600
"""More places than these along one side are not looked at."""

Side = tuple[int, int]
"""Length and width, in nanometres."""
How = tuple[Literal["piece"], int, bool] | tuple[Literal["along", "across"], int, Load, Load] | None
"""One piece of a size, turned or not; or a cut at so far with what lies before and behind it."""
Place = tuple[int, bool, int, int]
"""Number of the size, whether it is turned, and its lower left corner."""


@dataclass(slots=True)
class StraightCuts:
    """All loads of an oblong of cloth, worked out once for each size that cuts lead to."""

    sizes: tuple[Side, ...]
    wanted: Load
    along: list[int]
    """Where pieces can end along the length, rising from nought."""
    across: list[int]
    work: Work
    turning: bool
    """Whether a piece may lie either way round."""
    known: dict[Side, dict[Load, How]] = field(default_factory=dict)

    @classmethod
    def of(
        cls, sizes: Sequence[Side], wanted: Load, sides: Side, work: Work, *, turning: bool
    ) -> StraightCuts:
        """``sides``: of the longest and of the widest piece there is. TooMuch for many sizes."""
        longs = [(long, n) for (long, _), n in zip(sizes, wanted, strict=True)]
        wides = [(wide, n) for (_, wide), n in zip(sizes, wanted, strict=True)]
        along = reachable_places([*longs, *wides] if turning else longs, sides[0])
        across = reachable_places([*longs, *wides] if turning else wides, sides[1])
        return cls(tuple(sizes), wanted, along, across, work, turning)

    def loads(self, length: int, width: int) -> dict[Load, How]:
        """All loads that no other one outdoes, and how each is cut."""
        return self._loads(*self._snap(length, width))

    def _snap(self, length: int, width: int) -> Side:
        """The largest that pieces side by side can fill."""
        along, across = self.along, self.across
        return along[bisect_right(along, length) - 1], across[bisect_right(across, width) - 1]

    def _loads(self, x: int, y: int) -> dict[Load, How]:
        found = self.known.get((x, y))
        if found is None:
            found = self.known[x, y] = keep_best(self._all_ways(x, y), self.work)
        return found

    def _all_ways(self, x: int, y: int) -> dict[Load, How]:
        ways: dict[Load, How] = {(0,) * len(self.sizes): None}
        for number, (a, b) in enumerate(self.sizes):
            one = tuple(int(number == n) for n in range(len(self.sizes)))
            for turned, (long, wide) in ((False, (a, b)), (True, (b, a)))[: 1 + self.turning]:
                if long <= x and wide <= y:
                    ways.setdefault(one, ("piece", number, turned))
        if len(ways) == 1:
            return ways
        for at in self.along[1 : bisect_right(self.along, x // 2)]:
            rest = self._snap(x - at, y)[0]
            self._join(ways, ("along", at), self._loads(at, y), self._loads(rest, y))
        for at in self.across[1 : bisect_right(self.across, y // 2)]:
            rest = self._snap(x, y - at)[1]
            self._join(ways, ("across", at), self._loads(x, at), self._loads(x, rest))
        return ways

    def _join(
        self,
        ways: dict[Load, How],
        cut: tuple[Literal["along", "across"], int],
        before: dict[Load, How],
        behind: dict[Load, How],
    ) -> None:
        self.work.spend(len(before) * len(behind))
        for one in before:
            for other in behind:
                both = add_loads(one, other, self.wanted)
                if both not in ways:
                    ways[both] = (*cut, one, other)

    def places(self, length: int, width: int, load: Load) -> Iterator[Place]:
        """Where the pieces of one of its loads lie; more of a size may be there than are wanted."""
        if any(load):
            yield from self._places_of(*self._snap(length, width), load, (0, 0))

    def _places_of(self, x: int, y: int, load: Load, at: Side) -> Iterator[Place]:
        how = self._loads(x, y)[load]
        if how is None:
            return
        if how[0] == "piece":
            yield how[1], how[2], *at
            return
        kind, place, one, other = how
        if kind == "along":
            yield from self._places_of(place, y, one, at)
            behind = self._snap(x - place, y)[0]
            yield from self._places_of(behind, y, other, (at[0] + place, at[1]))
        else:
            yield from self._places_of(x, place, one, at)
            behind = self._snap(x, y - place)[1]
            yield from self._places_of(x, behind, other, (at[0], at[1] + place))


def reachable_places(sizes: Sequence[tuple[int, int]], limit: int) -> list[int]:
    """All sums of sides up to ``limit``, each side as often as it is wanted."""
    found = {0}
    for size, count in sizes:
        for _ in range(count):
            more = {place + size for place in found if place + size <= limit} - found
            if not more:
                break
            found |= more
            if len(found) > _MOST_PLACES:
                raise TooMuch
    return sorted(found)
