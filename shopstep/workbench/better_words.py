"""The one sentence about a plan that got better. Imports ``model`` and the days of ``present``."""

from __future__ import annotations

from shopstep.model.better import Gain
from shopstep.model.plan import Plan, Prefer
from shopstep.present.moments import day_words, local_date, local_time
from shopstep.units import format_span


def better_words(gain: Gain, plan: Plan) -> str:
    """What the better plan saves, and when it is done: what the keeper prefers comes first."""
    done_s = max(step.end_s for step in plan.steps)
    day = day_words(local_date(done_s, plan.zone))
    done = f"done {day}."
    if plan.prefer is Prefer.SETUPS and gain.setups > 0:
        return f"The plan has {gain.setups} changes of setup fewer now: {done}"
    if plan.prefer is Prefer.FIRST_UNIT and gain.first_unit_s > 0:
        earlier = format_span(gain.first_unit_s)
        return f"The first unit is done {earlier} earlier now; the batch is {done}"
    if gain.evenings > 0:
        by = "an evening" if gain.evenings == 1 else f"{gain.evenings} evenings"
        return f"The plan is better by {by} now: {done}"
    if gain.openings > 0:
        more = "" if not gain.evenings else f", with {_evenings(-gain.evenings)} more"
        return f"The plan ends earlier now: {done.removesuffix('.')}{more}."
    earlier = format_span(gain.end_s)
    return f"The plan ends {earlier} earlier now: done {day} at {local_time(done_s, plan.zone)}."


def _evenings(count: int) -> str:
    return f"{count} evening{'' if count == 1 else 's'}"
