"""The one sentence about a plan that got better. Imports ``model`` and the days of ``present``."""

from __future__ import annotations

from shopstep.model.better import Gain
from shopstep.model.plan import Plan, Prefer
from shopstep.present.moments import day_words, local_date, local_time
from shopstep.units import format_span
from shopstep.words import say, say_count


def better_words(gain: Gain, plan: Plan) -> str:
    """What the better plan saves, and when it is done: what the keeper prefers comes first."""
    done_s = max(step.end_s for step in plan.steps)
    day = day_words(local_date(done_s, plan.zone))
    done = say("done {day}.", day=day)
    if plan.prefer is Prefer.SETUPS and gain.setups > 0:
        return say(
            "The plan has {setups} changes of setup fewer now: {done}",
            setups=gain.setups,
            done=done,
        )
    if plan.prefer is Prefer.FIRST_UNIT and gain.first_unit_s > 0:
        earlier = format_span(gain.first_unit_s)
        return say(
            "The first unit is done {earlier} earlier now; the batch is {done}",
            earlier=earlier,
            done=done,
        )
    if gain.evenings > 0:
        by = (
            say("an evening")
            if gain.evenings == 1
            else say("{evenings} evenings", evenings=gain.evenings)
        )
        return say("The plan is better by {by} now: {done}", by=by, done=done)
    if gain.openings > 0:
        more = (
            ""
            if not gain.evenings
            else say(", with {evenings} more", evenings=_evenings(-gain.evenings))
        )
        return say(
            "The plan ends earlier now: {done}{more}.", done=done.removesuffix("."), more=more
        )
    earlier = format_span(gain.end_s)
    return say(
        "The plan ends {earlier} earlier now: done {day} at {time}.",
        earlier=earlier,
        day=day,
        time=local_time(done_s, plan.zone),
    )


def _evenings(count: int) -> str:
    return say_count("{n} evening", "{n} evenings", count)
