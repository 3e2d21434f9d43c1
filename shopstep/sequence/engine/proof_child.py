"""The process that holds the constraint solver: one problem a line in, one answer a line out.

Run as ``python -m shopstep.sequence.engine.proof_child``; ``engine.proofs`` is the other end and
ends it when it is late. The solver (package ``ortools``, extra ``proofs``) is loaded here and
nowhere else. Problems and answers are JSON objects; see ``solve_asked``.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from importlib import import_module
from typing import Any

WORKERS = 1
"""One, so that the same question gets the same answer, and a core is left to the asker."""


def main() -> None:
    """Answers until the input ends. The first line out says whether the solver is there."""
    try:
        solver = import_module("ortools.sat.python.cp_model")
    except ImportError as problem:
        _say({"ready": False, "why": str(problem)})
        return
    _say({"ready": True})
    for line in sys.stdin:
        _say(solve_asked(solver, json.loads(line)))


def _say(answer: dict[str, object]) -> None:
    sys.stdout.write(json.dumps(answer) + "\n")
    sys.stdout.flush()


def solve_asked(solver: Any, asked: dict[str, Any]) -> dict[str, object]:
    """``{number, status, length, bound, starts}`` for one question.

    Asked: ``number`` (given back), ``durations``, ``releases``, ``demands`` (for each activity
    [resource, amount] pairs), ``capacities``, ``lags`` ([before, after, least]), ``frozen``
    ([activity, start]), ``horizon`` (no end is looked for beyond it), ``hint`` (starts or null),
    ``seconds``. Status: optimal, feasible, infeasible (nothing ends by the horizon) or unknown.
    """
    model = solver.CpModel()
    horizon = asked["horizon"]
    fixed = dict(asked["frozen"])
    starts = []
    for number, duration in enumerate(asked["durations"]):
        least = fixed.get(number, asked["releases"][number])
        most = fixed.get(number, horizon - duration)
        if least > most:
            return {"number": asked["number"], "status": "infeasible"}
        starts.append(model.new_int_var(least, most, f"s{number}"))
    for before, after, least in asked["lags"]:
        model.add(starts[after] >= starts[before] + least)
    _add_resources(model, asked, starts)
    end = model.new_int_var(0, horizon, "end")
    for start, duration in zip(starts, asked["durations"], strict=True):
        model.add(end >= start + duration)
    model.minimize(end)
    for start, value in zip(starts, asked["hint"] or (), strict=False):
        model.add_hint(start, value)
    search = solver.CpSolver()
    search.parameters.max_time_in_seconds = asked["seconds"]
    search.parameters.num_workers = WORKERS
    status = search.solve(model)
    return _answer(solver, search, status, asked["number"], starts)


def _add_resources(model: Any, asked: dict[str, Any], starts: list[Any]) -> None:
    durations = asked["durations"]
    spans = [
        model.new_fixed_size_interval_var(start, duration, f"i{number}")
        for number, (start, duration) in enumerate(zip(starts, durations, strict=True))
    ]
    for resource, capacity in enumerate(asked["capacities"]):
        users = [
            (number, amount)
            for number, demands in enumerate(asked["demands"])
            for used, amount in demands
            if used == resource and amount > 0 and durations[number] > 0
        ]
        if all(2 * amount > capacity for _, amount in users):
            model.add_no_overlap([spans[number] for number, _ in users])
        else:
            amounts = [amount for _, amount in users]
            model.add_cumulative([spans[number] for number, _ in users], amounts, capacity)


def _answer(
    solver: Any, search: Any, status: Any, number: int, starts: list[Any]
) -> dict[str, object]:
    value: Callable[[Any], int] = search.value
    if status == solver.INFEASIBLE:
        return {"number": number, "status": "infeasible"}
    if status not in (solver.OPTIMAL, solver.FEASIBLE):
        return {"number": number, "status": "unknown"}
    bound = search.best_objective_bound
    return {
        "number": number,
        "status": "optimal" if status == solver.OPTIMAL else "feasible",
        "length": round(search.objective_value),
        "bound": int(-(-bound // 1)) if abs(bound - round(bound)) > 1e-6 else round(bound),
        "starts": [value(start) for start in starts],
    }


if __name__ == "__main__":
    main()
