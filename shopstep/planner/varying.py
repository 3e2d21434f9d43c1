"""The plan of a request that differs in one thing from another's: from the plan that there is.

A new plan begins from rules, so a shop that has more of something could come out worse by chance.
Here the times of the plan that there is are tried as well: where they still keep every rule, the
varied plan is never worse. Imports the chain, new times, and the room sequence.
"""

from __future__ import annotations

from shopstep.model.plan import Plan, PlanRefused, PlanRequest
from shopstep.planner.chain import make_plan_like
from shopstep.planner.retiming import retime
from shopstep.sequence.bettering import score_plan


def vary_plan(request: PlanRequest, plan: Plan) -> Plan:
    """The plan for a request, ``plan`` being that of a request with a little less of something.

    Raises as ``make_plan`` does.
    """
    try:
        made = make_plan_like(request, {step.id: step.start_s for step in plan.steps})
    except PlanRefused:
        kept = _kept_plan(request, plan)
        if kept is None:
            raise
        return kept
    if {step.id for step in made.steps} == {step.id for step in plan.steps}:
        return made
    kept = _kept_plan(request, plan)
    if kept is None:
        return made
    return min(made, kept, key=lambda each: score_plan(each, request.shop))


def _kept_plan(request: PlanRequest, plan: Plan) -> Plan | None:
    """The very steps of the old plan in the other shop; None in other air, or where none is.

    Longer evenings put lots together: the old times are then those of other steps.
    """
    if request.conditions != plan.conditions:
        return None
    try:
        return retime(plan, request.shop, {}, plan.begin_s)
    except PlanRefused:
        return None
