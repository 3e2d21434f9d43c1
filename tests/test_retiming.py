"""New times for a batch in progress: at once, by every rule, and what is done never moves."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.model.plan import PlanRefused
from shopstep.planner import retime
from shopstep.present.ahead import ahead_lines, ahead_sentence
from shopstep.present.evenings import plan_evenings
from shopstep.session import commands as c
from tests.floor import BEGIN_S, SHOP, floor_plan, floor_request
from tests.random_disturbances import disturb
from tests.schedule_checker import violations
from tests.session_bench import new_id
from tests.test_following import open_bench, walk


@pytest.mark.parametrize("seed", range(40))
def test_every_plan_after_a_disturbance_keeps_every_rule(seed: int) -> None:
    plan = floor_plan(units=6)
    found = disturb(plan, SHOP, seed)
    made = retime(plan, found.shop, found.finished, found.now_s)
    wrong = violations(
        plan.steps, made.steps, plan.waits, plan.holds, found.shop, found.now_s, found.finished
    )
    assert wrong == []


def test_what_is_done_never_moves_and_nothing_else_changes() -> None:
    plan = floor_plan(units=2)
    found = disturb(plan, SHOP, 3)
    made = retime(plan, found.shop, found.finished, found.now_s)
    times = {step.id: (step.start_s, step.end_s) for step in made.steps}
    assert all(times[step] == moment for step, moment in found.finished.items())
    same = {"steps": plan.steps, "begin_s": 0, "least_evenings": 0, "findings": ()}
    assert replace(made, **same) == replace(plan, **same)  # type: ignore[arg-type]


def test_nothing_disturbed_is_as_planned() -> None:
    plan = floor_plan(units=1)
    made = retime(plan, SHOP, {}, BEGIN_S)
    assert len(plan_evenings(made)) == len(plan_evenings(plan))


def test_hours_that_hold_no_step_are_refused() -> None:
    short = replace(SHOP, calendar=replace(SHOP.calendar, closes_min=SHOP.calendar.opens_min + 5))
    with pytest.raises(PlanRefused):
        retime(floor_plan(units=1), short, {}, BEGIN_S)


def test_what_is_ahead_is_said_against_the_plan() -> None:
    bench, clock = open_bench(floor_request(units=1))
    walk(bench, clock, "u1/fit/dry_fit")
    clock.at_s += 3 * 86400
    sentence = ahead_sentence(bench.state, bench.plan, bench.ahead())
    assert "days later than planned." in sentence
    lines = ahead_lines(bench.state, bench.plan, bench.ahead())
    evenings = len([line for line in lines if line.lstrip()[0].isdigit() and ". " in line[:5]])
    assert sentence.startswith(f"{evenings} evening")
    assert "Mark and take apart unit 1" in " ".join(" ".join(lines).split())


def test_nothing_is_ahead_of_a_batch_that_is_done() -> None:
    bench, clock = open_bench(floor_request(units=1))
    walk(bench, clock, "")
    said = ahead_sentence(bench.state, bench.plan, bench.plan)
    assert said == "Nothing is ahead: every step is done."
    assert bench.do(c.TakeNote(id=new_id(), text="done"))
