"""The time that is left tonight: only what can be finished or safely left goes into it."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from shopstep.model.step import MACHINES, WaitKind
from shopstep.present.tonight import Tonight, tonight_lines, tonight_of
from shopstep.session.hours import day_until
from shopstep.storage.clock import FixedClock
from shopstep.workbench import Workbench
from tests.floor import BEGIN_S, SHOP, floor_request
from tests.test_following import open_bench, walk


@pytest.fixture(scope="module")
def milled() -> tuple[Workbench, FixedClock]:
    """One floor, cut and dry-fitted: the glue-up is next."""
    bench, clock = open_bench(floor_request(units=1))
    walk(bench, clock, "u1/fit/mark")
    return bench, clock


def tonight(bench: Workbench, minutes: int, *, quiet: bool = False) -> Tonight:
    """What goes into so many minutes from now."""
    now_s = bench.now_s()
    until_s = now_s + minutes * 60
    plan = bench.plan_tonight(until_s, quiet=quiet)
    return tonight_of(bench.state, plan, now_s, until_s)


@pytest.mark.parametrize("minutes", [5, 12, 25, 40, 60, 90])
def test_nothing_runs_past_the_time_and_no_joint_is_left_open(
    milled: tuple[Workbench, FixedClock], minutes: int
) -> None:
    bench, _ = milled
    found = tonight(bench, minutes)
    tonight_ids = {step.id for step in found.steps}
    assert all(step.end_s <= found.until_s for step in found.steps)
    for wait in bench.plan.waits:
        if wait.kind is WaitKind.OPEN and wait.after in tonight_ids:
            assert wait.before in tonight_ids
    for step in bench.plan.steps:
        if step.behind in tonight_ids:
            assert step.id in tonight_ids, "what follows at once is not left for another day"


def test_a_glue_up_goes_in_just_when_all_of_it_does(
    milled: tuple[Workbench, FixedClock],
) -> None:
    # by hand, from the build: 26 minutes from the first glue to the last screw
    bench, _ = milled
    spread = "u1/glue/spread_left"
    assert spread not in {step.id for step in tonight(bench, 25).steps}
    assert spread in {step.id for step in tonight(bench, 60).steps}


def test_quiet_means_no_machine() -> None:
    bench, _ = open_bench(floor_request(units=1))
    loud = tonight(bench, 120)
    kinds = {kind.id: kind.tool for kind in bench.plan.kinds}
    assert any(kinds[step.kind] in MACHINES for step in loud.steps)
    quiet = tonight(bench, 120, quiet=True)
    assert not any(kinds[step.kind] in MACHINES for step in quiet.steps)


def test_nothing_is_stored(milled: tuple[Workbench, FixedClock]) -> None:
    bench, _ = milled
    before, plan = bench.state, bench.plan
    tonight(bench, 60)
    assert (bench.state, bench.plan) == (before, plan)


def test_the_lines_say_what_waits_over_night_and_what_makes_safe(
    milled: tuple[Workbench, FixedClock],
) -> None:
    bench, _ = milled
    now_s = bench.now_s()
    plan = bench.plan_tonight(now_s + 3600, quiet=False)
    found = tonight_of(bench.state, plan, now_s, now_s + 3600)
    text = " ".join(" ".join(tonight_lines(found, plan)).split())
    assert f"{len(found.steps)} steps" in text
    assert "Over night: frame glue, unit 1, cure time until tomorrow" in text
    assert "Then make safe: " in text
    assert "Air off, tank drained." in text


def test_where_nothing_goes_in_it_says_so_and_what_is_next(
    milled: tuple[Workbench, FixedClock],
) -> None:
    bench, _ = milled
    now_s = bench.now_s()
    plan = bench.plan_tonight(now_s + 60, quiet=False)
    found = tonight_of(bench.state, plan, now_s, now_s + 60)
    text = " ".join(tonight_lines(found, plan))
    assert found.steps == ()
    assert "nothing can be finished or safely left in that time. Next: " in text


def test_the_day_has_hours_of_its_own_and_no_other_day_has() -> None:
    calendar = day_until(SHOP.calendar, BEGIN_S + 90 * 60, BEGIN_S + 120 * 60, quiet=True)
    (today,) = calendar.other_days
    day = datetime.fromtimestamp(BEGIN_S, UTC).date().isoformat()
    # 18:00 and 90 minutes, and half an hour more
    assert (today.day, today.opens_min, today.closes_min) == (day, 19 * 60 + 30, 20 * 60)
    assert today.quiet_from_min == 19 * 60 + 30
    again = day_until(calendar, BEGIN_S + 95 * 60, BEGIN_S + 120 * 60, quiet=False)
    assert len(again.other_days) == 1
