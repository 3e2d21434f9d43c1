"""Which steps are at a machine that turns: there nothing startles. Imports ``model``."""

from __future__ import annotations

from shopstep.model.plan import Plan
from shopstep.model.step import MACHINES


def is_at_machine(plan: Plan, step_id: str) -> bool:
    """Whether the step is one at a machine that turns."""
    step = next((step for step in plan.steps if step.id == step_id), None)
    if step is None:
        return False
    return any(kind.id == step.kind and kind.tool in MACHINES for kind in plan.kinds)
