"""Where a batch stands, for somebody who comes back to it: last done, what waits, what is next.

Imports ``model``, ``session`` and the words of this room.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

from shopstep.model.plan import Plan
from shopstep.present.card import CardTimer
from shopstep.present.card_for import card_for
from shopstep.present.facts import headline_of, unit_words
from shopstep.present.lines import timer_words, wrap_lines
from shopstep.session.flow import current_step, index_plan, next_moment
from shopstep.session.state import State
from shopstep.session.statuses import BatchStatus, Status, batch_status, step_standing
from shopstep.session.timers import local_clock
from shopstep.units import format_span
from shopstep.words import say, to_say

INTERRUPTED_S = 600
"""A longer pause with a step at the bench is an interruption (common practice, no source)."""
NOTHING_DONE = to_say("Nothing is finished yet")
NOT_BEGUN = to_say("not begun yet.")
"""Of a unit of which nothing is done, while its first step is still ahead."""


@dataclass(frozen=True, slots=True)
class Waiting:
    """What dries, cures or is clamped, and since when."""

    since: str
    """Clock time, with the day where it is another one."""
    words: str
    """What waits and until when, in the words of the card's timers."""


@dataclass(frozen=True, slots=True)
class Summary:
    """Where a batch stands, piece by piece; each face puts the pieces where it has room."""

    standing: str
    """Running, held or ended, how much is done, and how long ago the last entry was."""
    last: str
    """Headline of the step that was confirmed last; empty where none was."""
    last_at: str
    """When that was."""
    following: str
    """Headline of the step that is next; empty where nothing is left to do."""
    following_note: str
    """Whose turn it is, and not before when."""
    joints: tuple[Waiting, ...]
    """Glue that is open now; it runs by the second."""
    waits: tuple[Waiting, ...]
    aside: tuple[str, ...]
    """Each step that was put off, with its reason."""
    units: tuple[str, ...]
    """For each unit the first step that is not done, and where that stands; equal ones together."""


def summary_of(state: State, plan: Plan, now_s: int) -> Summary:
    """The pieces at ``now_s`` (seconds since 1970 UTC)."""
    last, last_at = _last(state, plan, now_s)
    following, note = _following(state, plan, now_s)
    timers = card_for(state, plan, now_s).timers
    return Summary(
        standing=_standing_words(state, plan, now_s),
        last=last,
        last_at=last_at,
        following=following,
        following_note=note,
        joints=tuple(_waiting(t, now_s, plan.zone) for t in timers if t.is_most),
        waits=tuple(_waiting(t, now_s, plan.zone) for t in timers if not t.is_most),
        aside=_aside_words(state, plan),
        units=_unit_words(state, plan, now_s),
    )


def summary_lines(state: State, plan: Plan, now_s: int, width: int = 78) -> list[str]:
    """Last confirmed and next step, what dries since when and until when, what was put off."""
    told = summary_of(state, plan, now_s)
    last = (
        say("Last done: {last}, at {last_at}.", last=told.last, last_at=told.last_at)
        if told.last
        else f"{say(NOTHING_DONE)}."
    )
    lines = [told.standing, last]
    lines += [
        say("Since {since}: {words}", since=each.since, words=each.words)
        for each in (*told.joints, *told.waits)
    ]
    lines += [say("Set aside: {words}.", words=words) for words in told.aside]
    lines += told.units
    lines += (
        [
            say(
                "Next: {following}, {following_note}.",
                following=told.following,
                following_note=told.following_note,
            )
        ]
        if told.following
        else []
    )
    return wrap_lines(lines, width)


def was_interrupted(state: State, now_s: int) -> bool:
    """Whether the pause since the last entry is long enough to be told about."""
    return state.version > 0 and now_s - state.last_s >= INTERRUPTED_S


def _standing_words(state: State, plan: Plan, now_s: int) -> str:
    done = sum(1 for step in plan.steps if step.id in state.finished)
    status = batch_status(state, plan)
    pause = format_span(max(0, now_s - state.last_s) // 60 * 60)
    said = say(
        "{state_title}: {status}, {done} of {steps} steps done",
        state_title=state.title,
        status=say(status.value),
        done=done,
        steps=len(plan.steps),
    )
    if status in (BatchStatus.RUNNING, BatchStatus.HELD) and was_interrupted(state, now_s):
        return say("{said}; the last entry was {pause} ago.", said=said, pause=pause)
    return f"{said}."


def _last(state: State, plan: Plan, now_s: int) -> tuple[str, str]:
    known = [step for step in state.finished if step in index_plan(plan).steps]
    if not known:
        return "", ""
    at = local_clock(state.finished[known[-1]] // 60 * 60, now_s, plan.zone)
    return _name(plan, known[-1]), at


def _waiting(timer: CardTimer, now_s: int, zone: str) -> Waiting:
    since = local_clock(timer.started_s // 60 * 60, now_s, zone)
    return Waiting(since, timer_words(timer, now_s, zone))


def _aside_words(state: State, plan: Plan) -> tuple[str, ...]:
    return tuple(
        f"{_name(plan, step)}{f', {reason}' if reason else ''}"
        for step, reason in state.aside.items()
        if step in index_plan(plan).steps
    )


def _unit_words(state: State, plan: Plan, now_s: int) -> tuple[str, ...]:
    """A line for each unit; units in a row that stand alike share one."""
    words = [_one_unit(state, plan, now_s, unit) for unit in range(1, plan.units + 1)]
    lines, first = [], 1
    for said, alike in groupby(words):
        last = first + len(list(alike)) - 1
        who = (
            say("Unit {first}", first=first)
            if first == last
            else say("Units {first} to {last}", first=first, last=last)
        )
        lines.append(f"{who}: {said}")
        first = last + 1
    return tuple(lines)


def _one_unit(state: State, plan: Plan, now_s: int, unit: int) -> str:
    step = next((s for s in plan.steps if s.unit == unit and s.id not in state.finished), None)
    if step is None:
        return say("all steps are done.")
    standing = step_standing(state, plan, step.id, now_s)
    is_begun = any(s.unit == unit and s.id in state.finished for s in plan.steps)
    if standing.status is Status.AHEAD and not is_begun:
        return say(NOT_BEGUN)
    until = (
        say(" until {clock}", clock=local_clock(standing.until_s, now_s, plan.zone))
        if standing.status is Status.WAITING and standing.until_s is not None
        else ""
    )
    title = index_plan(plan).kind_of(step).title
    return say(
        "at '{title}', {status}{until}.",
        title=title,
        status=say(standing.status.value),
        until=until,
    )


def _following(state: State, plan: Plan, now_s: int) -> tuple[str, str]:
    """The step that comes next, also where nothing can be done before a wait is over."""
    if batch_status(state, plan) in (BatchStatus.COMPLETE, BatchStatus.STOPPED):
        return "", ""
    step, until = current_step(state, plan, now_s), ""
    if step is None:
        until_s = next_moment(state, plan, now_s)
        if until_s is None:
            return "", ""
        step = current_step(state, plan, until_s)
        until = say(", not before {clock}", clock=local_clock(until_s, now_s, plan.zone))
    return (_name(plan, step.id), f"{unit_words(step, plan)}{until}") if step else ("", "")


def _name(plan: Plan, step_id: str) -> str:
    step = index_plan(plan).steps[step_id]
    return headline_of(step, index_plan(plan).kind_of(step))
