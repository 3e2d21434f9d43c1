"""Every order of few blocks: the last resort where longest waits are kept by none that was tried.

Imports this room.
"""

from __future__ import annotations

from collections.abc import Iterator

from shopstep.model.plan import Prefer
from shopstep.sequence.improving import Order, order_of, ranks_of
from shopstep.sequence.keeping import keeps_rules
from shopstep.sequence.placing import Problem, Rule

FEW = 7
"""Blocks of which every order is tried: 5,040 at most, some tenths of a second."""
_ROUNDS = 32
"""How often blocks of one order are put off, until its limits are kept."""


def try_every_order(problem: Problem, best: Order, prefer: Prefer) -> Order:
    """The best of all orders in which every rule is kept; ``best`` where there is none.

    In a given order each block is laid as early as it can be, and where a limit is broken its
    earlier block is put off by what it is over: no start of that order is earlier, so an order in
    which no limit can be kept is known for sure.
    """
    for order in _orders(problem, []):
        starts = _lay(problem, order)
        if starts is not None and keeps_rules(problem, starts):
            rule = Rule("every order", ranks_of(starts), stays=False)
            best = min(best, order_of(problem, rule, starts, prefer), key=lambda each: each.score)
    return best


def _orders(problem: Problem, begun: list[int]) -> Iterator[tuple[int, ...]]:
    """All orders in which each block comes after those that it needs."""
    if len(begun) == len(problem.blocks):
        yield tuple(begun)
        return
    for number, block in enumerate(problem.blocks):
        if number not in begun and all(earlier in begun for earlier, _ in block.lags):
            yield from _orders(problem, [*begun, number])


def _lay(problem: Problem, order: tuple[int, ...]) -> tuple[int, ...] | None:
    """The earliest starts of an order; None where its limits were not kept in so many rounds."""
    releases = [block.earliest_s for block in problem.blocks]
    for _ in range(_ROUNDS):
        starts = _lay_early(problem, order, releases)
        late = [limit for limit in problem.limits.ahead if limit.over_s(starts)]
        if not late:
            return starts
        for limit in late:
            if limit.earlier is not None:
                moment = starts[limit.later] - limit.most_s
                releases[limit.earlier] = max(moment, releases[limit.earlier])
    return None


def _lay_early(problem: Problem, order: tuple[int, ...], releases: list[int]) -> tuple[int, ...]:
    starts = [0] * len(order)
    free_s = problem.begin_s
    for number in order:
        block = problem.blocks[number]
        ready_s = max([free_s, releases[number], *(starts[n] + lag for n, lag in block.lags)])
        starts[number], _ = problem.hours.fit(
            ready_s, block.span_s, 0, block.machine, block.light, block.helped
        )
        free_s = starts[number] + block.span_s
    return tuple(starts)
