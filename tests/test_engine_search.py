"""The scheduling engine against judges that try everything, and against published optima."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopstep.sequence.engine.bounds import bound_length
from shopstep.sequence.engine.network import make_network
from shopstep.sequence.engine.outcome import Limits
from shopstep.sequence.engine.problem import Activity, Lag, Problem, Resource
from shopstep.sequence.engine.reading_shops import make_job_shop, read_job_shop
from shopstep.sequence.engine.solving import solve_problem
from tests.engine_checker import shortest_by_trying, shortest_shop_by_trying, violations
from tests.engine_samples import (
    FT06,
    FT10,
    LA01,
    middling_problem,
    random_jobs,
    random_problem,
    small_problems,
)

ENOUGH = Limits(rounds=2000)
"""Small problems are decided long before."""


@settings(deadline=None, max_examples=150)
@given(small_problems())
def test_a_small_problem_gets_its_shortest_schedule_or_the_proof_that_there_is_none(
    problem: Problem,
) -> None:
    outcome = solve_problem(problem, ENOUGH)
    assert outcome.proved
    assert outcome.length == shortest_by_trying(problem)
    assert outcome.infeasible == (outcome.length is None)
    if outcome.starts is not None:
        assert violations(problem, outcome.starts) == []


@pytest.mark.parametrize("seed", range(40))
def test_seven_activities_agree_with_trying_every_start(seed: int) -> None:
    problem = random_problem(random.Random(1000 + seed), 7)
    assert solve_problem(problem, ENOUGH).length == shortest_by_trying(problem)


@settings(deadline=None, max_examples=60)
@given(st.integers(0, 2**32))
def test_a_small_job_shop_agrees_with_trying_every_order(seed: int) -> None:
    jobs = random_jobs(random.Random(seed))
    outcome = solve_problem(make_job_shop(jobs), ENOUGH)
    assert outcome.proved
    assert outcome.length == shortest_shop_by_trying(jobs)


@settings(deadline=None, max_examples=80)
@given(small_problems())
def test_the_bounds_by_arithmetic_never_pass_the_shortest_schedule(problem: Problem) -> None:
    shortest = shortest_by_trying(problem)
    if shortest is not None:
        assert bound_length(make_network(problem)) <= shortest


@settings(deadline=None, max_examples=60)
@given(small_problems(), st.integers(0, 1))
def test_more_of_a_resource_never_raises_the_bound_and_never_lengthens_the_plan(
    problem: Problem, which: int
) -> None:
    tight = solve_problem(problem, ENOUGH)
    roomy = tuple(
        Resource(r.name, r.capacity + (1 if k == which % len(problem.resources) else 0))
        for k, r in enumerate(problem.resources)
    )
    loose = Problem(roomy, problem.activities, problem.lags, problem.frozen)
    outcome = solve_problem(loose, Limits(rounds=0), starts=tight.starts)
    if tight.length is not None:
        assert not outcome.infeasible
        assert outcome.length is not None
        assert outcome.length <= tight.length
        assert solve_problem(loose, ENOUGH).bound <= tight.bound


@pytest.mark.parametrize(("text", "optimum"), [(FT06, 55), (LA01, 666)], ids=["ft06", "la01"])
def test_published_job_shops_are_proved_without_help(text: str, optimum: int) -> None:
    outcome = solve_problem(read_job_shop(text), Limits(rounds=400))
    assert outcome.proved
    assert outcome.length == optimum
    assert outcome.starts is not None
    assert violations(read_job_shop(text), outcome.starts) == []


def test_ft10_comes_near_its_published_optimum() -> None:
    outcome = solve_problem(read_job_shop(FT10), Limits(rounds=150))
    assert outcome.starts is not None
    assert violations(read_job_shop(FT10), outcome.starts) == []
    assert outcome.length is not None
    assert outcome.bound <= 930 <= outcome.length <= 1.05 * 930


@pytest.mark.parametrize("size", [25, 60, 150])
def test_larger_plans_are_feasible_and_no_better_than_their_bound(size: int) -> None:
    problem = middling_problem(3, size)
    outcome = solve_problem(problem, Limits(rounds=4))
    assert outcome.starts is not None
    assert violations(problem, outcome.starts) == []
    assert outcome.length is not None
    assert outcome.bound <= outcome.length


def test_the_same_seed_and_rounds_give_the_same_plan() -> None:
    problem = middling_problem(5, 40)
    first, again = (solve_problem(problem, Limits(rounds=6), seed=7) for _ in range(2))
    assert first == again


def test_more_rounds_never_give_a_longer_plan() -> None:
    problem = middling_problem(8, 40)
    lengths = [solve_problem(problem, Limits(rounds=n)).length for n in (1, 3, 9)]
    assert all(length is not None for length in lengths)
    assert lengths == sorted(lengths, key=lambda length: -(length or 0))


def test_a_maximum_lag_holds_two_activities_together() -> None:
    """The glue: spread (2), close at most 3 after the spreading began; the hands are shared."""
    hands = (Resource("hands", 1),)
    use = ((0, 1),)
    spread, saw, close = Activity("spread", 2, use), Activity("saw", 4, use), Activity("x", 1, use)
    lags = (Lag(0, 2, 2), Lag(2, 0, -3))
    outcome = solve_problem(Problem(hands, (spread, saw, close), lags))
    assert outcome.proved
    assert outcome.length == 7
    assert outcome.starts is not None
    assert 2 <= outcome.starts[2] - outcome.starts[0] <= 3


def test_lags_that_contradict_each_other_are_named() -> None:
    two = (Activity("glue", 1), Activity("paint", 1))
    outcome = solve_problem(Problem((), two, (Lag(0, 1, 10), Lag(1, 0, -9))))
    assert outcome.infeasible
    assert outcome.proved
    assert "'glue'" in outcome.reason
    assert "'paint'" in outcome.reason


def test_a_demand_above_the_capacity_is_named() -> None:
    problem = Problem((Resource("clamps", 2),), (Activity("glue", 5, ((0, 3),)),))
    outcome = solve_problem(problem)
    assert outcome.infeasible
    assert outcome.reason == "'glue' needs 3 of 'clamps'; there are 2."


def test_nothing_to_do_takes_no_time() -> None:
    outcome = solve_problem(Problem((), ()))
    assert outcome.proved
    assert outcome.length == 0
