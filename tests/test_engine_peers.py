"""The engine against its peers: a scheduling library of the registry, and the proving process.

The library is PyJobShop (Lan and Berkhout 2025, "PyJobShop: solving scheduling problems with
constraint programming in Python"); instances are small and drawn by seed.
"""

from __future__ import annotations

import json
import random
from pathlib import Path

import pytest
from pyjobshop import Model  # type: ignore[import-untyped]

from shopstep.sequence.benchmark import main
from shopstep.sequence.engine.outcome import Limits
from shopstep.sequence.engine.problem import Activity, Lag, Problem, Resource
from shopstep.sequence.engine.proofs import ProofProcess, is_solver_installed
from shopstep.sequence.engine.solving import solve_problem
from tests.engine_brute import is_schedule

HORIZON = 150
"""Longer than all durations and lags of a drawn problem one after another."""

# By hand, in the form of PSPLIB: jobs 2 and 3 need the one unit of R1 (3 + 2), job 4 follows 3.
SMALL_SM = """************************************************************************
projects                      :  1
jobs (incl. supersource/sink ):  5
horizon                       :  9
RESOURCES
  - renewable                 :  1   R
  - nonrenewable              :  0   N
  - doubly constrained        :  0   D
************************************************************************
PROJECT INFORMATION:
pronr.  #jobs rel.date duedate tardcost  MPM-Time
    1      3      0        9        9        9
************************************************************************
PRECEDENCE RELATIONS:
jobnr.    #modes  #successors   successors
   1        1          2           2   3
   2        1          1           5
   3        1          1           4
   4        1          1           5
   5        1          0
************************************************************************
REQUESTS/DURATIONS:
jobnr. mode duration  R 1
------------------------------------------------------------------------
  1      1     0       0
  2      1     3       1
  3      1     2       1
  4      1     4       0
  5      1     0       0
************************************************************************
RESOURCEAVAILABILITIES:
  R 1
    1
************************************************************************
"""


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
        assert is_schedule(problem, ours.starts)


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


def test_a_process_that_answers_nonsense_changes_nothing() -> None:
    problem = draw_problem(5)
    with ProofProcess(("echo", "nonsense")) as prover:
        helped = solve_problem(problem, Limits(rounds=2000), prover=prover)
    assert helped.length == solve_problem(problem, Limits(rounds=2000)).length


def test_a_project_of_the_psplib_form_is_read(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "small.sm").write_text(SMALL_SM)
    assert main([str(tmp_path), "--json"]) == 0
    (row,) = json.loads(capsys.readouterr().out)
    # Job 3 first (2), then 4 (4) beside 2 (3): 6 in all.
    assert (row["best"], row["bound"], row["proved"]) == (6, 6, True)


def test_a_bad_line_of_the_psplib_form_is_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "bad.sm").write_text(SMALL_SM.replace("  2      1     3  ", "  2      1     x  "))
    assert main([str(tmp_path)]) == 1
    assert "line 26: 'x' is not a whole number" in capsys.readouterr().out
