"""What follows of itself in a case: orders that are forced, sets that overdraw a resource.

Imports ``engine.closure`` and ``engine.network``.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.sequence.engine.bounds import (
    bound_one_machine,
    find_cliques,
    list_pairs,
    list_users,
)
from shopstep.sequence.engine.closure import Rows, add_arc
from shopstep.sequence.engine.network import Network


@dataclass(frozen=True, slots=True)
class Overload:
    """Activities that overdraw a resource together, and no fewer of them do."""

    members: tuple[int, ...]
    choices: tuple[tuple[int, int], ...]
    """(First, second): orders that are still possible; one of them must hold."""
    least_end: int
    """No schedule of the case ends earlier, by this set alone."""


class Pruning:
    """The resources of a network, seen as what can't happen at once."""

    def __init__(self, network: Network) -> None:
        self._size = network.size
        self._durations = network.durations
        self._users = list_users(network)
        self.pairs = list_pairs(network)
        """Those that never overlap, because two are too many already."""
        self._apart = set(self.pairs)
        self._cliques = find_cliques(network, self.pairs)

    def cannot_overlap(self, one: int, other: int) -> bool:
        """Whether the two alone overdraw some resource."""
        return (min(one, other), max(one, other)) in self._apart

    def narrow(self, rows: Rows, pairs: list[tuple[int, int]]) -> list[tuple[int, int]] | None:
        """Adds every order that is forced; the pairs still open, or None where none is possible."""
        durations = self._durations
        changed = True
        while changed:
            changed = False
            still = []
            for pair in pairs:
                i, j = pair
                ahead, back = rows[i][j], rows[j][i]
                if ahead >= durations[i] or back >= durations[j]:
                    continue
                if back > -durations[i]:
                    if not add_arc(rows, j, i, durations[j]):
                        return None
                    changed = True
                elif ahead > -durations[j]:
                    if not add_arc(rows, i, j, durations[i]):
                        return None
                    changed = True
                else:
                    still.append(pair)
            pairs = still
        return pairs

    def is_too_long(self, rows: Rows, shorter_than: int) -> bool:
        """Whether some set that can't overlap needs as much time or more."""
        heads, end = rows[self._size], self._size + 1
        tails = [row[end] for row in rows]
        return any(
            bound_one_machine(clique, self._durations, heads, tails) >= shorter_than
            for clique in self._cliques
        )

    def find_overload(self, rows: Rows) -> Overload | None:
        """The set with the fewest ways out among those that the earliest starts overdraw."""
        starts, durations = rows[self._size], self._durations
        best: Overload | None = None
        for capacity, amounts in self._users:
            spans = sorted((starts[i], starts[i] + durations[i], i) for i in amounts)
            active: list[tuple[int, int]] = []
            used = 0
            for start, end, number in spans:
                still = [entry for entry in active if entry[0] > start]
                if len(still) < len(active):
                    active = still
                    used = sum(amounts[i] for _, i in active)
                active.append((end, number))
                used += amounts[number]
                if used > capacity:
                    found = self._minimal(rows, [i for _, i in active], amounts, capacity)
                    if len(found.choices) < 2:
                        return found
                    weight = (len(found.choices), -found.least_end)
                    if best is None or weight < (len(best.choices), -best.least_end):
                        best = found
        return best

    def _minimal(
        self, rows: Rows, active: list[int], amounts: dict[int, int], capacity: int
    ) -> Overload:
        members: list[int] = []
        used = 0
        for number in sorted(active, key=lambda i: -amounts[i]):
            members.append(number)
            used += amounts[number]
            if used > capacity:
                break
        durations = self._durations
        choices = tuple(
            (i, j) for i in members for j in members if i != j and rows[j][i] <= -durations[i]
        )
        starts, end = rows[self._size], self._size + 1
        least = min((starts[i] + durations[i] + rows[j][end] for i, j in choices), default=0)
        return Overload(tuple(members), choices, least)
