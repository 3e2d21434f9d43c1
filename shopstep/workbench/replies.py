"""What a new plan is stored under, and what is said where there is none.

Imports ``model`` and the session's commands.
"""

from __future__ import annotations

from shopstep.model.plan import Level, PlanRefused
from shopstep.session.commands import Command, Refusal


def revision_id(command: Command) -> str:
    """The new plan is stored after its fact, so it needs an id of its own."""
    return f"{command.id}/plan"


def say_refused(refused: PlanRefused) -> Refusal:
    """The first thing that stops the plan, with what to do about it."""
    stop = next((f for f in refused.findings if f.level is Level.STOP), None)
    if stop is None:
        return Refusal(str(refused) or "No new plan can be made.", "no_plan")
    return Refusal(f"{stop.text} {stop.remedy}".strip(), stop.rule)
