"""Words around the picture of a step, and which step kind it belongs to. Imports ``model``."""

from __future__ import annotations

from shopstep.model.plan import Plan
from shopstep.words import to_say

NO_PICTURE = to_say("There is no picture of this.")


def pictured_kind(plan: Plan, step_id: str) -> str:
    """The id of a step's kind; empty for a step that the plan has not, as where there is none."""
    return next((step.kind for step in plan.steps if step.id == step_id), "")
