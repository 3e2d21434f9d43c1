"""Why a step does not start earlier, in sentences. Imports ``model`` and the words of this room."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from itertools import groupby

from shopstep.model.plan import Plan
from shopstep.model.reason import Binds, Reason
from shopstep.model.step import WaitKind
from shopstep.present.evenings import plan_evenings
from shopstep.present.facts import headline_of
from shopstep.present.moments import day_words, local_date, local_time
from shopstep.present.plan_text import promise_words
from shopstep.session.flow import index_plan
from shopstep.units import format_length, format_span
from shopstep.words import say, say_count


def why_lines(plan: Plan, chain: tuple[Reason, ...]) -> list[str]:
    """One line for each reason, from the step that was asked about back to the beginning.

    Steps that two hands do one after the other stand in one line.
    """
    lines: list[str] = []
    for is_hands, run in groupby(chain, key=lambda reason: reason.binds is Binds.PERSON):
        reasons = list(run)
        if is_hands and len(reasons) > 1:
            first, last = reasons[0], reasons[-1]
            lines.append(
                say(
                    "{when}: two hands are busy with {reasons} steps, one "
                    "after the other, from {plan} on.",
                    when=_when(plan, first.step),
                    reasons=len(reasons),
                    plan=_name(plan, last.other),
                )
            )
        else:
            lines += [f"{_when(plan, r.step)}: {why_sentence(plan, r)}" for r in reasons]
    return lines


def why_sentence(plan: Plan, reason: Reason) -> str:
    """What binds one step."""
    other = _name(plan, reason.other) if reason.other else ""
    waited = _wait_words(plan, reason.wait, other) if reason.wait else ""
    if reason.binds in (Binds.WAIT, Binds.LIMIT):
        return f"{waited}."
    after = waited or (
        say("it needs {other}", other=other)
        if other
        else say("what stands before it takes the evening")
    )
    told = say("{after}, and then ", after=after) if other else ""
    return {
        Binds.BEGIN: say("the plan begins here."),
        Binds.NEED: say("it needs {other}.", other=other),
        Binds.HOURS: say("{after}, and then it does not fit before closing time.", after=after),
        Binds.DAYLIGHT: say("{after}, and then it has to be light outdoors.", after=after),
        Binds.MACHINES: say("{after}, and then machines must be quiet.", after=after),
        Binds.PERSON: say("two hands are at {other} until then.", other=other),
        Binds.RESOURCE: say(
            "{resource} come free with {other}.", resource=_resource(plan, reason), other=other
        ),
        Binds.HELPER: say(
            "{told}it waits for the helper: it needs a second pair of hands.", told=told
        ),
    }[reason.binds]


def _resource(plan: Plan, reason: Reason) -> str:
    """``drying places``, ``clamps of 48 in reach``."""
    reach = (
        say(" of {reach} reach", reach=format_length(reason.reach, plan.display))
        if reason.reach
        else ""
    )
    return f"{reason.resource.replace('_', ' ')}{reach}"


def _wait_words(plan: Plan, wait_id: str, other: str) -> str:
    wait = next(wait for wait in plan.waits if wait.id == wait_id)
    if wait.kind is WaitKind.WITHIN:
        return say(
            "started earlier, {other} would come more than {seconds} after it",
            other=other,
            seconds=format_span(wait.seconds),
        )
    return say(
        "after {other} the {wait_title} takes {seconds} ({kind} time)",
        other=other,
        wait_title=wait.title,
        seconds=format_span(wait.seconds),
        kind=say(wait.kind.replace("_", " ")),
    )


def what_if_lines(plan: Plan, found: Iterable[tuple[str, Plan | None]]) -> list[str]:
    """One line for each change: what it saves in evenings, or that it saves none."""
    return [promise_words(plan), *(_varied(plan, words, other) for words, other in found)]


def _varied(plan: Plan, words: str, other: Plan | None) -> str:
    if other is None:
        return say("{words}: no plan can be made so.", words=words)
    was, now = len(plan_evenings(plan)), len(plan_evenings(other))
    last = _last_day(other)
    saved = was - now
    if saved > 0:
        said = say("saves {evenings}", evenings=_evenings(saved))
    else:
        said = (
            say("saves none") if saved == 0 else say("{evenings} more", evenings=_evenings(-saved))
        )
    ends = f"{day_words(last)}{_shift(_last_day(plan), last)}"
    return say(
        "{words}: {evenings}, {said}; done on {ends}.",
        words=words,
        evenings=_evenings(now),
        said=said,
        ends=ends,
    )


def _last_day(plan: Plan) -> date:
    return local_date(max(step.end_s for step in plan.steps), plan.zone)


def _shift(was: date, now: date) -> str:
    """ ", a day earlier"; ", as now"."""
    days = abs((was - now).days)
    if not days:
        return say(", as now")
    if now < was:
        return say_count(", a day earlier", ", {n} days earlier", days)
    return say_count(", a day later", ", {n} days later", days)


def _evenings(count: int) -> str:
    return say_count("{n} evening", "{n} evenings", count)


def _when(plan: Plan, step_id: str) -> str:
    step = index_plan(plan).steps[step_id]
    day = day_words(local_date(step.start_s, plan.zone))
    return f"{day} {local_time(step.start_s, plan.zone)} {_name(plan, step_id)}"


def _name(plan: Plan, step_id: str) -> str:
    index = index_plan(plan)
    step = index.steps[step_id]
    return headline_of(step, index.kind_of(step))
