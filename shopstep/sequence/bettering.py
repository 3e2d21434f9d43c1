"""A plan in progress made better: from its own order, with what is done left alone.

``improving`` shakes the rules of a new plan; here the order of the plan in force is the beginning,
and every order that is taken keeps the step at the bench first. Imports ``shopstep.model`` and
this room.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from shopstep.model.better import Better, Gain
from shopstep.model.plan import Plan, Prefer, Shop
from shopstep.model.step import Hold, Step, Wait
from shopstep.sequence.forming import Formed, form_problem
from shopstep.sequence.improving import Order, Shaker, lay, order_of, ranks_of
from shopstep.sequence.keeping import keeps_rules
from shopstep.sequence.placing import Problem, Rule
from shopstep.sequence.rules import Figures, Score, judge_starts, make_rules
from shopstep.words import say

ROUNDS = 4_000
"""Orders that are tried, where no deadline cuts them off."""
LEAST_EARLIER_S = 1800
"""On the same evening, less than this is not worth a new plan: churn disturbs (our choice)."""
LEAST_SETUPS = 3
"""Where setups count first: fewer changes than this are not worth a new plan (our choice)."""
_AT_BENCH = -1
"""Rank before all others, as of what open glue waits for."""

IsOver = Callable[[], bool]


@dataclass(frozen=True, slots=True)
class Asked:
    """A plan in progress, and what of it must not move."""

    steps: tuple[Step, ...]
    """With the times of the plan in force."""
    waits: tuple[Wait, ...]
    holds: tuple[Hold, ...]
    shop: Shop
    begin_s: int
    """Nothing that is not done starts before, seconds since 1970 UTC."""
    finished: tuple[tuple[str, int, int], ...] = ()
    """Step, real start and end."""
    at_bench: str = ""
    """The step that the card shows; empty: none."""


def better_starts(
    asked: Asked, seed: int, rounds: int, is_over: IsOver = lambda: False
) -> dict[str, int] | None:
    """New starts of the steps that are not done, or None where nothing better was found.

    The same question, seed and rounds always give the same answer; ``is_over`` only cuts rounds
    off. Never worse than the plan in force.
    """
    found = _Question.of(asked)
    if found is None:
        return None
    start = found.start()
    if start is None:
        return None
    best = improve_from(found.problem, start, found, seed, rounds, is_over)
    if best.score >= found.in_force.score(found.prefer):
        return None
    return found.step_starts(best.starts)


def check_better(asked: Asked, starts: Mapping[str, int]) -> Better | None:
    """The plan's steps at these starts; None where they break a rule or are hardly better."""
    found = _Question.of(asked)
    if found is None:
        return None
    blocks = [starts.get(block.steps[0].id) for block in found.problem.blocks]
    whole = tuple(start for start in blocks if start is not None)
    if len(whole) < len(blocks) or found.step_starts(whole) != dict(starts):
        return None
    if not keeps_rules(found.problem, whole) or not found.leaves_bench(whole):
        return None
    after = judge_starts(found.problem, whole)
    if not is_worth(found.in_force, after, found.prefer):
        return None
    spans = {name: (start, end) for name, start, end in asked.finished}
    timed = [
        replace(step, start_s=spans[step.id][0], end_s=spans[step.id][1])
        if step.id in spans
        else replace(step, start_s=starts[step.id], end_s=starts[step.id] + step.duration_s)
        for step in asked.steps
    ]
    return Better(
        tuple(sorted(timed, key=lambda step: step.start_s)), gain_of(found.in_force, after)
    )


def score_plan(plan: Plan, shop: Shop) -> Score:
    """What a plan is judged by in a shop, in the order that the keeper prefers; less is better."""
    formed = form_problem(plan.steps, plan.waits, plan.holds, shop, plan.begin_s, {})
    if not isinstance(formed, Formed):
        raise ValueError(say("no plan can be made of these steps: {formed}", formed=formed[0].text))
    planned = {step.id: step.start_s for step in plan.steps}
    starts = [planned[block.steps[0].id] for block in formed.problem.blocks]
    return judge_starts(formed.problem, starts).score(shop.prefer)


def gain_of(before: Figures, after: Figures) -> Gain:
    """What one schedule has less than another."""
    return Gain(
        before.evenings - after.evenings,
        before.last - after.last,
        before.end_s - after.end_s,
        before.setups - after.setups,
        before.first_unit_s - after.first_unit_s,
    )


def is_worth(before: Figures, after: Figures, prefer: Prefer) -> bool:
    """Whether a schedule is so much better, by what the keeper prefers, that it may be changed."""
    if after.score(prefer) >= before.score(prefer):
        return False
    if after.broken < before.broken:
        return True
    gain = gain_of(before, after)
    if prefer is Prefer.SETUPS and gain.setups:
        return gain.setups >= LEAST_SETUPS
    if prefer is Prefer.FIRST_UNIT and gain.first_unit_s:
        return gain.first_unit_s >= LEAST_EARLIER_S
    return gain.evenings > 0 or gain.openings > 0 or gain.end_s >= LEAST_EARLIER_S


def improve_from(
    problem: Problem, start: Order, bench: _Question, seed: int, rounds: int, is_over: IsOver
) -> Order:
    """The best order after so many rounds; never a worse one than ``start``."""
    shaker = Shaker(problem, random.Random(seed))
    best = at = start
    for _ in range(rounds):
        if is_over():
            break
        found = lay(problem, bench.with_first(shaker.shake(at.rule)), bench.prefer)
        if found.pull <= at.pull and bench.leaves_bench(found.starts):
            at = found
            best = min(best, at, key=lambda order: order.score)
    return best


@dataclass(frozen=True, slots=True)
class _Question:
    """The problem of what is asked, and where the plan in force stands in it."""

    problem: Problem
    prefer: Prefer
    like: tuple[int, ...]
    """Starts of the blocks in the plan in force, whether they can still be kept or not."""
    first: int | None
    """The block of the step at the bench."""
    in_force: Figures

    @classmethod
    def of(cls, asked: Asked) -> _Question | None:
        """None where nothing is left to be laid, or no order solves what is left."""
        fixed = {name: (start, end) for name, start, end in asked.finished}
        formed = form_problem(
            asked.steps, asked.waits, asked.holds, asked.shop, asked.begin_s, fixed
        )
        if not isinstance(formed, Formed) or not formed.problem.blocks:
            return None
        planned = {step.id: step.start_s for step in asked.steps}
        like = tuple(planned[block.steps[0].id] for block in formed.problem.blocks)
        homes = {
            step.id: number
            for number, block in enumerate(formed.problem.blocks)
            for step in block.steps
        }
        return cls(
            formed.problem,
            asked.shop.prefer,
            like,
            homes.get(asked.at_bench),
            judge_starts(formed.problem, like),
        )

    def start(self) -> Order | None:
        """The plan in force, or the best order with the step at the bench first."""
        before = self.with_first(Rule("as before", ranks_of(self.like), stays=False))
        orders = [
            lay(self.problem, rule, self.prefer)
            for rule in (before, *map(self.with_first, make_rules(self.problem.blocks)))
        ]
        if keeps_rules(self.problem, self.like):
            orders.append(order_of(self.problem, before, self.like, self.prefer))
        fitting = [order for order in orders if self.leaves_bench(order.starts)]
        return min(fitting, key=lambda order: order.score, default=None)

    def with_first(self, rule: Rule) -> Rule:
        """The rule with the step at the bench before all others."""
        if self.first is None:
            return rule
        ranks = list(rule.ranks)
        ranks[self.first] = _AT_BENCH
        return replace(rule, ranks=tuple(ranks))

    def leaves_bench(self, starts: Sequence[int]) -> bool:
        """Whether what is under way goes on as it does: nothing else is put before it.

        What closes glue that is spread, or follows at once, keeps its very moment.
        """
        blocks = self.problem.blocks
        urgent = {number for number, block in enumerate(blocks) if block.latest_s is not None}
        if any(starts[number] != self.like[number] for number in urgent):
            return False
        if self.first is None or starts[self.first] == self.like[self.first]:
            return True
        others = (s for number, s in enumerate(starts) if number not in urgent)
        return starts[self.first] == min(others, default=starts[self.first])

    def step_starts(self, starts: Sequence[int]) -> dict[str, int]:
        """By step, from the starts of the blocks."""
        return {
            step.id: start + offset
            for block, start in zip(self.problem.blocks, starts, strict=True)
            for step, offset in zip(block.steps, block.offsets, strict=True)
        }
