"""Machine setups in the order in which the evenings come to them. Imports ``model`` only."""

from __future__ import annotations

from shopstep.model.operation import Setup
from shopstep.model.plan import Plan


def setups_by_work(plan: Plan) -> tuple[Setup, ...]:
    """The setups by the planned start of their first step; as they are where nothing is planned."""
    first: dict[str, int] = {}
    for step in plan.steps:
        first[step.kind] = min(step.start_s, first.get(step.kind, step.start_s))
    return tuple(sorted(plan.setups, key=lambda setup: first.get(setup.id, 0)))
