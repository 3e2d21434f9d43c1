"""Why not earlier: every answer is held against what moving the step earlier would break."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.desk.varying import what_if
from shopstep.model.plan import Plan
from shopstep.model.reason import Binds
from shopstep.model.step import Hold, Step, Wait
from shopstep.present.why_start import what_if_lines, why_lines
from shopstep.sequence.explaining import explain_chain
from shopstep.wiring.late_planner import LatePlanner
from tests.floor import BEGIN_S, SHOP, floor_plan, floor_request
from tests.reasons import reason_of
from tests.sample_plan import make_plan
from tests.schedule_checker import violations
from tests.schedule_samples import BEGIN_S as FIRST_S
from tests.schedule_samples import EVENINGS, least, make_shop, schedule, step


def plan_of(steps: tuple[Step, ...], waits: tuple[Wait, ...] = (), clamps: int = 4) -> Plan:
    """A plan that is nothing but this schedule."""
    made = schedule(steps, waits, shop=make_shop(clamps=clamps))
    return replace(make_plan(), steps=made.steps, waits=waits, holds=(), begin_s=FIRST_S)


def binds(plan: Plan, name: str) -> tuple[Binds, str]:
    """What binds a step, and the other step."""
    reason = reason_of(plan, make_shop(), name)
    return reason.binds, reason.other


def test_the_first_step_begins_the_plan() -> None:
    assert binds(plan_of((step("a", 10),)), "a") == (Binds.BEGIN, "")


def test_a_need_that_ends_just_then_binds() -> None:
    plan = plan_of((step("a", 10), step("b", 10, "a")))
    assert binds(plan, "b") == (Binds.NEED, "a")


def test_a_wait_binds() -> None:
    plan = plan_of((step("a", 10), step("b", 10, "a")), (least("a", "b", 60),))
    assert binds(plan, "b") == (Binds.WAIT, "a")


def test_two_hands_bind_where_nothing_else_does() -> None:
    plan = plan_of((step("a", 10), step("b", 10)))
    assert binds(plan, "b") == (Binds.PERSON, "a")


def test_closing_time_binds_and_says_what_came_before_it() -> None:
    plan = plan_of((step("a", 150), step("b", 60, "a")))
    assert binds(plan, "b") == (Binds.HOURS, "a")
    night = plan_of((step("a", 10), step("b", 10, "a")), (least("a", "b", 600),))
    assert binds(night, "b") == (Binds.HOURS, "a")


def test_quiet_machines_bind() -> None:
    quiet = make_shop(replace(EVENINGS, quiet_from_min=19 * 60))
    saw = replace(step("b", 30, "a"), resources=("table_saw",))
    made = schedule((step("a", 45), saw), shop=quiet)
    plan = replace(make_plan(), steps=made.steps, waits=(), holds=(), begin_s=FIRST_S)
    assert reason_of(plan, quiet, "b").binds is Binds.MACHINES


def test_taken_clamps_bind() -> None:
    steps = (step("a", 10), step("a2", 10, "a"), step("b", 10), step("b2", 10, "b"))
    waits = (least("a", "a2", 30), least("b", "b2", 30))
    holds = (Hold("clamps", 2, "a", "a2"), Hold("clamps", 2, "b", "b2"))
    shop = make_shop(clamps=2)
    made = schedule(steps, waits, holds, shop)
    plan = replace(make_plan(), steps=made.steps, waits=waits, holds=holds, begin_s=FIRST_S)
    later = max(("a", "b"), key=lambda name: next(s.start_s for s in made.steps if s.id == name))
    reason = reason_of(plan, shop, later)
    assert reason.binds in (Binds.RESOURCE, Binds.PERSON)
    assert reason.other in ("a2", "b2")


@pytest.mark.parametrize("units", [1, 2, 6])
def test_what_is_said_to_bind_would_be_broken_by_an_earlier_start(units: int) -> None:
    # judged by the independent checker: the step alone, moved a minute earlier, breaks something
    plan = floor_plan(units=units)
    for moved in plan.steps:
        reason = reason_of(plan, SHOP, moved.id)
        if reason.binds is Binds.BEGIN:
            assert moved.start_s == BEGIN_S
            continue
        earlier = replace(moved, start_s=moved.start_s - 60, end_s=moved.end_s - 60)
        steps = tuple(earlier if s.id == moved.id else s for s in plan.steps)
        steps = tuple(sorted(steps, key=lambda s: s.start_s))
        wrong = violations(plan.steps, steps, plan.waits, plan.holds, SHOP, BEGIN_S)
        assert wrong, (moved.id, reason)
        if reason.binds in (Binds.NEED, Binds.WAIT) and moved.behind is None:
            assert any(f"after {reason.other}" in said for said in wrong), (reason, wrong)


def test_the_chain_leads_back_to_the_beginning() -> None:
    plan = floor_plan(units=1)
    chain = explain_chain(plan, SHOP, "u1/close/last_look", 200)
    assert chain[-1].binds is Binds.BEGIN
    starts = {s.id: s.start_s for s in plan.steps}
    moments = [starts[reason.step] for reason in chain]
    assert moments == sorted(moments, reverse=True)
    lines = why_lines(plan, chain)
    assert "Last look (unit 1)" in lines[0]
    assert lines[-1].endswith("the plan begins here.")


def test_what_if_says_what_each_change_saves() -> None:
    request = floor_request(units=6)
    plan = floor_plan(units=6)
    found = what_if(request, plan, LatePlanner())
    lines = what_if_lines(plan, [(each.change, each.plan) for each in found])
    assert len(lines) == 1 + len(found)
    # by hand: 21.9 h of work need 8 evenings of 3 h, or 7 of 3 1/2 h
    longer = next(line for line in lines if line.startswith("30 min longer each evening"))
    assert "saves" in longer
    assert "saves none" not in longer
    assert what_if_lines(plan, [("no roof", None)])[1] == "no roof: no plan can be made so."


def test_one_evening_is_said_in_the_singular() -> None:
    plan = make_plan()
    one = replace(plan, steps=plan.steps[:1])
    later = replace(plan.steps[0], start_s=plan.begin_s + 86_400, end_s=plan.begin_s + 86_460)
    two = replace(plan, steps=(plan.steps[0], later))
    assert ": 2 evenings, 1 evening more;" in what_if_lines(one, [("", two)])[1]
    assert ": 1 evening, saves 1 evening;" in what_if_lines(two, [("", one)])[1]
