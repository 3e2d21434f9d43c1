"""Whether so few bars do: bar after bar, every way to fill it that wastes little enough.

Bin completion after Korf (AAAI 2002; from memory): the longest piece that is left has to go
somewhere, so all ways to fill its bar are tried, the fullest first. The waste that so many bars
leave in all is a budget that every bar draws on. Imports nothing of the project.
"""

from __future__ import annotations

from collections.abc import Callable

from shopstep.stock.lengths.problem import Bars, Lengths

MOST_STATES = 300_000
"""So many dead ends are remembered."""


class OutOfTime(Exception):
    """Neither found nor excluded."""


def complete_in(lengths: Lengths, count: int, is_late: Callable[[], bool]) -> Bars | None:
    """All pieces on ``count`` bars, or None where that is impossible; OutOfTime."""
    budget = count * lengths.capacity - lengths.total
    if budget < 0:
        return None
    search = _Search(lengths, is_late)
    return search.bars if search.go_on(list(lengths.demands), budget) else None


class _Search:
    """One search: what is placed so far, and states that lead nowhere."""

    def __init__(self, lengths: Lengths, is_late: Callable[[], bool]) -> None:
        self.bars: Bars = []
        self._sizes, self._capacity = lengths.sizes, lengths.capacity
        self._is_late = is_late
        self._dead: dict[tuple[int, ...], int] = {}
        """By what is left, the largest budget with which it could not be done."""
        self._steps = 0

    def go_on(self, left: list[int], budget: int) -> bool:
        """Fill the bar of the longest piece that is left, then the others."""
        first = next((n for n, count in enumerate(left) if count), None)
        if first is None:
            return True
        state = tuple(left)
        if self._dead.get(state, -1) >= budget:
            return False
        left[first] -= 1
        room = self._capacity - self._sizes[first]
        for waste, chosen in self._ways(left, room, budget):
            for n in chosen:
                left[n] -= 1
            self.bars.append([self._sizes[n] for n in (first, *chosen)])
            if self.go_on(left, budget - waste):
                return True
            self.bars.pop()
            for n in chosen:
                left[n] += 1
        left[first] += 1
        if len(self._dead) < MOST_STATES:
            self._dead[state] = budget
        return False

    def _ways(self, left: list[int], room: int, budget: int) -> list[tuple[int, tuple[int, ...]]]:
        """Ways to fill the room that waste no more than the budget, the fullest first."""
        sizes, found = self._sizes, list[tuple[int, tuple[int, ...]]]()
        smallest = next((sizes[n] for n in reversed(range(len(sizes))) if left[n]), room + 1)
        chosen: list[int] = []

        def fill(start: int, room_left: int) -> None:
            self._steps += 1
            if self._steps % 1024 == 0 and self._is_late():
                raise OutOfTime
            is_full = True
            if room_left >= smallest:
                for n in range(start, len(sizes)):
                    if left[n] and sizes[n] <= room_left:
                        is_full = False
                        left[n] -= 1
                        chosen.append(n)
                        fill(n, room_left - sizes[n])
                        chosen.pop()
                        left[n] += 1
            if is_full and room_left <= budget and self._is_maximal(left, room_left):
                found.append((room_left, tuple(chosen)))

        fill(0, room)
        return sorted(found)

    def _is_maximal(self, left: list[int], room: int) -> bool:
        """Whether nothing that is left fits too: a longer piece may, that was passed over."""
        return not any(
            count and size <= room for size, count in zip(self._sizes, left, strict=True)
        )
