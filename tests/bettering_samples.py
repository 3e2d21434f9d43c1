"""Plans in progress that a better order was found for, and questions about them."""

from __future__ import annotations

from functools import cache

from shopstep.planner import retime
from shopstep.sequence.bettering import Asked
from shopstep.workbench import BetterAsked
from tests.floor import SHOP, floor_plan
from tests.random_disturbances import Disturbance, disturb

CAN_BE_BETTER = 29
"""A disturbance of six floors (invented) after which the old order takes an evening too many."""


@cache
def disturbed(seed: int, units: int = 6) -> tuple[Asked, Disturbance]:
    """The repaired plan after a disturbance, with the next step at the bench."""
    found = disturb(floor_plan(units=units), SHOP, seed)
    made = retime(floor_plan(units=units), found.shop, found.finished, found.now_s)
    first = next((s.id for s in made.steps if s.id not in found.finished), "")
    finished = tuple((step, start, end) for step, (start, end) in found.finished.items())
    steps, waits, holds = made.steps, made.waits, made.holds
    return Asked(steps, waits, holds, found.shop, found.now_s, finished, first), found


def bench_question(seed: int = CAN_BE_BETTER, units: int = 6) -> BetterAsked:
    """The same as the bench asks it."""
    asked, found = disturbed(seed, units)
    plan = retime(floor_plan(units=units), found.shop, found.finished, found.now_s)
    return BetterAsked(plan, found.shop, found.finished, asked.at_bench, 0)
