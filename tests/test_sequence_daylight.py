"""Work outdoors is placed in the light, or refused with step, daylight and hours; data invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopstep.model.plan import Calendar, Level, OtherDay
from shopstep.model.reason import Binds
from shopstep.model.step import Step
from shopstep.present.why_start import why_sentence
from shopstep.sequence.schedule import schedule_steps
from tests.reasons import reason_of
from tests.sample_plan import make_plan
from tests.schedule_checker import violations
from tests.schedule_samples import BEGIN_S, DAY, EVENINGS, EVERY_DAY, H, least, make_shop, step
from tests.test_sequence_put_off import within
from tests.test_sequence_random import Puzzle, puzzles

FIRST_DAY = datetime.fromtimestamp(BEGIN_S, UTC).date()
DAYLIGHT = (8 * 60, 16 * 60)
LONG_DAYS = Calendar("UTC", 14 * 60, 21 * 60, EVERY_DAY, daylight=DAYLIGHT)


def outside(made: Step) -> Step:
    return replace(made, outdoors=True)


def at_s(day: int, hour: float) -> int:
    """A moment of a day after the first, UTC."""
    return BEGIN_S // DAY * DAY + day * DAY + int(hour * H)


def test_work_outdoors_stands_in_the_light_and_other_work_goes_on() -> None:
    steps = (step("sand", 30), outside(step("prime", 60, "sand")), step("rip", 90))
    made = schedule_steps(steps, (), (), make_shop(LONG_DAYS), BEGIN_S)
    start = {s.id: s.start_s for s in made.steps}
    assert made.findings == ()
    assert start["prime"] == at_s(1, 14)
    assert start["rip"] < at_s(1, 0)


def test_evenings_in_the_dark_are_one_clear_stop() -> None:
    shop = make_shop(replace(EVENINGS, daylight=DAYLIGHT))
    steps = tuple(outside(step(f"u{u}/paint/first", 20, unit=u)) for u in (1, 2))
    made = schedule_steps(steps, (), (), shop, BEGIN_S)
    (finding,) = made.findings
    assert made.steps == ()
    assert (finding.level, finding.rule) == (Level.STOP, "daylight")
    for said in ("'u1/paint/first'", "08:00 to 16:00", "18:00 to 21:00", "own_days"):
        assert said in finding.sentence


def test_a_day_of_its_own_in_the_light_is_taken_and_used_up() -> None:
    saturday = (FIRST_DAY + timedelta(days=4)).isoformat()
    own = OtherDay(saturday, 9 * 60, 13 * 60)
    calendar = replace(EVENINGS, daylight=DAYLIGHT, other_days=(own,))
    paint = outside(step("paint", 60))
    made = schedule_steps((paint,), (), (), make_shop(calendar), BEGIN_S)
    assert made.steps[0].start_s == at_s(4, 9)
    many = tuple(outside(step(f"u{u}/paint", 60, unit=u)) for u in range(1, 6))
    (finding,) = schedule_steps(many, (), (), make_shop(calendar), BEGIN_S).findings
    assert finding.rule == "daylight"


def test_other_work_does_not_take_the_only_morning_in_the_light() -> None:
    own = OtherDay((FIRST_DAY + timedelta(days=1)).isoformat(), 9 * 60, 13 * 60)
    shop = make_shop(replace(EVENINGS, daylight=DAYLIGHT, other_days=(own,)))
    others = tuple(step(f"u{u}/other", 90, unit=u) for u in range(1, 9))
    steps = (*others, step("sand", 30), outside(step("prime", 90, "sand")))
    made = schedule_steps(steps, (), (), shop, BEGIN_S)
    assert made.findings == ()
    assert violations(steps, made.steps, (), (), shop, BEGIN_S) == []


def test_the_earlier_step_waits_for_the_light_too() -> None:
    # primed within a day of sanding, and the only light is on the fifth day
    own = OtherDay((FIRST_DAY + timedelta(days=5)).isoformat(), 9 * 60, 13 * 60)
    shop = make_shop(replace(EVENINGS, daylight=DAYLIGHT, other_days=(own,)))
    steps = (step("sand", 30), outside(step("prime", 30, "sand")))
    waits = (within("sand", "prime", 24 * 60),)
    made = schedule_steps(steps, waits, (), shop, BEGIN_S)
    assert violations(steps, made.steps, waits, (), shop, BEGIN_S) == []
    assert made.steps[0].start_s >= at_s(4, 9)


def test_nobody_reckons_the_sun_where_no_daylight_is_set() -> None:
    steps = (outside(step("paint", 20)),)
    made = schedule_steps(steps, (), (), make_shop(), BEGIN_S)
    (finding,) = made.findings
    assert made.steps[0].start_s == BEGIN_S
    assert (finding.level, finding.rule) == (Level.WARN, "daylight_unknown")
    assert 'daylight = "08:00-16:00"' in finding.remedy


def test_a_batch_under_way_is_never_refused_for_the_dark() -> None:
    shop = make_shop(replace(EVENINGS, daylight=DAYLIGHT))
    steps = (step("sand", 20), outside(step("paint", 20, "sand")))
    done = {"sand": (BEGIN_S, BEGIN_S + 1200)}
    made = schedule_steps(steps, (), (), shop, BEGIN_S + 1200, done)
    assert [(f.level, f.rule) for f in made.findings] == [(Level.WARN, "daylight")]
    assert len(made.steps) == 2


def test_daylight_and_a_longest_wait_are_named_as_what_binds() -> None:
    steps = (step("sand", 30), step("fill", 10), outside(step("prime", 60, "sand", "fill")))
    waits = (least("fill", "prime", 3 * 24 * 60), within("sand", "prime", 24 * 60))
    shop = make_shop(LONG_DAYS)
    made = schedule_steps(steps, waits, (), shop, BEGIN_S)
    plan = replace(
        make_plan(),
        steps=tuple(replace(s, kind="fit/dry") for s in made.steps),
        waits=waits,
        holds=(),
        begin_s=BEGIN_S,
    )
    light = reason_of(plan, shop, "prime")
    assert light.binds is Binds.DAYLIGHT
    assert "light outdoors" in why_sentence(plan, light)
    limit = reason_of(plan, shop, "sand")
    assert (limit.binds, limit.other) == (Binds.LIMIT, "prime")
    assert (
        why_sentence(plan, limit) == "started earlier, Dry fit would come more than 1 day after it."
    )


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(puzzles(), st.integers(0, 23 * 60), st.integers(30, 900), st.sets(st.integers(0, 9)))
def test_random_problems_with_work_outdoors_are_right_or_refused_for_the_light(
    puzzle: Puzzle, dawn: int, length: int, outdoors: set[int]
) -> None:
    calendar = replace(puzzle.shop.calendar, daylight=(dawn, min(24 * 60, dawn + length)))
    shop = replace(puzzle.shop, calendar=calendar)
    steps = tuple(replace(s, outdoors=number in outdoors) for number, s in enumerate(puzzle.steps))
    plain = schedule_steps(puzzle.steps, puzzle.waits, puzzle.holds, puzzle.shop, puzzle.begin_s)
    made = schedule_steps(steps, puzzle.waits, puzzle.holds, shop, puzzle.begin_s)
    if made.steps:
        wrong = violations(steps, made.steps, puzzle.waits, puzzle.holds, shop, puzzle.begin_s)
        assert wrong == []
        assert plain.steps
        return
    assert made.findings == plain.findings or {f.rule for f in made.findings} == {"daylight"}
    if not any(s.outdoors for s in steps):
        assert made.findings == plain.findings
