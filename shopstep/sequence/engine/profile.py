"""What is free of every resource over time, as one row of moments. Imports nothing else here.

All resources' free amounts are packed into one whole number, each in a field with a guard bit
above it: one subtraction tells whether all demands fit, since a field that runs short clears its
guard.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence


class Packing:
    """Where each resource's field lies."""

    __slots__ = ("_shifts", "full", "guards")

    def __init__(self, capacities: Sequence[int]) -> None:
        self._shifts: list[int] = []
        self.guards = 0
        """The guard bit of every field."""
        self.full = 0
        """Everything free, guards set."""
        shift = 0
        for capacity in capacities:
            width = capacity.bit_length()
            self._shifts.append(shift)
            self.guards |= 1 << (shift + width)
            self.full |= capacity << shift
            shift += width + 1
        self.full |= self.guards

    def pack(self, demands: Iterable[tuple[int, int]]) -> int:
        """(Resource, amount) as one number; each amount at most the capacity."""
        return sum(amount << self._shifts[resource] for resource, amount in demands)


class Profile:
    """Free amounts; the last stretch, which has no end, is always wholly free."""

    __slots__ = ("_free", "_guards", "_moments")

    def __init__(self, packing: Packing) -> None:
        self._guards = packing.guards
        self._moments = [-1]
        self._free = [packing.full]

    def earliest(self, moment: int, duration: int, demand: int) -> int:
        """The first start at ``moment`` (0 or later) or after that the demand fits."""
        if not demand or not duration:
            return moment
        moments, free, guards = self._moments, self._free, self._guards
        last = len(moments)
        at = bisect_right(moments, moment) - 1
        end = moment + duration
        while at < last and moments[at] < end:
            fits = (free[at] - demand) & guards == guards
            at += 1
            if not fits:
                moment = moments[at]
                end = moment + duration
        return moment

    def latest(self, moment: int, duration: int, demand: int) -> int:
        """The last start at ``moment`` or before that the demand fits; -1 where there is none."""
        if not demand or not duration:
            return moment
        moments, free, guards = self._moments, self._free, self._guards
        at = bisect_right(moments, moment + duration - 1) - 1
        while at > 0:
            if (free[at] - demand) & guards != guards:
                moment = moments[at] - duration
            elif moments[at] <= moment:
                return moment
            at -= 1
        return moment if moment >= 0 else -1

    def take(self, start: int, duration: int, demand: int) -> None:
        """Uses the demand from ``start`` on; it must fit."""
        self._change(start, duration, -demand)

    def give_back(self, start: int, duration: int, demand: int) -> None:
        """Undoes ``take``."""
        self._change(start, duration, demand)

    def _change(self, start: int, duration: int, amount: int) -> None:
        if not amount or not duration:
            return
        low, high = self._cut(start), self._cut(start + duration)
        free = self._free
        for at in range(low, high):
            free[at] += amount

    def _cut(self, moment: int) -> int:
        """The index of the stretch that begins at ``moment``, made where there is none."""
        moments = self._moments
        at = bisect_right(moments, moment) - 1
        if moments[at] != moment:
            at += 1
            moments.insert(at, moment)
            self._free.insert(at, self._free[at - 1])
        return at
