"""The fewest setups that any order of the operations can do with, needs kept: proved.

Each group of equal settings is one setup at least. Where needs run in a circle between groups, one
has to be set twice; which one is searched for. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from heapq import heappop, heappush

from shopstep.model.operation import Operation, Setting
from shopstep.words import say

Key = tuple[str, str, tuple[Setting, ...]]
Group = list[Operation]

_MOST_STATES = 4_000
"""So many ways are looked at before the best bound so far has to do."""

_Way = tuple[int, int, int, frozenset[str], dict[Key, Group], Key | None]
"""Setups in all at least, a number of its own, setups so far, what is done, what is left, and what
it began with."""


@dataclass(frozen=True, slots=True)
class Fewest:
    """How few setups are left to be made, and how to begin with that few."""

    least: int
    """No order has fewer."""
    begin: Key | None
    """The group to set first where none can be done whole; None where one can or none is left, or
    the search was given up."""


def key_of(operation: Operation) -> Key:
    """What is set on which machine: operations that agree in it can share a setup."""
    return operation.kind, operation.tool, operation.settings


def ready_of(group: Iterable[Operation], done: Iterable[str]) -> Group:
    """Operations whose needs are met; one in the same setup may stand before another."""
    met = set(done)
    ready: Group = []
    left = list(group)
    while now := [operation for operation in left if met.issuperset(operation.needs)]:
        ready += now
        met.update(operation.id for operation in now)
        left = [operation for operation in left if operation.id not in met]
    return ready


def fewest_setups(
    operations: Iterable[Operation], finished: frozenset[str] = frozenset()
) -> Fewest:
    """The proved least for ``operations``; ``finished``: those that are done besides.

    A group that is ready whole is done at once: it has to be set once in any case, and nothing
    gets worse by its being done. So ways part only where none is. (A* over what is done; each
    group that is left counts one, and one more where none of them is ready whole.)
    """
    groups = _grouped(operations)
    order = {key: place for place, key in enumerate(groups)}
    done = finished
    moves, done, left = _do_whole(groups, done)
    ways: list[_Way] = [(moves + _at_least(left), 0, moves, done, left, None)]
    seen: dict[frozenset[str], int] = {done: moves}
    number = 0
    while ways:
        least, _, made, done, left, begin = heappop(ways)
        if not left:
            return Fewest(made, None if moves else begin)
        if len(seen) > _MOST_STATES:
            return Fewest(least, None)
        for key in sorted(left, key=order.__getitem__):
            ready = ready_of(left[key], done)
            if not ready:
                continue
            after = done | {operation.id for operation in ready}
            whole, after, rest = _do_whole(_without(left, after), after)
            count = made + 1 + whole
            if seen.get(after, count + 1) <= count:
                continue
            seen[after] = count
            number += 1
            way = (count + _at_least(rest), number, count, after, rest, begin or key)
            heappush(ways, way)
    raise ValueError(say("operations need each other in a circle: {names}", names=_names(groups)))


def _grouped(operations: Iterable[Operation]) -> dict[Key, Group]:
    groups: dict[Key, Group] = {}
    for operation in operations:
        groups.setdefault(key_of(operation), []).append(operation)
    return groups


def _do_whole(
    groups: dict[Key, Group], done: frozenset[str]
) -> tuple[int, frozenset[str], dict[Key, Group]]:
    """All groups that can be done whole, one after the other: how many, what is done and left."""
    left = dict(groups)
    count = 0
    while whole := [key for key, own in left.items() if len(ready_of(own, done)) == len(own)]:
        for key in whole:
            done |= {operation.id for operation in left.pop(key)}
        count += len(whole)
    return count, done, left


def _at_least(left: dict[Key, Group]) -> int:
    return len(left) + (1 if left else 0)


def _without(groups: dict[Key, Group], done: frozenset[str]) -> dict[Key, Group]:
    left = {key: [o for o in own if o.id not in done] for key, own in groups.items()}
    return {key: own for key, own in left.items() if own}


def _names(groups: dict[Key, Group]) -> str:
    return ", ".join(sorted(operation.id for own in groups.values() for operation in own))
