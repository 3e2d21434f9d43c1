"""New times for a plan in progress, nothing else: no design, no cutting, so it is done at once.

Imports the room sequence and ``model``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from shopstep.model.plan import Level, Plan, PlanRefused, Shop
from shopstep.planner.helping import HELP_RULES, tell_help
from shopstep.sequence.schedule import schedule_steps

Moments = Mapping[str, tuple[int, int]]
"""Start and end (seconds since 1970 UTC) by step id."""


def retime(plan: Plan, shop: Shop, finished: Moments, begin_s: int) -> Plan:
    """The same steps with times from ``begin_s`` on; what is done keeps its real moments.

    Waits that run keep their length. PlanRefused where what is left has no order in these hours.
    """
    like = {step.id: step.start_s for step in plan.steps}
    made = schedule_steps(
        plan.steps, plan.waits, plan.holds, shop, begin_s, finished, like, None, plan.display
    )
    if any(finding.level is Level.STOP for finding in made.findings):
        raise PlanRefused(made.findings)
    kept = tuple(finding for finding in plan.findings if finding.rule not in HELP_RULES)
    found = (*made.findings, *tell_help(plan.kinds, made.steps, shop, finished))
    return replace(
        plan,
        steps=made.steps,
        begin_s=begin_s,
        least_evenings=made.least_evenings,
        findings=(*kept, *(f for f in found if f not in kept)),
    )
