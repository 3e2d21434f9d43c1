"""What replanning needs of the engine: fixed starts, releases, beginning from another schedule."""

from __future__ import annotations

import pytest
from hypothesis import given, settings

from shopstep.sequence.engine.network import make_network
from shopstep.sequence.engine.outcome import Limits
from shopstep.sequence.engine.problem import Activity, BadProblem, Lag, Problem, Resource
from shopstep.sequence.engine.repairing import is_feasible, repair_starts
from shopstep.sequence.engine.shifting import justify
from shopstep.sequence.engine.solving import solve_problem
from tests.engine_checker import violations
from tests.engine_samples import middling_problem, small_problems

HANDS = (Resource("hands", 1),)
USE = ((0, 1),)


def test_what_is_fixed_keeps_its_start_and_the_others_go_round_it() -> None:
    three = tuple(Activity(name, 4, USE) for name in "abc")
    outcome = solve_problem(Problem(HANDS, three, frozen=((1, 3),)))
    assert outcome.proved
    assert outcome.starts is not None
    assert outcome.starts[1] == 3
    assert sorted(outcome.starts) == [3, 7, 11]


def test_a_release_is_kept() -> None:
    two = (Activity("a", 4, USE, release=2), Activity("b", 3, USE, release=5))
    outcome = solve_problem(Problem(HANDS, two))
    assert outcome.starts == (2, 6)


def test_what_is_fixed_may_lie_before_its_release() -> None:
    outcome = solve_problem(Problem((), (Activity("a", 4, release=9),), frozen=((0, 1),)))
    assert outcome.starts == (1,)


def test_fixed_starts_that_break_a_lag_are_named() -> None:
    two = (Activity("spread", 1), Activity("close", 1))
    problem = Problem((), two, (Lag(0, 1, 5),), frozen=((0, 0), (1, 3)))
    outcome = solve_problem(problem)
    assert outcome.infeasible
    assert "'spread'" in outcome.reason
    assert "the beginning" in outcome.reason


def test_fixed_starts_that_overdraw_a_resource_are_named() -> None:
    two = (Activity("a", 4, USE), Activity("b", 4, USE))
    outcome = solve_problem(Problem(HANDS, two, frozen=((0, 0), (1, 3))))
    assert outcome.infeasible
    assert outcome.reason == "What is fixed uses 2 of 'hands' at 3; there are 1."


def test_a_schedule_that_holds_is_never_made_longer() -> None:
    problem = middling_problem(11, 30)
    first = solve_problem(problem, Limits(rounds=2), seed=1)
    assert first.starts is not None
    again = solve_problem(problem, Limits(rounds=0), starts=first.starts)
    assert again.length is not None
    assert first.length is not None
    assert again.length <= first.length


def test_a_broken_schedule_is_repaired_in_its_order() -> None:
    """Three on one pair of hands, all started at once but for the order b, a, c."""
    three = tuple(Activity(name, 4, USE) for name in "abc")
    assert repair_starts(make_network(Problem(HANDS, three)), [1, 0, 2]) == [4, 0, 8]


def test_a_longer_duration_is_worked_into_the_plan_it_came_from() -> None:
    before = middling_problem(12, 30)
    plan = solve_problem(before, Limits(rounds=2))
    slow = Activity("a4", before.activities[4].duration + 9, before.activities[4].demands)
    activities = (*before.activities[:4], slow, *before.activities[5:])
    lags = tuple(
        Lag(lag.before, lag.after, slow.duration) if lag.before == 4 else lag for lag in before.lags
    )
    after = Problem(before.resources, activities, lags)
    outcome = solve_problem(after, Limits(rounds=0), starts=plan.starts)
    assert outcome.starts is not None
    assert violations(after, outcome.starts) == []


@settings(deadline=None, max_examples=80)
@given(small_problems(6))
def test_justifying_keeps_a_schedule_right_and_no_longer(problem: Problem) -> None:
    outcome = solve_problem(problem, Limits(rounds=1))
    if outcome.starts is None or outcome.length is None:
        assert outcome.infeasible or outcome.rounds <= 1
        return
    network = make_network(problem)
    later = [start + 2 if start else start for start in outcome.starts]
    for starts in (outcome.starts, later):
        if violations(problem, starts):
            assert not is_feasible(network, starts)
            continue
        assert is_feasible(network, starts)
        moved = justify(network, starts)
        assert violations(problem, moved) == []
        assert _end(problem, moved) <= _end(problem, list(starts))


def _end(problem: Problem, starts: list[int]) -> int:
    pairs = zip(starts, problem.activities, strict=True)
    return max(start + activity.duration for start, activity in pairs)


def test_starts_of_another_count_are_refused() -> None:
    with pytest.raises(BadProblem, match="2 starts for 1 activities"):
        solve_problem(Problem((), (Activity("a", 1),)), starts=(0, 0))


ONE = (Activity("a", 1),)


@pytest.mark.parametrize(
    ("problem", "sentence"),
    [
        (Problem((Resource("r", -1),), ONE), "'r' has capacity -1; 0 is the least"),
        (Problem((), (Activity("a", -2),)), "'a' takes -2; 0 is the least"),
        (Problem((), (Activity("a", 1, release=-1),)), "may start at -1; 0 is the earliest"),
        (Problem((), (Activity("a", 1, ((0, 1),)),)), "uses resource 0"),
        (Problem(HANDS, (Activity("a", 1, ((0, 1), (0, 1))),)), "names resource 0 twice"),
        (Problem(HANDS, (Activity("a", 1, ((0, -1),)),)), "uses -1 of resource 0"),
        (Problem((), ONE, (Lag(0, 3, 1),)), "A lag joins activities 0 and 3"),
        (Problem((), ONE, frozen=((4, 1),)), "Activity 4 is fixed"),
        (Problem((), ONE, frozen=((0, 1), (0, 1))), "'a' is fixed twice"),
        (Problem((), ONE, frozen=((0, -1),)), "fixed at -1; 0 is the earliest"),
    ],
)
def test_a_problem_that_makes_no_sense_is_refused(problem: Problem, sentence: str) -> None:
    with pytest.raises(BadProblem, match=sentence):
        solve_problem(problem)
