"""A job-shop-like problem: every activity on one machine at most, and no maximum lags.

A schedule is then an order on each machine. This module holds such orders, their heads and tails,
and their critical blocks; ``engine.swaps`` searches with them. Imports ``engine.network``.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass

from shopstep.sequence.engine.network import Network


@dataclass(frozen=True, slots=True)
class Shop:
    """The lags without the machines' orders."""

    network: Network
    machine_of: list[int]
    """-1 where an activity needs none."""
    machines: int
    before: list[list[tuple[int, int]]]
    """(Activity, lag) that must have started so long before."""
    after: list[list[tuple[int, int]]]
    releases: list[int]


def make_shop(network: Network) -> Shop | None:
    """The shop, or None where the problem is not of this kind."""
    size = network.size
    if network.frozen or not size:
        return None
    machine_of = [-1] * size
    for number, activity in enumerate(network.problem.activities):
        used = [k for k, amount in activity.demands if amount and activity.duration]
        if len(used) > 1:
            return None
        if used:
            machine_of[number] = used[0]
    for k, resource in enumerate(network.problem.resources):
        amounts = sorted(
            dict(activity.demands)[k]
            for number, activity in enumerate(network.problem.activities)
            if machine_of[number] == k
        )
        if len(amounts) > 1 and amounts[0] + amounts[1] <= resource.capacity:
            return None
    shop = Shop(
        network,
        machine_of,
        len(network.problem.resources),
        [[arc for arc in arcs if arc[0] < size] for arcs in network.before[:-1]],
        [[arc for arc in arcs if arc[0] < size] for arcs in network.after[:-1]],
        [activity.release for activity in network.problem.activities],
    )
    if any(lag < 0 for arcs in shop.after for _, lag in arcs):
        return None
    return shop if Orders(shop, [[] for _ in range(shop.machines)]).measure() else None


class Orders:
    """One order on each machine, and what follows from it after ``measure``."""

    def __init__(self, shop: Shop, rows: list[list[int]]) -> None:
        self.shop = shop
        self.rows = rows
        size = shop.network.size
        self.previous = [-1] * size
        """On the same machine; -1 where there is none."""
        self.following = [-1] * size
        self.heads: list[int] = []
        self.tails: list[int] = []
        self.head_needs: list[int] = []
        """Earliest start by all but the machine."""
        self.tail_needs: list[int] = []
        """Least time to the end by all but the machine."""
        self.length = 0
        for row in rows:
            self._link(row)

    def _link(self, row: Sequence[int]) -> None:
        last = -1
        for number in row:
            self.previous[number] = last
            if last >= 0:
                self.following[last] = number
            last = number
        if last >= 0:
            self.following[last] = -1

    def reorder(self, machine: int, first: int, segment: Sequence[int]) -> None:
        """Puts ``segment`` in the place of as many activities from index ``first`` on."""
        row = self.rows[machine]
        row[first : first + len(segment)] = segment
        self._link(row)

    def measure(self) -> bool:
        """Works heads, tails and length out; False where the orders contradict the lags."""
        order = self._work_heads()
        if order is None:
            return False
        durations, following, after = self.shop.network.durations, self.following, self.shop.after
        tails, needs = [0] * len(order), [0] * len(order)
        for number in reversed(order):
            need = durations[number]
            for other, lag in after[number]:
                if lag + tails[other] > need:
                    need = lag + tails[other]
            needs[number] = need
            other = following[number]
            if other >= 0 and durations[number] + tails[other] > need:
                need = durations[number] + tails[other]
            tails[number] = need
        self.tails, self.tail_needs = tails, needs
        self.length = max(map(int.__add__, self.heads, tails))
        return True

    def _work_heads(self) -> list[int] | None:
        shop, previous, following = self.shop, self.previous, self.following
        durations, before, after = shop.network.durations, shop.before, shop.after
        size = len(durations)
        heads, needs = [0] * size, [0] * size
        open_needs = [len(before[i]) + (previous[i] >= 0) for i in range(size)]
        order = [i for i in range(size) if not open_needs[i]]
        for number in order:
            head = shop.releases[number]
            for other, lag in before[number]:
                if heads[other] + lag > head:
                    head = heads[other] + lag
            needs[number] = head
            other = previous[number]
            if other >= 0 and heads[other] + durations[other] > head:
                head = heads[other] + durations[other]
            heads[number] = head
            for other, _ in after[number]:
                open_needs[other] -= 1
                if not open_needs[other]:
                    order.append(other)
            other = following[number]
            if other >= 0:
                open_needs[other] -= 1
                if not open_needs[other]:
                    order.append(other)
        self.heads, self.head_needs = heads, needs
        return order if len(order) == size else None

    def blocks(self, chance: random.Random) -> list[list[int]]:
        """One critical path, cut into runs of at least two on the same machine."""
        heads, tails, length = self.heads, self.tails, self.length
        durations, after = self.shop.network.durations, self.shop.after
        first = [
            i
            for i, release in enumerate(self.shop.releases)
            if heads[i] == release and heads[i] + tails[i] == length
        ]
        number = chance.choice(first)
        block = [number]
        blocks = [block]
        while True:
            reach = heads[number]
            onward = [
                (other, False)
                for other, lag in after[number]
                if heads[other] == reach + lag and heads[other] + tails[other] == length
            ]
            other = self.following[number]
            if (
                other >= 0
                and heads[other] == reach + durations[number]
                and heads[other] + tails[other] == length
            ):
                onward.append((other, True))
            if not onward:
                return [block for block in blocks if len(block) > 1]
            number, same_machine = chance.choice(onward) if len(onward) > 1 else onward[0]
            if same_machine:
                block.append(number)
            else:
                block = [number]
                blocks.append(block)

    def can_go_last(self, number: int, last: int) -> bool:
        """Whether ``number`` can follow ``last`` without waiting for itself, for certain."""
        tail = self.tails[last]
        return all(tail >= self.tails[other] for other, _ in self.shop.after[number])

    def can_go_first(self, number: int, first: int) -> bool:
        """Whether ``number`` can go ahead of ``first``, for certain."""
        end = self.heads[first] + self.shop.network.durations[first]
        return all(end >= self.heads[other] + lag for other, lag in self.shop.before[number])

    def estimate(self, segment: Sequence[int]) -> int:
        """About how long the longest path through a reordered segment would be.

        The segment's activities stand next to each other on a machine now. After Taillard (1994)
        and Balas and Vazacopoulos (1998): the needs off the machine are taken as they are.
        """
        heads, tails, durations = self.heads, self.tails, self.shop.network.durations
        head_needs, tail_needs = self.head_needs, self.tail_needs
        inside = set(segment)
        free = 0
        for number in segment:
            other = self.previous[number]
            if other >= 0 and other not in inside:
                free = heads[other] + durations[other]
        starts = []
        for number in segment:
            start = head_needs[number]
            if free > start:
                start = free
            starts.append(start)
            free = start + durations[number]
        rest = 0
        for number in segment:
            other = self.following[number]
            if other >= 0 and other not in inside:
                rest = tails[other]
        longest = 0
        for number, start in zip(reversed(segment), reversed(starts), strict=True):
            tail = tail_needs[number]
            if durations[number] + rest > tail:
                tail = durations[number] + rest
            rest = tail
            if start + tail > longest:
                longest = start + tail
        return longest
