"""Schedules as a whole: order, waits, what is fixed, what is refused, and how good they are."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from shopstep.model.plan import Calendar, Level
from shopstep.model.step import Hold, Step
from shopstep.sequence.hours import evenings
from shopstep.sequence.schedule import schedule_steps
from tests.labour import labour_bound
from tests.sample_plan import make_plan
from tests.schedule_checker import violations
from tests.schedule_samples import (
    BEGIN_S,
    DAY,
    EVENINGS,
    EVERY_DAY,
    MIN,
    H,
    glue_up_batch,
    least,
    make_shop,
    opened,
    schedule,
    starts_min,
    step,
)


def test_a_step_starts_after_all_that_it_needs() -> None:
    made = schedule((step("c", 10, "a", "b"), step("b", 20), step("a", 30)))
    assert starts_min(made)["c"] == 50


def test_steps_of_equal_claim_keep_the_order_given() -> None:
    names = ["d", "a", "c", "b"]
    made = schedule(tuple(step(name, 10, kind="same") for name in names))
    assert [s.id for s in made.steps] == names


def test_a_step_takes_its_duration_and_keeps_all_else() -> None:
    given = replace(step("a", 10), resources=("saw",), unit=3)
    (made,) = schedule((given,)).steps
    assert made == replace(given, start_s=BEGIN_S, end_s=BEGIN_S + 10 * MIN)


def test_a_least_wait_is_filled_with_other_work() -> None:
    made = schedule(
        (step("close", 10), step("unclamp", 5, "close"), step("other", 30)),
        (least("close", "unclamp", 30),),
    )
    assert starts_min(made) == {"close": 0, "other": 10, "unclamp": 40}


def test_a_wait_runs_through_the_night() -> None:
    made = schedule((step("coat", 10), step("next", 10, "coat")), (least("coat", "next", 20 * 60),))
    # done at 18:10, over at 14:10; the shop opens at 18:00
    assert starts_min(made) == {"coat": 0, "next": 24 * 60}


def test_the_longer_of_two_waits_counts() -> None:
    made = schedule((step("a", 10), step("b", 10)), (least("a", "b", 15), least("a", "b", 40)))
    assert starts_min(made)["b"] == 50


def test_long_waits_are_started_first_so_that_fewer_evenings_are_needed() -> None:
    steps = (step("sand", 90), step("glue", 90), step("plane", 90, "glue"))
    made = schedule(steps, (least("glue", "plane", 20 * 60),))
    assert len(evenings(made.steps, EVENINGS)) == 2


def test_setups_are_not_changed_to_and_fro() -> None:
    steps = tuple(step(f"u{u}/{name}", 5, unit=u) for u in (1, 2, 3) for name in ("rip", "bore"))
    kinds = [s.kind for s in schedule(steps).steps]
    assert sum(one != other for one, other in pairwise(kinds)) == 1


def test_the_same_input_gives_the_same_schedule() -> None:
    batch = glue_up_batch(5)
    assert schedule(*batch) == schedule(*batch)


def test_done_steps_keep_their_times_and_nothing_starts_before_the_last_of_them_ends() -> None:
    steps = (step("a", 10), step("b", 10, "a"), step("c", 10))
    fixed = {"a": (BEGIN_S - DAY, BEGIN_S - DAY + 45 * MIN), "c": (BEGIN_S, BEGIN_S + 25 * MIN)}
    made = schedule(steps, fixed=fixed)
    assert starts_min(made) == {"a": -24 * 60, "c": 0, "b": 25}


def test_a_wait_counts_from_the_real_end_of_a_done_step() -> None:
    steps = (step("close", 10), step("unclamp", 5, "close"))
    fixed = {"close": (BEGIN_S, BEGIN_S + 20 * MIN)}
    made = schedule(steps, (least("close", "unclamp", 60),), fixed=fixed)
    assert starts_min(made)["unclamp"] == 80


def test_done_steps_that_are_no_longer_in_the_plan_are_passed_over() -> None:
    made = schedule((step("a", 10),), fixed={"gone": (BEGIN_S, BEGIN_S + DAY)})
    assert starts_min(made) == {"a": 0}


def test_a_plan_that_is_all_done_stays_as_it_is() -> None:
    made = schedule((step("a", 500),), fixed={"a": (BEGIN_S, BEGIN_S + 5)})
    assert [(s.start_s, s.end_s) for s in made.steps] == [(BEGIN_S, BEGIN_S + 5)]


@pytest.mark.parametrize(
    ("steps", "waits", "holds", "rule", "words"),
    [
        (
            (step("a", 1, "b"), step("b", 1, "c"), step("c", 1, "a")),
            (),
            (),
            "needs_cycle",
            "These steps wait for each other: a → c → b → a.",
        ),
        (
            (step("a", 1, "a"),),
            (),
            (),
            "needs_cycle",
            "These steps wait for each other: a → a.",
        ),
        (
            (step("a", 1, "b"), step("b", 1)),
            (least("a", "b", 5),),
            (),
            "needs_cycle",
            "These steps wait for each other: a → b → a.",
        ),
        (
            (step("a", 1, "bb"), step("b", 1)),
            (),
            (),
            "step_unknown",
            "Step 'a' needs 'bb', and there is no such step.",
        ),
        (
            (step("a", 1),),
            (least("a", "x", 5),),
            (),
            "step_unknown",
            "Wait 'a:clamp:x' names 'x', and there is no such step.",
        ),
        (
            (step("a", 1),),
            (),
            (Hold("clamps", 1, "a", "x"),),
            "step_unknown",
            "The hold of clamps names 'x', and there is no such step.",
        ),
        ((step("a", 1), step("a", 2)), (), (), "step_twice", "Step 'a' stands twice in the plan."),
        ((step("a", -1),), (), (), "time_negative", "'a' takes less than no time."),
        (
            (step("a", 1), step("b", 1)),
            (least("a", "b", -5),),
            (),
            "time_negative",
            "'a:clamp:b' takes less than no time.",
        ),
    ],
)
def test_what_cannot_be_ordered_is_a_stop_that_names_the_steps(
    steps: tuple[Step, ...],
    waits: tuple[object, ...],
    holds: tuple[Hold, ...],
    rule: str,
    words: str,
) -> None:
    made = schedule(steps, waits, holds)  # type: ignore[arg-type]
    (finding,) = made.findings
    assert made.steps == ()
    assert (finding.level, finding.rule, finding.text) == (Level.STOP, rule, words)
    assert finding.remedy
    assert finding.where.name


def test_an_unknown_step_names_the_nearest() -> None:
    (finding,) = schedule((step("u1/glue", 1, "u1/gleu_up"), step("u1/glue_up", 1))).findings
    assert finding.remedy == "Nearest is 'u1/glue_up'."


@pytest.mark.parametrize("units", [1, 2, 5])
def test_the_sample_plan_is_scheduled_without_a_violation(units: int) -> None:
    plan = make_plan(units)
    shop = make_shop(Calendar("UTC", 18 * 60, 22 * 60, EVERY_DAY))
    made = schedule(plan.steps, plan.waits, plan.holds, shop, plan.begin_s)
    assert made.findings == ()
    assert {s.id for s in made.steps} == {s.id for s in plan.steps}


@pytest.mark.parametrize(("units", "most"), [(1, 4), (6, 5), (12, 7), (24, 13)])
def test_a_batch_of_glue_ups_needs_few_evenings_more_than_its_labour(units: int, most: int) -> None:
    batch = glue_up_batch(units)
    made = schedule(*batch)
    used = len(evenings(made.steps, EVENINGS))
    bound = labour_bound(batch[0], make_shop())
    # one unit alone needs four evenings: a day's cure, a coat each evening, a day's drying
    assert bound <= used <= most


def test_a_batch_with_few_clamps_and_places_is_still_scheduled() -> None:
    made = schedule(*glue_up_batch(12), make_shop(clamps=2, drying_places=3))
    assert made.findings == ()


@pytest.mark.parametrize("done", range(0, 60, 7))
def test_what_is_left_after_any_step_is_planned_again_without_a_violation(done: int) -> None:
    batch = glue_up_batch(5)
    first = schedule(*batch).steps
    fixed = {s.id: (s.start_s, s.end_s) for s in first[:done]}
    now = first[done - 1].end_s if done else BEGIN_S
    again = schedule(*batch, begin_s=now, fixed=fixed)
    assert again.findings == ()
    assert len(again.steps) == len(first)


def test_the_checker_sees_what_is_wrong_with_a_schedule() -> None:
    steps = (step("a", 10), step("spread", 2, "a"), step("close", 2, "spread"), step("off", 1))
    waits = (opened("spread", "close", 5), least("close", "off", 60))
    holds = (Hold("clamps", 2, "spread", "off"), Hold("clamps", 3, "close", "off"))
    shop = make_shop(clamps=5)
    right = schedule_steps(steps, waits, holds, shop, BEGIN_S).steps

    def judge(wrong: tuple[Step, ...], shop_now: object = shop) -> str:
        found = violations(steps, wrong, waits, holds, shop_now, BEGIN_S)  # type: ignore[arg-type]
        return " / ".join(found)

    def moved(name: str, seconds: int) -> tuple[Step, ...]:
        shifted = [
            replace(s, start_s=s.start_s + seconds, end_s=s.end_s + seconds) if s.id == name else s
            for s in right
        ]
        return tuple(sorted(shifted, key=lambda s: s.start_s))

    assert judge(right) == ""
    assert "other steps" in judge(right[1:])
    assert "do not stand in the order" in judge(right[::-1])
    assert "does not take its duration" in judge((replace(right[0], end_s=BEGIN_S), *right[1:]))
    assert "before the beginning" in judge(moved("a", -MIN))
    assert "at the same time" in judge(moved("a", MIN))
    assert "outside the hours" in judge(moved("off", 4 * H))
    assert "s after close" in judge(moved("off", -MIN))
    assert "open for too long" in judge(moved("close", 10 * MIN))
    assert "is the least" in judge(moved("spread", -5 * MIN))
    assert "5 clamps are taken at close, 4 there are" in judge(right, make_shop(clamps=4))
    fixed = {"a": (BEGIN_S + 1, BEGIN_S + 2)}
    assert "a is fixed and was moved" in violations(
        steps, right, waits, holds, shop, BEGIN_S, fixed
    )
