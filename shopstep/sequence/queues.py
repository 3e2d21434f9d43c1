"""Free blocks, queued by what they are: all units' blocks of one kind stand in one line.

So that choosing costs as much as there are kinds of step, not units. Imports this room's blocks.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Sequence

from shopstep.sequence.blocks import Block, Take
from shopstep.sequence.daylight import LightWork
from shopstep.sequence.helping import Spans
from shopstep.sequence.openings import MachineWork

Likeness = tuple[str, int, tuple[Take, ...], MachineWork | None, LightWork | None, Spans]
"""First kind, length, takings, work at machines, outdoors and for two: blocks alike in these differ
only in unit."""


class Line:
    """The free blocks of one likeness."""

    def __init__(self, block: Block) -> None:
        self.kind = block.steps[0].kind
        self.span_s = block.span_s
        self.machine = block.machine
        self.light = block.light
        self.helped = block.helped
        self._ready: list[tuple[int, int]] = []
        """(Rank, block) of those that may start now; a heap."""
        self._later: list[tuple[int, int, int]] = []
        """(Earliest, rank, block) of the others; a heap."""

    def add(self, earliest_s: int, rank: int, number: int) -> None:
        """A block became free."""
        heapq.heappush(self._later, (earliest_s, rank, number))

    def head(self, now_s: int) -> tuple[int, int, int] | None:
        """Earliest moment, rank and number of the block that goes first, or None."""
        while self._later and self._later[0][0] <= now_s:
            _, rank, number = heapq.heappop(self._later)
            heapq.heappush(self._ready, (rank, number))
        if self._ready:
            return now_s, *self._ready[0]
        return self._later[0] if self._later else None

    def remove(self, number: int) -> None:
        """The block is placed; it need not be the head."""
        if self._ready and self._ready[0][1] == number:
            heapq.heappop(self._ready)
        elif self._later and self._later[0][2] == number:
            heapq.heappop(self._later)
        else:
            self._ready = [entry for entry in self._ready if entry[1] != number]
            self._later = [entry for entry in self._later if entry[2] != number]
            heapq.heapify(self._ready)
            heapq.heapify(self._later)

    def waiting(self) -> Iterator[tuple[int, int, int]]:
        """Earliest moment, rank and number of every block in the line."""
        yield from ((0, rank, number) for rank, number in self._ready)
        yield from self._later


class Queues:
    """All free blocks."""

    def __init__(self, blocks: Sequence[Block]) -> None:
        by_likeness: dict[Likeness, Line] = {}
        self._line_of: list[Line] = []
        for block in blocks:
            kind = block.steps[0].kind
            work = (block.machine, block.light, block.helped)
            likeness = (kind, block.span_s, block.takes, *work)
            self._line_of.append(by_likeness.setdefault(likeness, Line(block)))
        self.lines = tuple(by_likeness.values())
        self.free: set[int] = set()

    def add(self, number: int, earliest_s: int, rank: int) -> None:
        """A block became free."""
        self.free.add(number)
        self._line_of[number].add(earliest_s, rank, number)

    def remove(self, number: int) -> None:
        """A block is placed."""
        self.free.remove(number)
        self._line_of[number].remove(number)
