"""Lengths below which no schedule can get, from one resource at a time.

A head is the time before an activity can start, a tail the time from its start to the end of
everything. Imports ``engine.network``.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Sequence

from shopstep.sequence.engine.network import Network

CLIQUES = 12
"""How many sets of activities that can't overlap are looked at, beside the resources' own."""

PAIRS_SIZE = 150
"""With more activities only the resources' own sets are looked at: growing others takes long."""


def bound_length(network: Network) -> int:
    """The best of the longest path, the work on each resource and the one-machine bounds."""
    heads, tails = network.heads, network.tails
    best = max((h + t for h, t in zip(heads, tails, strict=False)), default=0)
    for capacity, amounts in list_users(network):
        work = [
            (heads[i], network.durations[i] * amount, tails[i] - network.durations[i])
            for i, amount in amounts.items()
        ]
        best = max(best, bound_work(work, capacity))
    pairs = list_pairs(network) if network.size <= PAIRS_SIZE else []
    for clique in find_cliques(network, pairs):
        best = max(best, bound_one_machine(clique, network.durations, heads, tails))
    return best


def list_users(network: Network) -> list[tuple[int, dict[int, int]]]:
    """(Capacity, amount by activity) of each resource that can be overdrawn at all."""
    found = []
    problem = network.problem
    for number, resource in enumerate(problem.resources):
        amounts = {
            i: amount
            for i, activity in enumerate(problem.activities)
            for used, amount in activity.demands
            if used == number and amount and activity.duration
        }
        if sum(amounts.values()) > resource.capacity:
            found.append((resource.capacity, amounts))
    return found


def list_pairs(network: Network) -> list[tuple[int, int]]:
    """Activities (lower number first) that never overlap, because two are too many already."""
    found: set[tuple[int, int]] = set()
    for capacity, amounts in list_users(network):
        large = sorted(amounts.items(), key=lambda item: -item[1])
        for at, (one, amount) in enumerate(large):
            for other, more in large[at + 1 :]:
                if amount + more <= capacity:
                    break
                found.add((min(one, other), max(one, other)))
    return sorted(found)


def find_cliques(network: Network, pairs: Iterable[tuple[int, int]]) -> list[tuple[int, ...]]:
    """Sets of activities no two of which can overlap, those with the most work first.

    Grown greedily from every activity; not all there are.
    """
    apart: dict[int, set[int]] = {}
    for one, other in pairs:
        apart.setdefault(one, set()).add(other)
        apart.setdefault(other, set()).add(one)
    durations = network.durations
    found: set[tuple[int, ...]] = set()
    for seed, near in apart.items():
        clique, left = [seed], set(near)
        while left:
            chosen = max(left, key=lambda i: (durations[i], len(apart[i] & left), -i))
            clique.append(chosen)
            left &= apart[chosen]
        found.add(tuple(sorted(clique)))
    own = {
        tuple(sorted(i for i, amount in amounts.items() if 2 * amount > capacity))
        for capacity, amounts in list_users(network)
    }
    own = {clique for clique in own if len(clique) > 2}

    def weight(clique: tuple[int, ...]) -> tuple[int, tuple[int, ...]]:
        return -sum(durations[i] for i in clique), clique

    long = [clique for clique in found - own if len(clique) > 2]
    return [*sorted(own, key=weight), *sorted(long, key=weight)[:CLIQUES]]


def bound_one_machine(
    members: Sequence[int], durations: Sequence[int], heads: Sequence[int], tails: Sequence[int]
) -> int:
    """Least end where no two members overlap but each may be interrupted (Jackson 1955).

    At every moment the member with the longest tail among those that have come is worked on;
    Carlier (1982) shows that this is the best with interruptions.
    """
    coming = sorted((heads[i], i) for i in members)
    ready: list[tuple[int, int]] = []
    best = now = at = 0
    count = len(coming)
    left = {i: durations[i] for i in members}
    while at < count or ready:
        if not ready and coming[at][0] > now:
            now = coming[at][0]
        while at < count and coming[at][0] <= now:
            number = coming[at][1]
            heapq.heappush(ready, (durations[number] - tails[number], number))
            at += 1
        minus_tail, number = ready[0]
        until = now + left[number]
        if at < count and coming[at][0] < until:
            left[number] = until - coming[at][0]
            now = coming[at][0]
        else:
            now = until
            heapq.heappop(ready)
            best = max(best, now - minus_tail)
    return best


def bound_work(work: Iterable[tuple[int, int, int]], capacity: int) -> int:
    """(Head, duration × amount, time after the end): some set's least head, its work, least rest.

    For every pair of a least head and a least rest, all activities that keep both make a set.
    """
    best = 0
    rows = sorted(work, key=lambda row: -row[2])
    for least in {row[0] for row in rows}:
        total = 0
        for head, amount, rest in rows:
            if head >= least:
                total += amount
                best = max(best, least - (-total // capacity) + rest)
    return best
