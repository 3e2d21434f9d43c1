"""Whether the starts of an earlier plan still keep every rule: then it is never given up for worse.

Imports this room.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from shopstep.sequence.blocks import Block
from shopstep.sequence.placing import Problem
from shopstep.sequence.taking import levels_at_begin, take


def kept_starts(problem: Problem, like: Mapping[str, int]) -> tuple[int, ...] | None:
    """The earlier starts of all blocks, or None where one is missing or a rule is broken now."""
    starts = [like.get(block.steps[0].id) for block in problem.blocks]
    whole = [start for start in starts if start is not None]
    if len(whole) < len(starts) or not keeps_rules(problem, whole):
        return None
    return tuple(whole)


def keeps_rules(problem: Problem, starts: Sequence[int]) -> bool:
    """Whether starts of all blocks break no wait, no hours, and nothing else that is laid down."""
    blocks = problem.blocks
    for number, block in enumerate(blocks):
        start = starts[number]
        late = block.latest_s is not None and start > block.latest_s
        if start < max(block.earliest_s, problem.begin_s) or late:
            return False
        if any(start < starts[earlier] + lag for earlier, lag in block.lags):
            return False
        if not _fits(problem, block, start):
            return False
    if problem.limits.broken(starts)[0]:
        return False
    return _one_after_the_other(problem, starts)


def _fits(problem: Problem, block: Block, start: int) -> bool:
    """Whether the shop is open, machines may run and help is there just then."""
    fit = problem.hours.fit(start, block.span_s, 0, block.machine, block.light, block.helped)
    return fit[0] == start


def _one_after_the_other(problem: Problem, starts: Sequence[int]) -> bool:
    """One person, and never more clamps or places than there are."""
    blocks = problem.blocks
    free_s = problem.begin_s
    levels = levels_at_begin(blocks, len(problem.capacity))
    for number in sorted(range(len(blocks)), key=lambda n: (starts[n], blocks[n].rank)):
        if starts[number] < free_s:
            return False
        free_s = starts[number] + blocks[number].span_s
        taken = take(blocks[number].takes, levels, problem.capacity)
        if taken is None:
            return False
        levels = taken
    return True
