"""The engine against its peers: a scheduling library of the registry, and the proving process.

The library is PyJobShop (Lan and Berkhout 2025, "PyJobShop: solving scheduling problems with
constraint programming in Python"); instances are small and drawn by seed.
"""

from __future__ import annotations

import random

import pytest
from pyjobshop import Model  # type: ignore[import-untyped]

from shopstep.sequence.engine.outcome import Limits
from shopstep.sequence.engine.problem import Activity, Lag, Problem, Resource
from shopstep.sequence.engine.proofs import ProofProcess, is_solver_installed
from shopstep.sequence.engine.solving import solve_problem
from tests.engine_checker import violations

HORIZON = 150
"""Longer than all durations and lags of a drawn problem one after another."""


def draw_problem(seed: int) -> Problem:
    """Seven activities, two resources, minimum and maximum lags between starts."""
    chance = random.Random(seed)
    resources = (Resource("r0", 2), Resource("r1", 3))
    activities = tuple(
        Activity(
            f"a{n}",
            chance.randint(1, 6),
            tuple((k, chance.randint(1, resources[k].capacity)) for k in range(2)),
        )
        for n in range(7)
    )
    lags = []
    for n in range(7):
        for m in range(n + 1, 7):
            if chance.random() < 0.3:
                least = chance.randint(1, 8)
                lags.append(Lag(n, m, least))
                if chance.random() < 0.4:
                    lags.append(Lag(m, n, -least - chance.randint(0, 6)))
    return Problem(resources, activities, tuple(lags))


def ask_peer(problem: Problem) -> int | None:
    """The optimum by the library; None where it proves that there is no schedule."""
    model = Model()
    resources = [model.add_renewable(resource.capacity) for resource in problem.resources]
    tasks = []
    for activity in problem.activities:
        task = model.add_task(latest_end=HORIZON)
        model.add_mode(
            task,
            [resources[k] for k, _ in activity.demands],
            activity.duration,
            [amount for _, amount in activity.demands],
        )
        tasks.append(task)
    for lag in problem.lags:
        model.add_start_before_start(tasks[lag.before], tasks[lag.after], lag.least)
    result = model.solve(time_limit=20, num_workers=1, display=False)
    if result.status.value == "Infeasible":
        return None
    assert result.status.value == "Optimal"
    return int(result.objective)


@pytest.mark.parametrize("seed", range(120))
def test_a_library_of_the_registry_finds_the_same_optimum(seed: int) -> None:
    problem = draw_problem(seed)
    ours = solve_problem(problem, Limits(rounds=2000))
    assert ours.proved
    assert ours.length == ask_peer(problem)
    if ours.starts is not None:
        assert violations(problem, ours.starts) == []


def test_the_drawn_problems_are_of_both_kinds() -> None:
    kinds = [
        solve_problem(draw_problem(seed), Limits(rounds=2000)).infeasible for seed in range(120)
    ]
    assert {True, False} == set(kinds)


def test_the_proving_process_settles_what_it_is_asked() -> None:
    assert is_solver_installed()
    problem = draw_problem(3)
    alone = solve_problem(problem, Limits(rounds=2000))
    with ProofProcess() as prover:
        helped = solve_problem(problem, Limits(seconds=30), prover=prover)
        assert not prover.is_missing
    assert (helped.length, helped.infeasible) == (alone.length, alone.infeasible)
