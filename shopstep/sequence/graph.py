"""Directed graphs over small numbers: what reaches what, and in a circle.

Imports nothing of the project.
"""

from __future__ import annotations

from collections.abc import Sequence

Edges = Sequence[set[int]]
"""For each node the nodes that come after it."""


def reaching_groups(after: Edges) -> list[list[int]]:
    """Strongly connected groups of nodes, in topological order; each group ascending.

    Kosaraju's method, without recursion, so that long chains do no harm.
    """
    finished: list[int] = []
    seen = [False] * len(after)
    for root in range(len(after)):
        _walk(root, after, seen, finished)
    before = turn_round(after)
    seen = [False] * len(after)
    groups: list[list[int]] = []
    for root in reversed(finished):
        if not seen[root]:
            group: list[int] = []
            _walk(root, before, seen, group)
            groups.append(sorted(group))
    return groups


def _walk(root: int, after: Edges, seen: list[bool], finished: list[int]) -> None:
    """Depth first from ``root``; appends each node when all that follows it is finished."""
    if seen[root]:
        return
    seen[root] = True
    stack = [(root, iter(sorted(after[root])))]
    while stack:
        node, rest = stack[-1]
        follower = next((n for n in rest if not seen[n]), None)
        if follower is None:
            stack.pop()
            finished.append(node)
        else:
            seen[follower] = True
            stack.append((follower, iter(sorted(after[follower]))))


def find_cycle(after: Edges) -> list[int]:
    """The nodes of one cycle in order, or an empty list."""
    for node, followers in enumerate(after):
        if node in followers:
            return [node]
    group = next((g for g in reaching_groups(after) if len(g) > 1), None)
    if group is None:
        return []
    inside = set(group)
    path = [group[0]]
    while True:
        following = min(after[path[-1]] & inside)
        if following in path:
            return path[path.index(following) :]
        path.append(following)


def reachable(after: Edges, start: int) -> set[int]:
    """All nodes that can be reached from ``start``, itself among them."""
    found = {start}
    stack = [start]
    while stack:
        new = after[stack.pop()] - found
        found |= new
        stack += new
    return found


def turn_round(after: Edges) -> list[set[int]]:
    """For each node the nodes that come before it."""
    before: list[set[int]] = [set() for _ in after]
    for node, followers in enumerate(after):
        for follower in followers:
            before[follower].add(node)
    return before
