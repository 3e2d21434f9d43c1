"""One schedule from one order: each activity in turn at the first moment that its resources allow.

Where a maximum lag is broken thereby, what was placed too early is taken out, pushed later and
placed again (serial generation with an unscheduling step, after Franck, Neumann and Schwindt 2001,
here with the pushes followed along the lags). Imports ``engine.network`` and ``engine.profile``.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence

from shopstep.sequence.engine.network import Network
from shopstep.sequence.engine.profile import Profile

TURNS_EACH = 12
"""How often an activity may be placed, on average, before an order is given up."""


def build_schedule(network: Network, keys: Sequence[float], limit: int | None) -> list[int] | None:
    """Starts, or None where this order leads to none whose last end is at most ``limit``.

    Activities go by rising key, each after those that must precede it.
    """
    return _Builder(network, keys, limit).run()


class _Builder:
    """Earliest starts only ever rise, and what is placed always stands at its earliest start.

    So one test suffices for every lag: an activity whose earliest start rises is no longer right
    where it stands.
    """

    def __init__(self, network: Network, keys: Sequence[float], limit: int | None) -> None:
        self._network = network
        self._keys = keys
        self._latest = [limit - tail for tail in network.tails] if limit is not None else None
        self._earliest = network.heads[:-1]
        self._placed = [False] * network.size
        self._open_needs = [0] * network.size
        for followers in network.followers:
            for follower in followers:
                self._open_needs[follower] += 1
        self._ready: list[tuple[float, int]] = []
        self._profile = Profile(network.packing)

    def run(self) -> list[int] | None:
        network, ready, placed = self._network, self._ready, self._placed
        if self._latest and any(map(int.__gt__, self._earliest, self._latest)):
            return None
        for number, needs in enumerate(self._open_needs):
            if not needs and number not in network.frozen:
                heapq.heappush(ready, (self._keys[number], number))
        for number in network.frozen:
            self._place(number, self._earliest[number])
        turns = TURNS_EACH * network.size + len(network.frozen)
        while ready:
            number = heapq.heappop(ready)[1]
            if placed[number] or self._open_needs[number]:
                continue
            turns -= 1
            moment = self._profile.earliest(
                self._earliest[number], network.durations[number], network.demands[number]
            )
            if turns < 0 or not self._push(number, moment):
                return None
            self._place(number, moment)
        return self._earliest

    def _place(self, number: int, moment: int) -> None:
        network = self._network
        self._placed[number] = True
        self._profile.take(moment, network.durations[number], network.demands[number])
        for follower in network.followers[number]:
            self._open_needs[follower] -= 1
            if not self._open_needs[follower] and not self._placed[follower]:
                heapq.heappush(self._ready, (self._keys[follower], follower))

    def _push(self, number: int, moment: int) -> bool:
        """Raises an earliest start and all that hang on it; False where one gets too late."""
        earliest, latest, size = self._earliest, self._latest, self._network.size
        if moment == earliest[number]:
            return True
        if latest is not None and moment > latest[number]:
            return False
        after = self._network.after
        earliest[number] = moment
        waiting = [number]
        while waiting:
            node = waiting.pop()
            moment = earliest[node]
            for other, lag in after[node]:
                if other == size:
                    if moment + lag > 0:
                        return False
                elif moment + lag > earliest[other]:
                    if latest is not None and moment + lag > latest[other]:
                        return False
                    if self._placed[other] and not self._take_out(other):
                        return False
                    earliest[other] = moment + lag
                    waiting.append(other)
        return True

    def _take_out(self, number: int) -> bool:
        network = self._network
        if number in network.frozen:
            return False
        self._placed[number] = False
        self._profile.give_back(
            self._earliest[number], network.durations[number], network.demands[number]
        )
        for follower in network.followers[number]:
            self._open_needs[follower] += 1
        if not self._open_needs[number]:
            heapq.heappush(self._ready, (self._keys[number], number))
        return True
