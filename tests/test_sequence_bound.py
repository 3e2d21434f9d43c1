"""The least number of evenings: true for every plan, and never raised by more room."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopstep.model.plan import Prefer
from shopstep.model.resources import with_more
from shopstep.sequence.bound import packing_bound
from shopstep.sequence.hours import evenings
from shopstep.sequence.schedule import schedule_steps
from shopstep.units import Length
from tests.schedule_samples import BEGIN_S, DAY, EVENINGS, least, make_shop, schedule, step
from tests.test_sequence_random import Puzzle, puzzles


def rooms_needed(lengths: list[int], room: int) -> int:
    """Least number of rooms, by trying every order into the next room that has space."""
    best = len(lengths)
    for order in set(permutations(lengths)):
        rooms: list[int] = []
        for length in order:
            place = next((i for i, used in enumerate(rooms) if used + length <= room), None)
            if place is None:
                rooms.append(length)
            else:
                rooms[place] += length
        best = min(best, len(rooms))
    return best


@settings(max_examples=300, deadline=None)
@given(st.lists(st.integers(1, 20), min_size=1, max_size=6))
def test_the_packing_bound_is_never_more_than_what_is_needed(lengths: list[int]) -> None:
    assert packing_bound(lengths, 20) <= rooms_needed(lengths, 20)


@pytest.mark.parametrize(
    ("lengths", "rooms"),
    [([], 0), ([20], 1), ([11, 11, 11], 3), ([11, 11, 9, 9], 2), ([11, 11, 10], 3), ([7] * 6, 3)],
)
def test_the_packing_bound_by_hand(lengths: list[int], rooms: int) -> None:
    assert packing_bound(lengths, 20) == rooms


@settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(puzzles())
def test_no_schedule_uses_fewer_evenings_than_the_bound(puzzle: Puzzle) -> None:
    made = schedule(puzzle.steps, puzzle.waits, puzzle.holds, puzzle.shop, puzzle.begin_s)
    if made.steps:
        used = len(evenings(made.steps, puzzle.shop.calendar))
        assert made.least_evenings <= used


def test_waits_over_night_are_counted_as_evenings() -> None:
    steps = (step("a", 10), step("b", 10, "a"), step("c", 10, "b"))
    waits = (least("a", "b", 600), least("b", "c", 30))
    made = schedule(steps, waits)
    # ten hours do not go into an evening of three; half an hour does
    assert made.least_evenings == 2
    assert len(evenings(made.steps, EVENINGS)) == 2


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(puzzles(), st.integers(0, 3), st.integers(0, 90))
def test_more_clamps_or_longer_evenings_never_raise_the_bound(
    puzzle: Puzzle, clamps: int, minutes: int
) -> None:
    tight = schedule(puzzle.steps, puzzle.waits, puzzle.holds, puzzle.shop, puzzle.begin_s)
    calendar = puzzle.shop.calendar
    wider = replace(calendar, closes_min=min(24 * 60, calendar.closes_min + minutes))
    shop = replace(
        puzzle.shop,
        calendar=wider,
        clamps=puzzle.shop.clamps + clamps,
        drying_places=puzzle.shop.drying_places + clamps,
    )
    loose = schedule(puzzle.steps, puzzle.waits, puzzle.holds, shop, puzzle.begin_s)
    if tight.steps and loose.steps:
        assert loose.least_evenings <= tight.least_evenings


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    puzzles(),
    st.integers(0, 3),
    st.integers(0, 90),
    st.sampled_from(list(Prefer)),
    st.sampled_from([6, 24]),
)
def test_a_loosened_problem_that_starts_from_the_tighter_plan_is_never_worse(
    puzzle: Puzzle, more: int, minutes: int, prefer: Prefer, inches: int
) -> None:
    reach = Length.inches(inches)
    shop = replace(puzzle.shop, prefer=prefer)
    tight = schedule(puzzle.steps, puzzle.waits, puzzle.holds, shop, puzzle.begin_s)
    if not tight.steps:
        return
    calendar = shop.calendar
    wider = replace(calendar, closes_min=min(24 * 60, calendar.closes_min + minutes))
    loose = replace(
        shop,
        calendar=wider,
        clamps=shop.clamps + more,
        drying_places=shop.drying_places + more,
        clamp_sets=with_more(shop.clamp_sets, more, reach) if shop.clamp_sets else (),
        bench_places=None if shop.bench_places is None else shop.bench_places + more,
        helper=tuple(replace(time, from_min=time.from_min // (1 + more)) for time in shop.helper),
    )
    like = {step.id: step.start_s for step in tight.steps}
    begin = puzzle.begin_s
    made = schedule_steps(puzzle.steps, puzzle.waits, puzzle.holds, loose, begin, like=like)
    assert made.steps
    if prefer is Prefer.EVENINGS:
        assert len(evenings(made.steps, wider)) <= len(evenings(tight.steps, calendar))
    if prefer is Prefer.FINISH:
        last = [max(s.start_s for s in plan.steps) for plan in (made, tight)]
        days = [evenings(plan.steps, wider)[-1].date for plan in (made, tight)]
        assert days[0] <= days[1], last


def test_a_plan_that_is_as_good_as_can_be_has_as_many_evenings_as_the_bound() -> None:
    steps = tuple(step(f"s{n}", 60) for n in range(6))
    made = schedule(steps, shop=make_shop())
    assert made.least_evenings == 2
    assert made.steps[-1].start_s == BEGIN_S + DAY + 2 * 3600
