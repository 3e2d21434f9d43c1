"""Better schedules from good ones: the order is disturbed a little, built again and justified.

Imports ``engine.building``, ``engine.network`` and ``engine.shifting``.
"""

from __future__ import annotations

import random
import time
from collections.abc import Sequence

from shopstep.sequence.engine.building import build_schedule
from shopstep.sequence.engine.network import Network
from shopstep.sequence.engine.shifting import justify

PATIENCE = 150
"""Disturbances in a row without gain after which the search goes back to the best and shakes it."""


class Improver:
    """Keeps the best schedule; every call of ``run`` goes on where the last one stopped."""

    def __init__(self, network: Network, seed: int) -> None:
        self._network = network
        self._chance = random.Random(seed)
        self._rules = _rules(network)
        self._now: list[int] | None = None
        self._now_end = 0
        self._idle = 0
        self.starts: list[int] | None = None
        self.length: int | None = None

    def offer(self, starts: Sequence[int]) -> None:
        """A feasible schedule from elsewhere; kept where it is the best."""
        end = self._end_of(starts)
        if self.length is None or end < self.length:
            self.starts, self.length = list(starts), end
            self._now, self._now_end, self._idle = list(starts), end, 0

    def run(self, tries: int, until: float | None, goal: int) -> None:
        """So many orders, up to ``until`` of the monotonic clock or a length of ``goal``."""
        for _ in range(tries):
            if self.length is not None and self.length <= goal:
                return
            if until is not None and time.monotonic() >= until:
                return
            if self._now is None or self._rules:
                self._construct()
            else:
                self._disturb()

    def _construct(self) -> None:
        """A schedule from a rule, or from a rule and chance once every rule had its turn."""
        spread = 0.0
        if self._rules:
            keys = self._rules.pop(0)
        else:
            keys = [-float(tail) for tail in self._network.tails]
            spread = max(self._network.tails, default=0) * self._chance.choice((0.1, 0.3, 1.0, 3.0))
        noisy = [key + spread * self._chance.random() for key in keys]
        self._take(build_schedule(self._network, noisy, None))

    def _disturb(self) -> None:
        assert self._now is not None
        keys = self._shuffle(self._now)
        limit = self._now_end
        if self._idle > PATIENCE:
            limit += max(1, limit // 50)
        self._take(build_schedule(self._network, keys, limit))

    def _shuffle(self, starts: Sequence[int]) -> list[float]:
        """Keys of the present order with a few activities moved, or a stretch of time mixed."""
        chance, size = self._chance, self._network.size
        order = sorted(range(size), key=lambda i: (starts[i], i))
        keys = [0.0] * size
        for rank, number in enumerate(order):
            keys[number] = float(rank)
        if chance.random() < 0.75:
            usual = max(3, size // 6) / 3
            for _ in range(chance.choice((1, 1, 2, 3))):
                ahead = chance.expovariate(1 / usual)
                keys[chance.randrange(size)] -= ahead if chance.random() < 0.7 else -ahead
        else:
            width = chance.randint(2, max(2, size // 3))
            first = chance.randint(0, max(0, size - width))
            for number in order[first : first + width]:
                keys[number] += chance.uniform(-width, width) / 2
        return keys

    def _take(self, built: list[int] | None) -> None:
        self._idle += 1
        if built is None:
            return
        starts = justify(self._network, built)
        end = self._end_of(starts)
        if self.length is None or end < self.length:
            self.starts, self.length = starts, end
            self._now, self._now_end, self._idle = starts, end, 0
        elif self._now is None or end <= self._now_end:
            self._now, self._now_end = starts, end
        elif self._idle > PATIENCE:
            self._now, self._now_end, self._idle = starts, end, 0

    def _end_of(self, starts: Sequence[int]) -> int:
        return max((s + d for s, d in zip(starts, self._network.durations, strict=True)), default=0)


def _rules(network: Network) -> list[list[float]]:
    """Keys by: latest start, work that follows, least slack, longest, most needed of resources."""
    heads, tails, durations = network.heads, network.tails, network.durations
    followers = network.followers
    numbers = range(network.size)
    problem = network.problem
    shares = [
        sum(amount / problem.resources[k].capacity for k, amount in activity.demands if amount)
        for activity in problem.activities
    ]
    return [
        [-float(tails[i]) for i in numbers],
        [float(heads[i] - tails[i]) for i in numbers],
        [float(heads[i]) for i in numbers],
        [-float(tails[i] + durations[i] * len(followers[i])) for i in numbers],
        [-float(tails[i]) - durations[i] * shares[i] for i in numbers],
        [-float(len(followers[i])) for i in numbers],
        [-durations[i] * shares[i] for i in numbers],
    ]
