"""The engine beside a scheduling library: the same random problems, the same optimum.

``python -m tests.benchmarks.schedule_peer [COUNT] [ACTIVITIES]``, with ``pyjobshop`` installed. It
is in no extra: it brings a solver, pandas and a plotting library. Ends with 1 where any two differ.
"""

from __future__ import annotations

import random
import sys
from importlib import import_module
from typing import Any

from shopstep.sequence.engine.outcome import Limits
from shopstep.sequence.engine.problem import Problem
from shopstep.sequence.engine.solving import solve_problem
from tests.engine_checker import horizon_of
from tests.engine_samples import random_problem


def solve_by_peer(problem: Problem, seconds: float) -> int | None:
    """The peer's optimum, or None where it proves that there is no schedule."""
    peer = import_module("pyjobshop")
    model = peer.Model()
    resources = [model.add_renewable(capacity=r.capacity) for r in problem.resources]
    fixed = dict(problem.frozen)
    horizon = horizon_of(problem)
    tasks: list[Any] = []
    for number, activity in enumerate(problem.activities):
        start = fixed.get(number, activity.release)
        latest = {"latest_start": start} if number in fixed else {}
        task = model.add_task(earliest_start=start, latest_end=horizon, **latest)
        used = [(resources[k], amount) for k, amount in activity.demands if amount]
        model.add_mode(
            task,
            [resource for resource, _ in used],
            activity.duration,
            demands=[amount for _, amount in used],
        )
        tasks.append(task)
    for lag in problem.lags:
        model.add_start_before_start(tasks[lag.before], tasks[lag.after], delay=lag.least)
    result = model.solve(time_limit=seconds, display=False)
    status = result.status.name.lower()
    if status == "infeasible":
        return None
    if status != "optimal":
        raise RuntimeError(f"the peer ended with '{status}'")
    return int(result.objective)


def main(arguments: list[str]) -> int:
    """Prints how many agree; names the seeds of those that do not."""
    count = int(arguments[0]) if arguments else 100
    size = int(arguments[1]) if len(arguments) > 1 else 10
    differing = []
    infeasible = 0
    for seed in range(count):
        problem = random_problem(random.Random(seed), size)
        ours = solve_problem(problem, Limits(rounds=5000))
        theirs = solve_by_peer(problem, 30.0)
        infeasible += theirs is None
        if not ours.proved or ours.length != theirs:
            differing.append(seed)
    print(f"{count - len(differing)} of {count} agree, {infeasible} of them infeasible")
    if differing:
        print("differing seeds:", *differing)
    return 1 if differing else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
