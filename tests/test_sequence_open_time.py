"""Open joints: spread and close are laid as one, or the glue-up is refused in plain words."""

from __future__ import annotations

from shopstep.model.plan import Level
from shopstep.model.step import Hold
from shopstep.sequence.schedule import schedule_steps
from tests.schedule_samples import (
    BEGIN_S,
    DAY,
    MIN,
    least,
    make_shop,
    opened,
    schedule,
    starts_min,
    step,
)


def test_a_joint_is_closed_right_after_spreading() -> None:
    steps = (step("other", 30), step("spread", 2), step("close", 2, "spread"))
    made = schedule(steps, (opened("spread", "close", 5),))
    at = starts_min(made)
    assert at["close"] == at["spread"] + 2


def test_an_open_joint_never_waits_over_closing_time() -> None:
    steps = (step("a", 177), step("spread", 2, "a"), step("close", 2, "spread"))
    made = schedule(steps, (opened("spread", "close", 60 * 48),))
    assert starts_min(made) == {"a": 0, "spread": 24 * 60, "close": 24 * 60 + 2}


def test_steps_between_spreading_and_closing_belong_to_the_open_joint() -> None:
    steps = (
        step("spread", 1),
        step("insert", 1, "spread"),
        step("align", 1, "insert"),
        step("close", 1, "align"),
        step("other", 1),
    )
    made = schedule(steps, (opened("spread", "close", 4),))
    order = [s.id for s in made.steps]
    first = order.index("spread")
    assert order[first : first + 4] == ["spread", "insert", "align", "close"]


def test_what_only_the_closing_needs_is_done_before_spreading() -> None:
    steps = (step("spread", 2), step("cut_wedge", 30), step("close", 2, "spread", "cut_wedge"))
    made = schedule(steps, (opened("spread", "close", 5),))
    assert starts_min(made) == {"cut_wedge": 0, "spread": 30, "close": 32}


def test_spreading_and_closing_longer_than_the_open_time_is_a_stop() -> None:
    steps = tuple(
        s
        for u in (1, 2)
        for s in (step(f"u{u}/spread", 4, unit=u), step(f"u{u}/close", 2, f"u{u}/spread", unit=u))
    )
    waits = tuple(opened(f"u{u}/spread", f"u{u}/close", 5) for u in (1, 2))
    made = schedule(steps, waits)
    (finding,) = made.findings  # once, not for every unit
    assert made.steps == ()
    assert finding.level is Level.STOP
    assert finding.text == (
        "Spreading and closing takes 6 min, the glue is open 5 min: spread fewer joints at a time."
    )
    assert finding.where.name == "u1/spread"


def test_labour_equal_to_the_open_time_is_in_time() -> None:
    steps = (step("spread", 3), step("close", 2, "spread"))
    assert schedule(steps, (opened("spread", "close", 5),)).findings == ()


def test_a_closing_without_a_need_on_its_spreading_still_comes_after_it() -> None:
    made = schedule((step("close", 2), step("spread", 2)), (opened("spread", "close", 5),))
    assert [s.id for s in made.steps] == ["spread", "close"]


def test_joints_that_cross_each_other_are_laid_so_that_both_close_in_time() -> None:
    # in the order given b would be spread before a is closed, and a would be late
    steps = (
        step("spread_a", 2),
        step("spread_b", 2),
        step("close_a", 2, "spread_a"),
        step("close_b", 2, "spread_b", "close_a"),
    )
    waits = (opened("spread_a", "close_a", 4), opened("spread_b", "close_b", 6))
    made = schedule(steps, waits)
    assert made.findings == ()
    assert [s.id for s in made.steps] == ["spread_a", "close_a", "spread_b", "close_b"]


def test_joints_that_cannot_all_close_in_time_are_a_stop_that_names_them() -> None:
    # both must be spread before either is closed, so the second is closed after 8 minutes
    steps = (
        step("spread_a", 2),
        step("spread_b", 2),
        step("close_a", 2, "spread_a", "spread_b"),
        step("close_b", 2, "spread_a", "spread_b"),
    )
    waits = (opened("spread_a", "close_a", 6), opened("spread_b", "close_b", 4))
    (finding,) = schedule(steps, waits).findings
    assert finding.rule == "open_time"
    assert "'spread_a' to 'close_b'" in finding.text


def test_a_least_wait_inside_an_open_joint_is_kept() -> None:
    steps = (step("spread", 1), step("tack", 1, "spread"), step("close", 1, "tack"))
    made = schedule(steps, (opened("spread", "close", 8), least("spread", "tack", 3)))
    assert starts_min(made) == {"spread": 0, "tack": 4, "close": 5}


def test_an_open_joint_longer_than_an_evening_is_a_stop() -> None:
    steps = (step("spread", 100), step("close", 100, "spread"))
    (finding,) = schedule(steps, (opened("spread", "close", 300),)).findings
    assert finding.text == (
        "From 'spread' to 'close' no break is allowed, and it takes 3 h 20 min; "
        "the shop is open 3 h."
    )


def test_the_tighter_of_two_open_times_counts() -> None:
    steps = (step("spread", 3), step("close", 3, "spread"))
    waits = (opened("spread", "close", 9), opened("spread", "close", 5))
    assert schedule(steps, waits).findings[0].rule == "open_time"


def test_glue_that_is_spread_already_is_closed_first() -> None:
    steps = (
        step("other", 20),
        step("spread", 2),
        step("fetch", 1),
        step("close", 2, "spread", "fetch"),
    )
    now = BEGIN_S + 2 * MIN
    made = schedule(
        steps, (opened("spread", "close", 5),), begin_s=now, fixed={"spread": (BEGIN_S, now)}
    )
    assert starts_min(made) == {"spread": 0, "fetch": 2, "close": 3, "other": 5}
    assert made.findings == ()


def test_glue_that_is_spread_already_is_closed_even_after_closing_time() -> None:
    now = BEGIN_S + 182 * MIN
    steps = (step("spread", 2), step("close", 2, "spread"), step("next", 2, "close"))
    waits = (opened("spread", "close", 5),)
    made = schedule_steps(steps, waits, (), make_shop(), now, {"spread": (now - 2 * MIN, now)})
    assert starts_min(made, now)["close"] == 0
    assert made.steps[2].start_s == BEGIN_S + DAY
    assert made.findings == ()


def test_glue_that_cannot_be_closed_in_time_any_more_is_a_warning() -> None:
    now = BEGIN_S + 4 * MIN
    steps = (step("spread", 2), step("close", 2, "spread"))
    waits = (opened("spread", "close", 5),)
    fixed = {"spread": (BEGIN_S, BEGIN_S + 2 * MIN)}
    made = schedule_steps(steps, waits, (), make_shop(), now, fixed)
    (warning,) = made.findings
    assert (warning.level, warning.rule) == (Level.WARN, "glue_late")
    assert "open 6 min when the joint is closed; 5 min is the most" in warning.text
    assert starts_min(made) == {"spread": 0, "close": 4}


def test_clamps_that_an_open_joint_needs_are_free_before_it_is_spread() -> None:
    steps = tuple(
        s
        for u in (1, 2, 3)
        for s in (
            step(f"u{u}/spread", 2, unit=u),
            step(f"u{u}/close", 2, f"u{u}/spread", unit=u),
            step(f"u{u}/unclamp", 1, f"u{u}/close", unit=u),
        )
    )
    waits = tuple(opened(f"u{u}/spread", f"u{u}/close", 5) for u in (1, 2, 3))
    waits += tuple(least(f"u{u}/close", f"u{u}/unclamp", 60) for u in (1, 2, 3))
    holds = tuple(Hold("clamps", 2, f"u{u}/close", f"u{u}/unclamp") for u in (1, 2, 3))
    made = schedule(steps, waits, holds)
    assert starts_min(made)["u3/spread"] >= 64 + 1


def test_a_step_that_follows_at_once_has_no_gap_and_no_night_before_it() -> None:
    steps = (
        step("a", 100),
        step("close", 40),
        step("square", 40, "close", behind="close"),
        step("tack", 40, behind="square"),
        step("other", 60),
    )
    made = schedule(steps)
    at = starts_min(made)
    assert (at["square"], at["tack"]) == (at["close"] + 40, at["close"] + 80)


def test_what_follows_at_once_belongs_to_the_open_joint_before_it() -> None:
    steps = tuple(
        s
        for u in ("u1", "u2")
        for s in (
            step(f"{u}/spread", 2),
            step(f"{u}/close", 2, f"{u}/spread"),
            step(f"{u}/square", 3, f"{u}/close", behind=f"{u}/close"),
        )
    )
    waits = tuple(opened(f"{u}/spread", f"{u}/close", 5) for u in ("u1", "u2"))
    assert [s.id for s in schedule(steps, waits).steps] == [s.id for s in steps]


def test_a_need_between_two_that_follow_at_once_is_done_between_them() -> None:
    steps = (
        step("close", 2),
        step("square", 2, "wipe", behind="close"),
        step("wipe", 1, "close"),
        step("other", 5),
    )
    assert starts_min(schedule(steps)) == {"close": 0, "wipe": 2, "square": 3, "other": 5}


def test_what_follows_a_step_just_done_comes_next_even_past_closing_time() -> None:
    steps = (step("other", 10), step("close", 2), step("square", 2, behind="close"))
    late = BEGIN_S + 179 * MIN
    made = schedule_steps(steps, (), (), make_shop(), late, {"close": (late, late + 2 * MIN)})
    assert starts_min(made, late)["square"] == 2
    early = BEGIN_S + 30 * MIN
    paused = schedule_steps(steps, (), (), make_shop(), early, {"close": (BEGIN_S, BEGIN_S + 60)})
    assert starts_min(paused)["square"] == 30


def test_following_a_step_that_is_not_there_is_a_stop() -> None:
    (finding,) = schedule((step("a", 1, behind="b"),)).findings
    assert finding.text == "Step 'a' follows 'b', and there is no such step."
