"""What counts first in the order of the steps: each wish is served best by its own plan."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from shopstep.model.plan import Plan, Prefer
from shopstep.planner import make_plan
from shopstep.present.evenings import plan_evenings
from shopstep.present.plan_text import promise_words
from tests.floor import BEGIN_S, SHOP, floor_request
from tests.schedule_checker import violations

UNITS = 6


@pytest.fixture(scope="module")
def plans() -> dict[Prefer, Plan]:
    """Six floors, once for each wish."""
    return {
        prefer: make_plan(floor_request(units=UNITS, shop=replace(SHOP, prefer=prefer)))
        for prefer in Prefer
    }


def first_unit_s(plan: Plan) -> int:
    """When the first unit is complete."""
    return min(max(s.end_s for s in plan.steps if s.unit == u) for u in range(1, UNITS + 1))


def setups(plan: Plan) -> int:
    """Changes of the kind of step."""
    return sum(one.kind != other.kind for one, other in pairwise(plan.steps))


FIGURES = {
    Prefer.EVENINGS: lambda plan: len(plan_evenings(plan)),
    Prefer.FINISH: lambda plan: plan_evenings(plan)[-1].day.toordinal(),
    Prefer.SETUPS: setups,
    Prefer.FIRST_UNIT: first_unit_s,
}


@pytest.mark.parametrize("prefer", list(Prefer))
def test_no_other_wish_serves_it_better(plans: dict[Prefer, Plan], prefer: Prefer) -> None:
    figure = FIGURES[prefer]
    assert all(figure(plans[prefer]) <= figure(other) for other in plans.values())


def test_one_unit_can_be_had_earlier_than_with_fewest_evenings(plans: dict[Prefer, Plan]) -> None:
    usual, early = plans[Prefer.EVENINGS], plans[Prefer.FIRST_UNIT]
    assert first_unit_s(early) < first_unit_s(usual)


@pytest.mark.parametrize("prefer", list(Prefer))
def test_every_wish_keeps_every_rule(plans: dict[Prefer, Plan], prefer: Prefer) -> None:
    plan = plans[prefer]
    assert violations(plan.steps, plan.steps, plan.waits, plan.holds, SHOP, BEGIN_S) == []


def test_the_plan_says_what_it_was_chosen_for(plans: dict[Prefer, Plan]) -> None:
    said = {prefer: promise_words(plan) for prefer, plan in plans.items()}
    assert "Chosen for fewest evenings, then the earliest finish" in said[Prefer.EVENINGS]
    assert "Chosen to have one unit done early" in said[Prefer.FIRST_UNIT]
    assert len(set(said.values())) == len(Prefer)
