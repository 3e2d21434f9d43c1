"""Which step stands at the bench, what keeps the others, and which timers run."""

from __future__ import annotations

from dataclasses import replace
from zoneinfo import ZoneInfo

import pytest

from shopstep.model.step import WaitKind
from shopstep.session import commands as c
from shopstep.session.flow import (
    current_step,
    index_plan,
    is_complete,
    joint_in_the_way,
    next_moment,
    open_joints,
    open_needs,
    ready_steps,
)
from shopstep.session.state import State
from shopstep.session.timers import local_clock, running_timers
from tests.sample_plan import BEGIN_S, make_plan
from tests.session_bench import RIP, Play, new_id


def test_an_index_is_made_once_for_each_plan_object() -> None:
    plan = make_plan()
    assert index_plan(plan) is index_plan(plan)
    assert index_plan(make_plan()) is not index_plan(plan)


def test_an_index_never_belongs_to_another_plan_even_when_many_come_and_go() -> None:
    for units in list(range(1, 6)) * 6:
        plan = make_plan(units=units)
        assert set(index_plan(plan).steps) == {step.id for step in plan.steps}


def test_an_index_finds_dependents_waits_and_the_way_to_a_step() -> None:
    index = index_plan(make_plan())
    assert index.dependents[RIP] == ("u1/fit/dry", "u2/fit/dry")
    assert [w.kind for w in index.waits_after["u1/glue/close"]] == [WaitKind.CLAMP]
    assert [w.after for w in index.waits_before["u2/paint/coat2"]] == ["u2/paint/coat1"]
    assert index.way_to("u1/glue/close") == {RIP, "u1/fit/dry", "u1/glue/spread", "u1/glue/close"}


def test_only_the_first_step_is_ready_at_the_start() -> None:
    play = Play()
    assert [step.id for step in ready_steps(play.state, play.plan, play.now_s)] == [RIP]
    assert open_needs(play.state, play.plan, index_plan(play.plan).steps["u2/fit/dry"]) == (RIP,)


def test_ready_steps_come_in_plan_order() -> None:
    play = Play()
    play.finish(RIP)
    ready = [step.id for step in ready_steps(play.state, play.plan, play.now_s)]
    assert ready == ["u1/fit/dry", "u2/fit/dry"]


def test_an_open_joint_leads_to_its_closing_before_anything_else() -> None:
    play = Play()
    play.finish_until("u2/glue/spread")
    play.finish("u2/glue/spread")
    assert play.state.at_bench == "u2/glue/close"
    without_bench = replace(play.state, at_bench=None)
    step = current_step(without_bench, play.plan, play.now_s)
    assert step is not None
    assert step.id == "u2/glue/close"
    assert [t.wait.before for t in open_joints(play.state, play.plan)] == ["u2/glue/close"]
    in_the_way = joint_in_the_way(play.state, play.plan, "u1/screw/screws")
    assert in_the_way is not None
    assert in_the_way.wait.before == "u2/glue/close"


def test_an_open_time_timer_runs_from_spreading_until_the_joint_is_closed() -> None:
    play = Play()
    play.finish_until("u1/glue/spread")
    play.do(c.StartSpreading(id=new_id()))
    (timer,) = running_timers(play.state, play.plan)
    assert (timer.started_s, timer.due_s) == (play.now_s, play.now_s + 300)
    play.finish("u1/glue/spread")
    play.finish("u1/glue/close")
    assert [t.wait.kind for t in running_timers(play.state, play.plan)] == [WaitKind.CLAMP]


def test_a_least_wait_runs_until_its_second_step_is_begun() -> None:
    play = Play()
    play.finish_until("u1/screw/screws")
    kinds = {t.wait.id for t in running_timers(play.state, play.plan)}
    assert "u1/glue/close:clamp" not in kinds


def test_timers_are_sorted_by_the_moment_they_are_due() -> None:
    play = Play()
    play.finish_until("u2/paint/coat1")
    dues = [t.due_s for t in running_timers(play.state, play.plan)]
    assert dues == sorted(dues)
    assert dues


def test_next_moment_is_when_the_first_step_that_only_waits_becomes_ready() -> None:
    play = Play()
    play.finish_until("u2/paint/coat1")
    play.finish()
    due = play.state.finished["u1/paint/coat1"] + 14400
    assert current_step(play.state, play.plan, play.now_s) is None
    assert next_moment(play.state, play.plan, play.now_s) == due
    assert ready_steps(play.state, play.plan, due - 1) == ()
    assert [s.id for s in ready_steps(play.state, play.plan, due)] == ["u1/paint/coat2"]
    assert next_moment(play.state, play.plan, due + 86400) is None


def test_a_batch_is_complete_when_every_step_is_finished() -> None:
    play = Play()
    play.finish_until("u2/paint/coat2")
    assert not is_complete(play.state, play.plan)
    play.finish()
    assert is_complete(play.state, play.plan)
    assert play.state.completed_s == play.now_s


def test_a_bench_step_that_left_the_plan_gives_way() -> None:
    plan = make_plan()
    state = State(at_bench="u9/gone/step")
    step = current_step(state, plan, BEGIN_S)
    assert step is not None
    assert step.id == RIP


# 2025-11-25 18:00:30 UTC is a Tuesday; Dublin is on UTC then, and one hour ahead in summer.
@pytest.mark.parametrize(
    ("later_s", "zone", "text"),
    [
        (0, "UTC", "18:01"),
        (3600, "Europe/Dublin", "19:01"),
        (6 * 3600, "UTC", "tomorrow 0:01"),
        (2 * 86400, "UTC", "Thursday 18:01"),
        (6 * 86400, "UTC", "Monday 18:01"),
        (7 * 86400, "UTC", "2 December 18:01"),
        (-86400, "UTC", "24 November 18:01"),
        (0, "No/Such_Zone", "18:01"),
        (0, "../../etc/passwd", "18:01"),
    ],
)
def test_a_moment_is_said_in_the_shops_own_time(later_s: int, zone: str, text: str) -> None:
    now_s = BEGIN_S + 30
    assert local_clock(now_s + later_s, now_s, zone) == text


def test_a_wait_over_the_end_of_summer_time_is_said_in_the_new_time() -> None:
    # Source: EU directive 2000/84/EC: summer time ends on the last Sunday of October, 01:00 UTC.
    from datetime import datetime

    before = datetime(2025, 10, 25, 22, 0, tzinfo=ZoneInfo("Europe/Dublin"))
    now_s = int(before.timestamp())
    assert local_clock(now_s + 4 * 3600, now_s, "Europe/Dublin") == "tomorrow 1:00"
    assert local_clock(now_s + 5 * 3600, now_s, "Europe/Dublin") == "tomorrow 2:00"
