"""Clamps and drying places: never more than there are, and no dead end on the way."""

from __future__ import annotations

from itertools import permutations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopstep.model.plan import Level
from shopstep.model.step import Hold, Step
from tests.schedule_samples import H, least, make_shop, schedule, starts_min, step


def test_clamps_are_held_from_the_start_of_one_step_to_the_start_of_another() -> None:
    steps = tuple(
        s for u in "ab" for s in (step(f"{u}/close", 5), step(f"{u}/unclamp", 5, f"{u}/close"))
    )
    holds = tuple(Hold("clamps", 1, f"{u}/close", f"{u}/unclamp") for u in "ab")
    waits = tuple(least(f"{u}/close", f"{u}/unclamp", 60) for u in "ab")
    one = starts_min(schedule(steps, waits, holds, make_shop(clamps=1)))
    two = starts_min(schedule(steps, waits, holds, make_shop(clamps=2)))
    assert one["b/close"] == 70
    assert two["b/close"] == 5


def test_drying_places_are_counted_apart_from_clamps() -> None:
    steps = tuple(
        s for u in "ab" for s in (step(f"{u}/coat", 5), step(f"{u}/next", 5, f"{u}/coat"))
    )
    holds = tuple(Hold("drying_places", 1, f"{u}/coat", f"{u}/next") for u in "ab")
    made = schedule(steps, (), holds, make_shop(clamps=0, drying_places=1))
    assert [s.id for s in made.steps] == ["a/coat", "a/next", "b/coat", "b/next"]


def test_more_than_the_shop_has_is_a_stop_that_names_the_resource_once() -> None:
    steps = tuple(s for u in (1, 2) for s in (step(f"u{u}/close", 5), step(f"u{u}/off", 5)))
    holds = tuple(Hold("drying_places", 4, f"u{u}/close", f"u{u}/off") for u in (1, 2))
    (finding,) = schedule(steps, (), holds, make_shop(drying_places=3)).findings
    assert finding.level is Level.STOP
    assert finding.text == "'close' takes 4 drying places at once, and the shop has 3."
    assert finding.remedy == "Get 1 more drying place."


def test_an_unknown_resource_is_a_stop_that_names_the_known_ones() -> None:
    steps = (step("a", 5), step("b", 5))
    (finding,) = schedule(steps, (), (Hold("jigs", 1, "a", "b"),)).findings
    assert "takes 'jigs'" in finding.text
    assert finding.remedy == "Known: clamps, drying_places, bench_places."


def test_a_negative_amount_is_a_stop() -> None:
    (finding,) = schedule(
        (step("a", 5), step("b", 5)), (), (Hold("clamps", -1, "a", "b"),)
    ).findings
    assert finding.rule == "resource_negative"


def test_a_hold_puts_its_two_steps_in_order() -> None:
    made = schedule((step("off", 5), step("on", 5)), (), (Hold("clamps", 1, "on", "off"),))
    assert [s.id for s in made.steps] == ["on", "off"]


def test_a_hold_that_ends_where_it_begins_takes_nothing() -> None:
    made = schedule((step("a", 5),), (), (Hold("clamps", 1, "a", "a"),), make_shop(clamps=1))
    assert made.findings == ()


def frames(units: int) -> tuple[tuple[Step, ...], tuple[Hold, ...]]:
    """Each unit needs a second clamp before it gives the first one back."""
    steps = tuple(
        s
        for i, name in enumerate(("first", "second", "off"))
        for u in range(1, units + 1)
        for s in [step(f"u{u}/{name}", 5, *([f"u{u}/{('first', 'second')[i - 1]}"] if i else []),
                       unit=u)]
    )  # fmt: skip
    holds = tuple(
        Hold("clamps", 1, f"u{u}/{name}", f"u{u}/off")
        for u in range(1, units + 1)
        for name in ("first", "second")
    )
    return steps, holds


def test_taking_all_clamps_for_first_steps_does_not_end_in_a_dead_end() -> None:
    steps, holds = frames(6)
    made = schedule(steps, (), holds, make_shop(clamps=3))
    assert made.findings == ()
    assert len(made.steps) == 18


def test_a_shop_in_which_no_order_can_work_is_a_stop_that_names_the_resource() -> None:
    # a takes one and waits for d, which needs two more
    steps = (step("a", 5), step("b", 5), step("c", 5, "b"), step("d", 5, "c", "a"))
    holds = (Hold("clamps", 2, "a", "d"), Hold("clamps", 2, "b", "d"))
    (finding,) = schedule(steps, (), holds, make_shop(clamps=3)).findings
    assert finding.rule == "resource_deadlock"
    assert finding.text == "No order of the steps was found in which 3 clamps are enough."
    assert schedule(steps, (), holds, make_shop(clamps=4)).findings == ()


def test_two_resources_that_only_together_fall_short_are_both_named() -> None:
    # a has the clamp and wants the place, b has the place and wants the clamp
    steps = (
        step("a1", 5),
        step("b1", 5),
        step("a2", 5, "a1", "b1"),
        step("b2", 5, "b1", "a1"),
        step("a3", 5, "a2"),
        step("b3", 5, "b2"),
    )
    holds = (
        Hold("clamps", 1, "a1", "a3"),
        Hold("drying_places", 1, "a2", "a3"),
        Hold("drying_places", 1, "b1", "b3"),
        Hold("clamps", 1, "b2", "b3"),
    )
    short = schedule(steps, (), holds, make_shop(clamps=1, drying_places=1))
    assert "1 clamps and 1 drying places" in short.findings[0].text
    assert schedule(steps, (), holds, make_shop(clamps=2, drying_places=1)).findings == ()
    assert schedule(steps, (), holds, make_shop(clamps=1, drying_places=2)).findings == ()


def test_clamps_on_a_joint_that_was_closed_before_are_still_taken() -> None:
    steps = (
        step("a/close", 5),
        step("a/off", 5, "a/close"),
        step("b/close", 5),
        step("b/off", 5, "b/close"),
    )
    holds = tuple(Hold("clamps", 1, f"{u}/close", f"{u}/off") for u in "ab")
    begin = 1_764_093_600
    made = schedule(
        steps,
        (least("a/close", "a/off", 60),),
        holds,
        make_shop(clamps=1),
        begin_s=begin + 300,
        fixed={"a/close": (begin, begin + 300)},
    )
    assert starts_min(made)["a/off"] == 65
    assert starts_min(made)["b/close"] == 70


def test_a_shop_that_lost_a_clamp_goes_on_when_one_is_given_back() -> None:
    begin = 1_764_093_600
    steps = tuple(
        s for u in "abc" for s in (step(f"{u}/close", 5), step(f"{u}/off", 5, f"{u}/close"))
    )
    holds = tuple(Hold("clamps", 1, f"{u}/close", f"{u}/off") for u in "abc")
    fixed = {"a/close": (begin, begin + 300), "b/close": (begin + 300, begin + 600)}
    made = schedule(steps, (), holds, make_shop(clamps=1), begin_s=begin + H, fixed=fixed)
    assert [s.id for s in made.steps][2:] == ["a/off", "b/off", "c/close", "c/off"]


def order_exists(steps: tuple[Step, ...], holds: tuple[Hold, ...], clamps: int) -> bool:
    """Whether some order of the steps keeps needs and clamps: tries them all."""
    pairs = [(need, s.id) for s in steps for need in s.needs]
    pairs += [(hold.first, hold.last) for hold in holds]
    for order in permutations([s.id for s in steps]):
        place = {name: i for i, name in enumerate(order)}
        if any(place[one] >= place[other] for one, other in pairs):
            continue
        taken = [
            sum(h.amount for h in holds if place[h.first] <= i < place[h.last])
            for i in range(len(order))
        ]
        if max(taken, default=0) <= clamps:
            return True
    return False


@st.composite
def clamp_puzzles(draw: st.DrawFn) -> tuple[tuple[Step, ...], tuple[Hold, ...], int]:
    """Six steps with needs and holds that run forward, and a few clamps."""
    count = draw(st.integers(2, 6))
    pairs = [(i, j) for i in range(count) for j in range(i + 1, count)]
    needs = draw(st.lists(st.sampled_from(pairs), max_size=5, unique=True))
    held = draw(st.lists(st.sampled_from(pairs), min_size=1, max_size=4, unique=True))
    clamps = draw(st.integers(2, 4))
    steps = tuple(
        step(f"s{j}", 10, *[f"s{i}" for i, k in needs if k == j], unit=draw(st.integers(1, 2)))
        for j in range(count)
    )
    holds = tuple(Hold("clamps", draw(st.integers(1, 2)), f"s{i}", f"s{j}") for i, j in held)
    return steps, holds, clamps


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(clamp_puzzles())
def test_wherever_an_order_exists_the_schedule_finds_one(
    puzzle: tuple[tuple[Step, ...], tuple[Hold, ...], int],
) -> None:
    steps, holds, clamps = puzzle
    made = schedule(steps, (), holds, make_shop(clamps=clamps))
    assert bool(made.steps) == order_exists(steps, holds, clamps)


def test_a_unit_that_stands_first_gives_way_where_only_another_leaves_a_way_to_finish() -> None:
    # unit 2 stands before unit 1 in the order given, the order that works is unit 1 first
    steps, holds = frames(2)
    swapped = tuple(sorted(steps, key=lambda s: (s.kind, -(s.unit or 0))))
    made = schedule(swapped, (), holds, make_shop(clamps=3))
    assert len(made.steps) == 6


@pytest.mark.parametrize("clamps", [2, 3, 4, 7])
def test_any_number_of_clamps_that_is_enough_for_one_unit_is_enough_for_all(clamps: int) -> None:
    steps, holds = frames(9)
    assert len(schedule(steps, (), holds, make_shop(clamps=clamps)).steps) == 27
