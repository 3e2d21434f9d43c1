"""What makes the shop safe before it is left, for what was used that day.

Imports ``model``, ``session`` and the days of this room.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from shopstep.model.leaving import MakeSafe
from shopstep.model.plan import Plan
from shopstep.model.step import StepKind
from shopstep.present.moments import local_date
from shopstep.session.flow import index_plan
from shopstep.session.state import State
from shopstep.words import say

_OILY_CAUTION = "brush_oily_rags"


def make_safe_after(plan: Plan, step_ids: Iterable[str]) -> tuple[MakeSafe, ...]:
    """What is due after these steps, in the order of the table."""
    index = index_plan(plan)
    tools: set[str] = set()
    for step_id in step_ids:
        if step_id in index.steps:
            tools |= _tools_of(index.kind_of(index.steps[step_id]))
    return tuple(
        replace(row, text=say(row.text))
        for row in plan.make_safe
        if "" in row.tools or not tools.isdisjoint(row.tools)
    )


def _tools_of(kind: StepKind) -> set[str]:
    oily = any(caution.id == _OILY_CAUTION for caution in kind.cautions)
    return {kind.tool, *([f"{kind.tool}:oil"] if oily else [])}


def make_safe_today(state: State, plan: Plan, now_s: int) -> tuple[MakeSafe, ...]:
    """What is due when the shop is left now: by what was done today, and stands at the bench."""
    today = local_date(now_s, plan.zone)
    used = [step for step, at_s in state.finished.items() if local_date(at_s, plan.zone) == today]
    at_bench = [state.at_bench] if state.at_bench is not None else []
    return make_safe_after(plan, [*used, *at_bench])


def leave_words(state: State, plan: Plan, now_s: int) -> str:
    """In one sentence after the other; empty where the plan says nothing."""
    found = make_safe_today(state, plan, now_s)
    if not found:
        return ""
    return say("Before you leave: ") + " ".join(row.text for row in found)
