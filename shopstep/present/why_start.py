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
                f"{_when(plan, first.step)}: two hands are busy with {len(reasons)} steps, one "
                f"after the other, from {_name(plan, last.other)} on."
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
    after = waited or (f"it needs {other}" if other else "what stands before it takes the evening")
    told = f"{after}, and then " if other else ""
    return {
        Binds.BEGIN: "the plan begins here.",
        Binds.NEED: f"it needs {other}.",
        Binds.HOURS: f"{after}, and then it does not fit before closing time.",
        Binds.DAYLIGHT: f"{after}, and then it has to be light outdoors.",
        Binds.MACHINES: f"{after}, and then machines must be quiet.",
        Binds.PERSON: f"two hands are at {other} until then.",
        Binds.RESOURCE: f"{_resource(plan, reason)} come free with {other}.",
        Binds.HELPER: f"{told}it waits for the helper: it needs a second pair of hands.",
    }[reason.binds]


def _resource(plan: Plan, reason: Reason) -> str:
    """``drying places``, ``clamps of 48 in reach``."""
    reach = f" of {format_length(reason.reach, plan.display)} reach" if reason.reach else ""
    return f"{reason.resource.replace('_', ' ')}{reach}"


def _wait_words(plan: Plan, wait_id: str, other: str) -> str:
    wait = next(wait for wait in plan.waits if wait.id == wait_id)
    if wait.kind is WaitKind.WITHIN:
        return f"started earlier, {other} would come more than {format_span(wait.seconds)} after it"
    return (
        f"after {other} the {wait.title} takes {format_span(wait.seconds)} "
        f"({wait.kind.replace('_', ' ')} time)"
    )


def what_if_lines(plan: Plan, found: Iterable[tuple[str, Plan | None]]) -> list[str]:
    """One line for each change: what it saves in evenings, or that it saves none."""
    return [promise_words(plan), *(_varied(plan, words, other) for words, other in found)]


def _varied(plan: Plan, words: str, other: Plan | None) -> str:
    if other is None:
        return f"{words}: no plan can be made so."
    was, now = len(plan_evenings(plan)), len(plan_evenings(other))
    last = _last_day(other)
    saved = was - now
    if saved > 0:
        said = f"saves {_evenings(saved)}"
    else:
        said = "saves none" if saved == 0 else f"{_evenings(-saved)} more"
    ends = f"{day_words(last)}{_shift(_last_day(plan), last)}"
    return f"{words}: {_evenings(now)}, {said}; done on {ends}."


def _last_day(plan: Plan) -> date:
    return local_date(max(step.end_s for step in plan.steps), plan.zone)


def _shift(was: date, now: date) -> str:
    """ ", a day earlier"; ", as now"."""
    days = abs((was - now).days)
    if not days:
        return ", as now"
    return f", {'a day' if days == 1 else f'{days} days'} {'earlier' if now < was else 'later'}"


def _evenings(count: int) -> str:
    return f"{count} evening{'' if count == 1 else 's'}"


def _when(plan: Plan, step_id: str) -> str:
    step = index_plan(plan).steps[step_id]
    day = day_words(local_date(step.start_s, plan.zone))
    return f"{day} {local_time(step.start_s, plan.zone)} {_name(plan, step_id)}"


def _name(plan: Plan, step_id: str) -> str:
    index = index_plan(plan)
    step = index.steps[step_id]
    return headline_of(step, index.kind_of(step))
