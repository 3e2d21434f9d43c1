"""A plan in progress made better: never worse, by every rule, and what is done never moves."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import pytest

from shopstep.model.better import Gain
from shopstep.model.plan import Prefer, Shop
from shopstep.model.step import Step
from shopstep.sequence.bettering import (
    LEAST_EARLIER_S,
    LEAST_SETUPS,
    Asked,
    better_starts,
    check_better,
    gain_of,
    is_worth,
)
from shopstep.sequence.rules import Figures
from shopstep.workbench.better_words import better_words
from tests.bettering_samples import CAN_BE_BETTER, disturbed
from tests.floor import floor_plan
from tests.schedule_checker import violations

ROUNDS = 40


def timed(asked: Asked, starts: dict[str, int]) -> tuple[Step, ...]:
    """The steps at new starts; what is done at its real times."""
    spans = {step: (start, end) for step, start, end in asked.finished}
    moved = [
        replace(step, start_s=starts[step.id], end_s=starts[step.id] + step.duration_s)
        if step.id in starts
        else replace(step, start_s=spans[step.id][0], end_s=spans[step.id][1])
        for step in asked.steps
    ]
    return tuple(sorted(moved, key=lambda step: step.start_s))


def evenings(steps: tuple[Step, ...]) -> set[str]:
    """Days with work in them, counted without the program's help (the shop is in UTC)."""
    return {datetime.fromtimestamp(step.start_s, UTC).date().isoformat() for step in steps}


@pytest.mark.parametrize("prefer", [Prefer.EVENINGS, Prefer.FINISH])
@pytest.mark.parametrize("seed", range(20))
def test_a_better_plan_keeps_every_rule_and_is_never_worse(seed: int, prefer: Prefer) -> None:
    asked, found = disturbed(seed, units=4)
    asked = replace(asked, shop=replace(asked.shop, prefer=prefer))
    starts = better_starts(asked, 0, ROUNDS)
    if starts is None:
        return
    fixed = found.finished
    steps = timed(asked, starts)
    wrong = violations(asked.steps, steps, asked.waits, asked.holds, found.shop, found.now_s, fixed)
    assert wrong == []
    was, now = ([s for s in each if s.id not in fixed] for each in (asked.steps, steps))
    before = (len(evenings(tuple(was))), max(evenings(tuple(was))))
    after = (len(evenings(tuple(now))), max(evenings(tuple(now))))
    if prefer is Prefer.FINISH:
        assert after[1] <= before[1]
    else:
        assert after <= before


def test_some_plans_get_better_by_an_evening() -> None:
    asked, found = disturbed(CAN_BE_BETTER)
    starts = better_starts(asked, 0, 100)
    assert starts is not None
    better = check_better(asked, starts)
    assert better is not None
    left = tuple(step for step in better.steps if step.id not in found.finished)
    was = tuple(step for step in asked.steps if step.id not in found.finished)
    assert better.gain.evenings == len(evenings(was)) - len(evenings(left)) >= 1
    assert better.gain.end_s == max(s.end_s for s in was) - max(s.end_s for s in left)


@pytest.mark.parametrize("seed", range(30))
def test_what_is_done_and_what_is_at_the_bench_does_not_move(seed: int) -> None:
    asked, found = disturbed(seed)
    starts = better_starts(asked, 1, ROUNDS)
    if starts is None:
        return
    assert not starts.keys() & found.finished.keys()
    assert starts[asked.at_bench] == min(starts.values())
    planned = {step.id: step.start_s for step in asked.steps}
    assert starts[asked.at_bench] == planned[asked.at_bench]
    better = check_better(asked, starts)
    if better is not None:
        kept = {s.id: (s.start_s, s.end_s) for s in better.steps if s.id in found.finished}
        assert kept == found.finished


def test_the_same_seed_and_rounds_give_the_same_plan_and_a_deadline_only_cuts_rounds_off() -> None:
    asked, _ = disturbed(CAN_BE_BETTER)
    assert better_starts(asked, 3, ROUNDS) == better_starts(asked, 3, ROUNDS)
    looks = iter([False] * 10 + [True] * ROUNDS)
    assert better_starts(asked, 3, ROUNDS, lambda: next(looks)) == better_starts(asked, 3, 10)


def test_what_is_to_close_open_glue_keeps_its_moment() -> None:
    plan = floor_plan(units=2)
    spread = next(w for w in plan.waits if w.kind == "open")
    at = next(n for n, step in enumerate(plan.steps) if step.id == spread.after)
    finished = tuple((s.id, s.start_s, s.end_s) for s in plan.steps[: at + 1])
    shop = disturbed(0, units=4)[0].shop
    shop = replace(shop, calendar=replace(shop.calendar, other_days=()))
    asked = Asked(plan.steps, plan.waits, plan.holds, shop, plan.begin_s, finished, spread.before)
    starts = better_starts(asked, 0, ROUNDS)
    planned = {step.id: step.start_s for step in plan.steps}
    kept = starts if starts is not None else planned
    assert kept[spread.before] == planned[spread.before]
    later = {s.id: planned[s.id] + 60 for s in plan.steps[at + 1 :]}
    assert check_better(asked, later) is None


def test_a_step_taken_out_of_its_turn_is_first_in_a_better_plan() -> None:
    asked, _ = disturbed(CAN_BE_BETTER)
    done = {step for step, _, _ in asked.finished}
    waited = {wait.before for wait in asked.waits}
    ready = [
        s
        for s in asked.steps
        if s.id not in done | waited and set(s.needs) <= done and not s.behind
    ]
    assert len(ready) > 1
    taken = replace(asked, at_bench=ready[-1].id)
    starts = better_starts(taken, 0, 200)
    if starts is not None:
        assert starts[taken.at_bench] in (
            min(starts.values()),
            next(s.start_s for s in asked.steps if s.id == taken.at_bench),
        )


def test_starts_that_break_a_rule_or_leave_a_step_out_are_not_taken() -> None:
    asked, _ = disturbed(CAN_BE_BETTER)
    starts = better_starts(asked, 0, 100)
    assert starts is not None
    last = max(starts, key=lambda step: starts[step])
    assert check_better(asked, starts) is not None
    assert check_better(asked, {step: asked.begin_s for step in starts}) is None
    assert check_better(asked, {k: v for k, v in starts.items() if k != last}) is None
    assert check_better(asked, {**starts, "no/such/step": 1}) is None
    assert check_better(asked, {**starts, last: starts[last] - 3600 * 24 * 30}) is None
    assert check_better(asked, {}) is None


def test_nothing_is_better_where_everything_is_done_or_no_hours_are_left() -> None:
    asked, _ = disturbed(CAN_BE_BETTER)
    done = tuple((step.id, step.start_s, step.end_s) for step in asked.steps)
    assert better_starts(replace(asked, finished=done), 0, ROUNDS) is None
    assert check_better(replace(asked, finished=done), {}) is None
    shop: Shop = asked.shop
    short = replace(shop.calendar, closes_min=shop.calendar.opens_min + 5, other_days=())
    assert better_starts(replace(asked, shop=replace(shop, calendar=short)), 0, ROUNDS) is None


USUAL = Figures(
    evenings=5,
    last=6,
    setups=50,
    walks=30,
    end_s=1_000_000,
    first_unit_s=500_000,
    last_work_s=3600,
)


def figures(**other: Any) -> Figures:
    """Figures of some schedule, with a few of them otherwise."""
    return replace(USUAL, **other)


def test_a_longest_wait_that_is_kept_again_is_worth_a_new_plan() -> None:
    late = figures(broken=(60, 0, 0))
    assert is_worth(late, figures(), Prefer.EVENINGS)
    assert is_worth(late, figures(evenings=6), Prefer.EVENINGS)
    assert not is_worth(figures(), replace(late, evenings=4), Prefer.EVENINGS)


@pytest.mark.parametrize(
    ("prefer", "other", "is_taken"),
    [
        (Prefer.EVENINGS, {"evenings": 4}, True),
        (Prefer.EVENINGS, {"evenings": 4, "last": 8, "setups": 90}, True),
        (Prefer.EVENINGS, {"last": 5}, True),
        (Prefer.EVENINGS, {"evenings": 6, "last": 4}, False),
        (Prefer.EVENINGS, {"setups": 40}, False),
        (Prefer.EVENINGS, {"end_s": 1_000_000 - LEAST_EARLIER_S + 1}, False),
        (Prefer.EVENINGS, {"end_s": 1_000_000 - LEAST_EARLIER_S}, True),
        (Prefer.EVENINGS, {"end_s": 1_000_000 - LEAST_EARLIER_S, "setups": 51}, False),
        (Prefer.FINISH, {"evenings": 6, "last": 5}, True),
        (Prefer.FINISH, {"evenings": 4, "last": 7}, False),
        (Prefer.SETUPS, {"setups": 50 - LEAST_SETUPS}, True),
        (Prefer.SETUPS, {"setups": 50 - LEAST_SETUPS + 1}, False),
        (Prefer.SETUPS, {"evenings": 4}, True),
        (Prefer.FIRST_UNIT, {"first_unit_s": 500_000 - LEAST_EARLIER_S}, True),
        (Prefer.FIRST_UNIT, {"first_unit_s": 500_000 - 60}, False),
        (Prefer.EVENINGS, {}, False),
    ],
)
def test_only_what_is_worth_the_change_is_taken(
    prefer: Prefer, other: dict[str, int], is_taken: bool
) -> None:
    assert is_worth(figures(), figures(**other), prefer) is is_taken


def test_a_gain_is_the_difference_of_the_figures() -> None:
    after = figures(evenings=3, last=7, end_s=999_000, setups=60)
    assert gain_of(figures(), after) == Gain(2, -1, 1000, -10, 0)


@pytest.mark.parametrize(
    ("prefer", "gain", "said"),
    [
        (Prefer.EVENINGS, Gain(1), "The plan is better by an evening now: done {day}."),
        (Prefer.EVENINGS, Gain(2, -1), "The plan is better by 2 evenings now: done {day}."),
        (Prefer.FINISH, Gain(0, 1), "The plan ends earlier now: done {day}."),
        (Prefer.FINISH, Gain(-1, 2), "The plan ends earlier now: done {day}, with 1 evening more."),
        (
            Prefer.EVENINGS,
            Gain(0, 0, 2400),
            "The plan ends 40 min earlier now: done {day} at {at}.",
        ),
        (Prefer.SETUPS, Gain(0, 0, 0, 4), "The plan has 4 changes of setup fewer now: done {day}."),
        (
            Prefer.FIRST_UNIT,
            Gain(0, 0, 0, 0, 5400),
            "The first unit is done 1 h 30 min earlier now; the batch is done {day}.",
        ),
    ],
)
def test_one_sentence_says_what_is_better(prefer: Prefer, gain: Gain, said: str) -> None:
    plan = replace(floor_plan(units=2), prefer=prefer)
    ends = datetime.fromtimestamp(max(step.end_s for step in plan.steps), UTC)
    day = f"{ends:%a} {ends.day} {ends:%b %Y}"
    assert better_words(gain, plan) == said.format(day=day, at=f"{ends:%H:%M}")
