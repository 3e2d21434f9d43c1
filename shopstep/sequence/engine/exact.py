"""Branch and bound that proves: every schedule is one way of deciding who waits for whom.

A case is a closure of lags. Its earliest starts are its shortest schedule; where they overdraw a
resource, some activity of the overdrawing set must wait for the end of another. That order is
added as a lag in one branch, its negation in the other (precedence posting after Cesta, Oddi and
Smith; negated branches after Laborie's minimal critical sets), so no schedule is looked at twice
and time may have any scale. Imports ``engine.closure``, ``engine.network``, ``engine.pruning``.
"""

from __future__ import annotations

import time
from dataclasses import dataclass

from shopstep.sequence.engine.closure import Rows, add_arc, close_paths
from shopstep.sequence.engine.network import Network
from shopstep.sequence.engine.pruning import Overload, Pruning

Arc = tuple[int, int, int]


@dataclass(slots=True)
class Case:
    """What is decided so far, and the arc that is to be tried next."""

    rows: Rows
    pairs: list[tuple[int, int]]
    """Pairs that can't overlap and whose order is open."""
    arc: Arc | None


class ExactSearch:
    """A search that can be stopped and gone on with; ``is_done`` says that nothing is left."""

    def __init__(self, network: Network, rows: Rows | None = None) -> None:
        self._network = network
        self._pruning = Pruning(network)
        rows = close_paths(network) if rows is None else rows
        self._open = [Case(rows, self._pruning.pairs, None)]
        self.starts: list[int] | None = None
        """The last schedule found."""
        self.cases = 0

    @property
    def is_done(self) -> bool:
        """Whether no schedule is shorter than the length last asked for."""
        return not self._open

    def run(self, shorter_than: int | None, cases: int, until: float | None) -> int | None:
        """Looks at so many cases, up to the moment ``until`` of the monotonic clock.

        Returns the length of a schedule shorter than asked for as soon as one is found, else
        None.
        """
        last = self.cases + cases
        while self._open and self.cases < last:
            if until is not None and time.monotonic() >= until:
                break
            self.cases += 1
            length = self._look_at(self._open.pop(), shorter_than)
            if length is not None:
                return length
        return None

    def _look_at(self, case: Case, shorter_than: int | None) -> int | None:
        rows, size = case.rows, self._network.size
        if case.arc is not None and not add_arc(rows, *case.arc):
            return None
        if shorter_than is not None and not add_arc(rows, size + 1, size, 1 - shorter_than):
            return None
        while True:
            pairs = self._pruning.narrow(rows, case.pairs)
            if pairs is None:
                return None
            case.pairs = pairs
            if shorter_than is not None and self._pruning.is_too_long(rows, shorter_than):
                return None
            overload = self._pruning.find_overload(rows)
            if overload is None:
                self.starts = rows[size][:size]
                return rows[size][size + 1]
            if not overload.choices:
                return None
            if len(overload.choices) > 1:
                break
            before, after = overload.choices[0]
            if not add_arc(rows, before, after, self._network.durations[before]):
                return None
        self._branch(case, overload)
        return None

    def _branch(self, case: Case, overload: Overload) -> None:
        rows, durations = case.rows, self._network.durations
        before, after = self._choose(rows, overload)
        length = durations[before]
        if self._pruning.cannot_overlap(before, after):
            other = after, before, durations[after]
        else:
            other = after, before, 1 - length
        self._open.append(Case(rows[:], case.pairs, other))
        self._open.append(Case(rows, case.pairs, (before, after, length)))

    def _choose(self, rows: Rows, overload: Overload) -> tuple[int, int]:
        """The order that delays the end least; among equals the one with the most room."""
        size, durations = self._network.size, self._network.durations
        starts, end = rows[size], size + 1

        def cost(pair: tuple[int, int]) -> tuple[int, int]:
            before, after = pair
            end_s = starts[before] + durations[before] + rows[after][end]
            room = -rows[after][before] - durations[before]
            return end_s, -room

        return min(overload.choices, key=cost)
