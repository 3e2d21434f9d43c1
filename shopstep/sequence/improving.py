"""Better orders by chance: ranks are shaken a little, and what is not worse is kept.

The same seed and number of tries always give the same order. Imports this room.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, replace

from shopstep.model.plan import Prefer
from shopstep.sequence.placing import Problem, Rule, place_blocks, repair_blocks
from shopstep.sequence.rules import BROKEN, Score, judge_starts

FEW, MANY = 20_000, 120_000
"""Blocks laid in all, where the plan is within one evening of the least possible, and where not."""
_SHAKE, _MOVE_KIND = 0.4, 0.8
_EMPTYING = 0.7
_STAY_ON = 0.9
"""How often a shaken order keeps to its habit of going on with the kind of step at hand."""


@dataclass(frozen=True, slots=True)
class Order:
    """A rule with the schedule that it gives."""

    rule: Rule
    starts: tuple[int, ...]
    score: Score
    pull: Score
    is_repaired: bool = False
    """Whether the rule alone would have broken a longest wait."""

    @property
    def is_broken(self) -> bool:
        """Whether a longest wait or daylight is not kept."""
        return any(self.score[:BROKEN])

    def would_beat(self, other: Order) -> bool:
        """Whether it is broken, and would save evenings or end earlier if it were not."""
        first, last = BROKEN, BROKEN + 2
        return self.is_broken and self.score[first:last] < other.score[first:last]


def lay(problem: Problem, rule: Rule, prefer: Prefer) -> Order:
    """The order that a rule gives."""
    return order_of(problem, rule, place_blocks(problem, rule), prefer)


def repaired(problem: Problem, order: Order, prefer: Prefer) -> Order:
    """The order with broken longest waits put right, as far as that is found."""
    if not order.is_broken or not problem.limits:
        return order
    starts = repair_blocks(problem, order.rule, order.starts)
    return replace(order_of(problem, order.rule, starts, prefer), is_repaired=True)


def order_of(problem: Problem, rule: Rule, starts: tuple[int, ...], prefer: Prefer) -> Order:
    """A rule with a schedule, judged."""
    figures = judge_starts(problem, starts)
    return Order(rule, starts, figures.score(prefer), figures.pull(prefer))


def tries_for(blocks: int, gap: int) -> int:
    """How many tries are worth their time. ``gap``: evenings more than the least possible."""
    return (MANY if gap > 1 else FEW) // max(1, blocks) if gap > 0 else 0


def improve(problem: Problem, best: Order, prefer: Prefer, tries: int, seed: int) -> Order:
    """The best order after so many tries; never a worse one than ``best``.

    Most tries empty the last evening; the rest then look after setups and ways.
    """
    shaker = Shaker(problem, random.Random(seed))
    at = best
    for number in range(tries):
        found = lay(problem, shaker.shake(at.rule), prefer)
        if best.is_repaired:
            found = repaired(problem, found, prefer)
        if number < tries * _EMPTYING:
            at = found if found.pull <= at.pull else at
        else:
            at = found if found.score <= at.score else at
        best = min(best, at, key=lambda order: order.score)
    return best


class Shaker:
    """Makes a neighbour of a rule: all ranks a little, one kind of step, or one block."""

    def __init__(self, problem: Problem, chance: random.Random) -> None:
        self.kinds = [block.steps[0].kind for block in problem.blocks]
        self.names = sorted(set(self.kinds))
        self.chance = chance

    def shake(self, rule: Rule) -> Rule:
        """A rule like this one."""
        count = len(rule.ranks)
        keys = [float(rank) for rank in rule.ranks]
        way = self.chance.random()
        if way < _SHAKE:
            width = self.chance.choice((2.0, 10.0, count / 5))
            keys = [key + self.chance.gauss(0, width) for key in keys]
        elif way < _MOVE_KIND:
            kind, by = self.chance.choice(self.names), self.chance.gauss(0, count / 3)
            keys = [k + by if self.kinds[n] == kind else k for n, k in enumerate(keys)]
        else:
            keys[self.chance.randrange(count)] += self.chance.gauss(0, count / 4)
        stays = rule.stays if self.chance.random() < _STAY_ON else not rule.stays
        return Rule("shaken", ranks_of(keys), stays, rule.keeps_help)


def ranks_of(keys: Sequence[float]) -> tuple[int, ...]:
    """For each key its place among all, the lowest first."""
    ranks = [0] * len(keys)
    for rank, number in enumerate(sorted(range(len(keys)), key=lambda n: keys[n])):
        ranks[number] = rank
    return tuple(ranks)
