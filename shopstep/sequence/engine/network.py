"""The problem made ready for search: lags as arcs, longest paths, demands packed into one number.

Imports ``engine.problem`` and ``engine.profile``.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass

from shopstep.sequence.engine.problem import Problem
from shopstep.sequence.engine.profile import Packing

Arcs = list[list[tuple[int, int]]]
"""For each node (other node, lag)."""


class Contradiction(Exception):
    """No schedule exists; the message says why in one sentence."""


@dataclass(frozen=True, slots=True)
class Network:
    """Node ``n`` is the origin: the fixed moment 0, from which releases and fixed starts hang."""

    problem: Problem
    size: int
    """Count of activities, which is also the origin's number."""
    durations: list[int]
    packing: Packing
    demands: list[int]
    """Packed."""
    after: Arcs
    """What each node pushes; parallel lags merged into the longest."""
    before: Arcs
    """The same arcs, read backwards."""
    heads: list[int]
    """Earliest starts by lags alone; the origin's is 0."""
    tails: list[int]
    """Least time from an activity's start to the end of everything."""
    followers: list[list[int]]
    """Activities that a sensible order puts later (see ``_followers``)."""
    frozen: dict[int, int]


def make_network(problem: Problem) -> Network:
    """Compiles a checked problem; raises ``Contradiction`` where lags or demands rule it out."""
    _check_demands(problem)
    size = len(problem.activities)
    durations = [activity.duration for activity in problem.activities]
    frozen = dict(problem.frozen)
    after = _arcs(problem, frozen)
    before: Arcs = [[] for _ in range(size + 1)]
    for node, arcs in enumerate(after):
        for other, lag in arcs:
            before[other].append((node, lag))
    names = [activity.name for activity in problem.activities]
    heads = _longest(after, size, names)
    packing = Packing([resource.capacity for resource in problem.resources])
    network = Network(
        problem=problem,
        size=size,
        durations=durations,
        packing=packing,
        demands=[packing.pack(a.demands) if a.duration else 0 for a in problem.activities],
        after=after,
        before=before,
        heads=heads,
        tails=_tails(before, durations),
        followers=_followers(after, size),
        frozen=frozen,
    )
    _check_frozen(network)
    return network


def _check_demands(problem: Problem) -> None:
    for activity in problem.activities:
        for number, amount in activity.demands:
            resource = problem.resources[number]
            if amount > resource.capacity and activity.duration > 0:
                raise Contradiction(
                    f"'{activity.name}' needs {amount} of '{resource.name}'; "
                    f"there are {resource.capacity}."
                )


def _arcs(problem: Problem, frozen: dict[int, int]) -> Arcs:
    size = len(problem.activities)
    longest: dict[tuple[int, int], int] = {}
    for lag in problem.lags:
        pair = lag.before, lag.after
        if lag.before == lag.after:
            if lag.least > 0:
                name = problem.activities[lag.before].name
                raise Contradiction(f"'{name}' would have to start {lag.least} after itself.")
        else:
            longest[pair] = max(lag.least, longest.get(pair, lag.least))
    for number, activity in enumerate(problem.activities):
        longest[size, number] = frozen.get(number, activity.release)
    for number, start in frozen.items():
        longest[number, size] = -start
    after: Arcs = [[] for _ in range(size + 1)]
    for (tail, head), least in longest.items():
        after[tail].append((head, least))
    return after


def _longest(after: Arcs, origin: int, names: Sequence[str]) -> list[int]:
    """Longest paths from the origin, which reaches every node by an arc of its own.

    Raises ``Contradiction`` naming a cycle of positive length: its activities would each have to
    start after themselves.
    """
    nodes = len(after)
    length = [0] * nodes
    came_from = [-1] * nodes
    steps = [0] * nodes
    for node, lag in after[origin]:
        length[node], came_from[node], steps[node] = lag, origin, 1
    waiting = deque(range(nodes))
    is_waiting = [True] * nodes
    while waiting:
        node = waiting.popleft()
        is_waiting[node] = False
        for other, lag in after[node]:
            if length[node] + lag > length[other]:
                length[other] = length[node] + lag
                came_from[other] = node
                steps[other] = steps[node] + 1
                if steps[other] >= nodes or other == origin:
                    raise Contradiction(_name_cycle(came_from, other, origin, names))
                if not is_waiting[other]:
                    waiting.append(other)
                    is_waiting[other] = True
    return length


def _name_cycle(came_from: list[int], node: int, origin: int, names: Sequence[str]) -> str:
    path: list[int] = []
    while node != -1 and node not in path:
        path.append(node)
        node = came_from[node]
    if node == -1:
        return "The lags contradict each other."
    cycle = reversed(path[path.index(node) :])
    words = [f"'{names[number]}'" if number != origin else "the beginning" for number in cycle]
    return "These lags contradict each other: " + " → ".join([*words, words[0]]) + "."


def _tails(before: Arcs, durations: list[int]) -> list[int]:
    tails = [*durations, 0]
    waiting = deque(range(len(durations)))
    is_waiting = [True] * len(tails)
    while waiting:
        node = waiting.popleft()
        is_waiting[node] = False
        for other, lag in before[node]:
            if other < len(durations) and lag + tails[node] > tails[other]:
                tails[other] = lag + tails[node]
                if not is_waiting[other]:
                    waiting.append(other)
                    is_waiting[other] = True
    return tails[:-1]


def _followers(after: Arcs, size: int) -> list[list[int]]:
    """Heads of the arcs of positive lag. Their cycles would be positive, so there are none.

    Lags of 0 or less order nothing: which of the two is placed first is left to the keys.
    """
    return [[k for k, lag in arcs if lag > 0 and k < size] for arcs in after[:size]]


def _check_frozen(network: Network) -> None:
    """Raises ``Contradiction`` where the fixed activities alone overdraw a resource."""
    problem = network.problem
    for number, resource in enumerate(problem.resources):
        spans = []
        for fixed, start in network.frozen.items():
            activity = problem.activities[fixed]
            amount = dict(activity.demands).get(number, 0)
            if amount and activity.duration:
                spans.append((start, start + activity.duration, amount))
        for moment, _, _ in spans:
            used = sum(amount for start, end, amount in spans if start <= moment < end)
            if used > resource.capacity:
                raise Contradiction(
                    f"What is fixed uses {used} of '{resource.name}' at {moment}; "
                    f"there are {resource.capacity}."
                )
