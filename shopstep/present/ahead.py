"""What is ahead from now on: the evenings that are left, and how that compares with the plan.

Imports ``model``, ``session`` and the words of this room.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from shopstep.model.plan import Plan
from shopstep.present.columns import fold_item
from shopstep.present.evenings import name_units, plan_evenings
from shopstep.present.moments import day_words, local_date, local_time
from shopstep.session.flow import index_plan
from shopstep.session.state import State
from shopstep.units import format_span
from shopstep.words import say, say_count

MOST_NAMED = 4
"""Kinds of work named for one evening; more are counted."""


def left_of(state: State, plan: Plan) -> Plan:
    """The plan with just the steps that are not done."""
    return replace(plan, steps=tuple(s for s in plan.steps if s.id not in state.finished))


def ahead_sentence(state: State, planned: Plan, ahead: Plan) -> str:
    """How many evenings are left and when it is done, and by how much that has moved."""
    left = left_of(state, ahead)
    if not left.steps:
        return say("Nothing is ahead: every step is done.")
    count = len(plan_evenings(left))
    evenings = say_count("{n} evening left", "{n} evenings left", count)
    end, was = _last_day(ahead), _last_day(planned)
    moved = (end - was).days
    if moved == 0:
        compared = say("as planned")
    else:
        days = say_count("{n} day", "{n} days", abs(moved))
        compared = say(
            "{days} {which} than planned",
            days=days,
            which=say("later") if moved > 0 else say("earlier"),
        )
    return say(
        "{evenings}, done on {day}, {compared}.",
        evenings=evenings,
        day=day_words(end),
        compared=compared,
    )


def _last_day(plan: Plan) -> date:
    return local_date(max(step.end_s for step in plan.steps), plan.zone)


def ahead_lines(state: State, planned: Plan, ahead: Plan, width: int = 78) -> list[str]:
    """The sentence, then a line for each evening that is left."""
    lines = fold_item(ahead_sentence(state, planned, ahead), width, "")
    index = index_plan(ahead)
    for number, evening in enumerate(plan_evenings(left_of(state, ahead)), 1):
        names = [f"{index.kind_of(run[0]).title} {name_units(run)}".strip() for run in evening.runs]
        more = (
            say(" and {names} more", names=len(names) - MOST_NAMED)
            if len(names) > MOST_NAMED
            else ""
        )
        first, last = (local_time(at, ahead.zone) for at in (evening.start_s, evening.end_s))
        words = say(
            "{number}. {day}, {first}–{last}, {hands_on} of work: {names}{more}",
            number=number,
            day=day_words(evening.day),
            first=first,
            last=last,
            hands_on=format_span(evening.hands_on_s),
            names=", ".join(names[:MOST_NAMED]),
            more=more,
        )
        lines += fold_item(words, width)
    return lines
