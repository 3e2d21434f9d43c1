"""The inside of a block: an order of its steps that keeps every open time.

Imports ``shopstep.model``.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.model.step import Step

_MOST_TRIES = 20_000
"""Orders of one block that are looked at before it counts as impossible."""


@dataclass(frozen=True, slots=True)
class Inside:
    """Steps of one block, by number, and what binds them to each other."""

    steps: tuple[Step, ...]
    lags: tuple[dict[int, int], ...]
    """For each step: earlier step → least seconds from its end to this one's start."""
    limits: tuple[dict[int, int], ...]
    """For each step: earlier step → most seconds from its start to this one's end."""
    behind: tuple[int | None, ...]
    """For each step the step that it follows at once."""
    deadlines: dict[int, int]
    """Step → most seconds from the start of the block to its end; for glue already spread."""


def lay_inside(inside: Inside) -> tuple[int, ...] | None:
    """Offset of each step from the start of the block, or None where no order was found.

    Steps follow each other without a gap, except where a least wait inside forces one. The order
    of the steps as given is preferred.
    """
    search = _Search(inside)
    return tuple(search.offsets) if search.place_all() else None


class _Search:
    """Depth first over the orders of a block, without recursion."""

    def __init__(self, inside: Inside) -> None:
        self.inside = inside
        self.offsets = [-1] * len(inside.steps)

    def place_all(self) -> bool:
        """Places every step, going back where an open time would be broken."""
        placed: list[int] = []
        first = 0
        for _ in range(_MOST_TRIES):
            if len(placed) == len(self.offsets):
                return True
            node = self._place_one(self._end_of(placed[-1]) if placed else 0, first)
            if node is not None:
                placed.append(node)
                first = 0
            elif placed:
                first = placed.pop()
                self.offsets[first] = -1
                first += 1
            else:
                return False
        return False

    def _place_one(self, now: int, first: int) -> int | None:
        """Places the first step from number ``first`` on that may follow; None where none may."""
        if self._is_late(now):
            return None
        for node, start in self._candidates(now):
            idle = start > now and self._is_awaited(node)
            if node >= first and not idle and self._keeps_limits(node, start):
                self.offsets[node] = start
                return node
        return None

    def _is_awaited(self, node: int) -> bool:
        """Whether another step must follow at once on one that is placed already."""
        return any(
            other != node
            and follows is not None
            and self.offsets[follows] >= 0 > self.offsets[other]
            for other, follows in enumerate(self.inside.behind)
        )

    def _candidates(self, now: int) -> list[tuple[int, int]]:
        """Free steps and their starts; where some must follow at once, only those."""
        starts = [(node, self._start_of(node, now)) for node in range(len(self.offsets))]
        free = [(node, start) for node, start in starts if start is not None]
        due = [entry for entry in free if self.inside.behind[entry[0]] is not None]
        return due or free

    def _end_of(self, node: int) -> int:
        return self.offsets[node] + self.inside.steps[node].duration_s

    def _start_of(self, node: int, now: int) -> int | None:
        """When the step could start, or None where it is placed or not free yet."""
        if self.offsets[node] >= 0:
            return None
        start = now
        for earlier, lag in self.inside.lags[node].items():
            if self.offsets[earlier] < 0:
                return None
            start = max(start, self._end_of(earlier) + lag)
        return start

    def _keeps_limits(self, node: int, start: int) -> bool:
        end = start + self.inside.steps[node].duration_s
        limits = self.inside.limits[node].items()
        if any(end > self.offsets[earlier] + most for earlier, most in limits):
            return False
        return end <= self.inside.deadlines.get(node, end)

    def _is_late(self, now: int) -> bool:
        """Whether some open joint can no longer be closed in time."""
        for node, offset in enumerate(self.offsets):
            end = now + self.inside.steps[node].duration_s
            for earlier, most in self.inside.limits[node].items():
                opened = self.offsets[earlier]
                if offset < 0 <= opened and end > opened + most:
                    return True
        return False
