"""More of something never comes out as worse: what-if begins from the plan that there is."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopstep.desk.varying import what_if
from shopstep.model.plan import Calendar, Plan, PlanRequest, Prefer, Shop
from shopstep.planner import make_plan
from shopstep.present.evenings import plan_evenings
from shopstep.present.why_start import what_if_lines
from shopstep.wiring.late_planner import LatePlanner
from tests.floor import BEGIN_S, SHOP, floor_request
from tests.schedule_checker import violations

ROOM_ONLY = ("clamps", "places", "longer", "every day")
"""Words of the changes that only give room; warmer air also closes glue sooner."""


def request_of(units: int, shop: Shop) -> PlanRequest:
    """Floors in a shop."""
    return floor_request(units=units, shop=shop)


def shop_with(closes_min: int, days: tuple[int, ...], clamps: int, prefer: Prefer) -> Shop:
    """A shop with little of something."""
    calendar: Calendar = replace(SHOP.calendar, closes_min=closes_min, days=days)
    return replace(SHOP, calendar=calendar, clamps=clamps, drying_places=8, prefer=prefer)


def last_day(plan: Plan) -> int:
    """Number of the day (in UTC, as the shop's) on which the last step ends."""
    return (max(step.end_s for step in plan.steps) - 1) // 86400


def figures(plan: Plan) -> tuple[int, int]:
    """Evenings, and the last day."""
    return len(plan_evenings(plan)), last_day(plan)


def check_all(request: PlanRequest) -> None:
    """Every change of room, by what counts first, and by every rule of a schedule."""
    plan = make_plan(request)
    evenings, day = figures(plan)
    found = what_if(request, plan, LatePlanner())
    room = [each for each in found if any(word in each.change for word in ROOM_ONLY)]
    assert len(room) >= 3
    for each in room:
        assert each.plan is not None
        now_evenings, now_day = figures(each.plan)
        if request.shop.prefer is Prefer.FINISH:
            assert now_day <= day, each.change
        else:
            assert (now_evenings, now_day) <= (evenings, day), each.change


@pytest.mark.parametrize(("units", "closes_min"), [(2, 19 * 60 + 15), (5, 21 * 60)])
def test_plans_that_once_got_worse_by_being_open_every_day_do_not(
    units: int, closes_min: int
) -> None:
    """Without the plan that there is to begin from, each of these took an evening more."""
    check_all(request_of(units, shop_with(closes_min, (0, 2, 4), 4, Prefer.EVENINGS)))


@settings(max_examples=5, deadline=None)
@given(
    units=st.integers(1, 2),
    closes_min=st.sampled_from([19 * 60 + 20, 19 * 60 + 40, 20 * 60, 20 * 60 + 40]),
    days=st.sampled_from([(0, 2, 4), (5, 6), (0, 1, 2, 3), (1,)]),
    clamps=st.integers(3, 4),
    prefer=st.sampled_from([Prefer.EVENINGS, Prefer.FINISH]),
)
def test_more_room_never_says_worse(
    units: int, closes_min: int, days: tuple[int, ...], clamps: int, prefer: Prefer
) -> None:
    check_all(request_of(units, shop_with(closes_min, days, clamps, prefer)))


def test_a_day_earlier_is_said_where_no_evening_is_saved() -> None:
    plan = make_plan(request_of(1, SHOP))
    day_s = 86400
    shifted = {
        by: replace(plan, steps=tuple(replace(s, end_s=s.end_s + by * day_s) for s in plan.steps))
        for by in (-2, -1, 0, 1)
    }
    lines = what_if_lines(plan, [(str(by), other) for by, other in shifted.items()])[1:]
    said = [line.rpartition(", ")[2] for line in lines]
    assert said == ["2 days earlier.", "a day earlier.", "as now.", "a day later."]


def test_a_varied_plan_keeps_every_rule() -> None:
    request = request_of(3, shop_with(19 * 60 + 30, (0, 2, 4), 4, Prefer.EVENINGS))
    plan = make_plan(request)
    longer = replace(SHOP.calendar, closes_min=20 * 60, days=(0, 2, 4))
    shop = replace(request.shop, calendar=longer)
    varied = LatePlanner().vary_plan(replace(request, shop=shop), plan)
    assert violations(varied.steps, varied.steps, varied.waits, varied.holds, shop, BEGIN_S) == []


@pytest.mark.parametrize("closes_min", [20 * 60, 19 * 60 + 45])
def test_steps_that_longer_evenings_put_together_are_held_beside_the_old_ones(
    closes_min: int,
) -> None:
    """Short evenings divide long machine work; in longer ones the steps are others, or impossible.

    Even where no plan is found for the others, the divided work still has its plan.
    """
    every_day = (0, 1, 2, 3, 4, 5, 6)
    request = request_of(12, shop_with(19 * 60 + 30, every_day, 4, Prefer.EVENINGS))
    plan = make_plan(request)
    assert any("#" in step.id for step in plan.steps)
    shop = shop_with(closes_min, every_day, 4, Prefer.EVENINGS)
    varied = LatePlanner().vary_plan(replace(request, shop=shop), plan)
    assert figures(varied) <= figures(plan)
    broken = violations(varied.steps, varied.steps, varied.waits, varied.holds, shop, BEGIN_S)
    assert broken == []
