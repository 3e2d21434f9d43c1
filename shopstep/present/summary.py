"""Where a batch stands, for somebody who comes back to it: last done, what waits, what is next.

Imports ``model``, ``session`` and the words of this room.
"""

from __future__ import annotations

from shopstep.model.plan import Plan
from shopstep.present.card_for import card_for
from shopstep.present.facts import headline_of, unit_words
from shopstep.present.lines import timer_words, wrap_lines
from shopstep.session.flow import current_step, index_plan
from shopstep.session.state import State
from shopstep.session.statuses import BatchStatus, Status, batch_status, step_standing
from shopstep.session.timers import local_clock, running_timers
from shopstep.units import format_span

INTERRUPTED_S = 600
"""A longer pause with a step at the bench is an interruption (common practice, no source)."""


def summary_lines(state: State, plan: Plan, now_s: int, width: int = 78) -> list[str]:
    """Last confirmed and next step, what dries since when and until when, what was put off."""
    lines = [_standing_words(state, plan, now_s), *_last_words(state, plan, now_s)]
    lines += _waiting_words(state, plan, now_s)
    lines += _aside_words(state, plan)
    lines += _unit_words(state, plan, now_s)
    lines += _next_words(state, plan, now_s)
    return wrap_lines(lines, width)


def was_interrupted(state: State, now_s: int) -> bool:
    """Whether the pause since the last entry is long enough to be told about."""
    return state.version > 0 and now_s - state.last_s >= INTERRUPTED_S


def _standing_words(state: State, plan: Plan, now_s: int) -> str:
    done = sum(1 for step in plan.steps if step.id in state.finished)
    status = batch_status(state, plan)
    pause = format_span(max(0, now_s - state.last_s) // 60 * 60)
    said = f"{state.title}: {status}, {done} of {len(plan.steps)} steps done"
    if status in (BatchStatus.RUNNING, BatchStatus.HELD) and was_interrupted(state, now_s):
        return f"{said}; the last entry was {pause} ago."
    return f"{said}."


def _last_words(state: State, plan: Plan, now_s: int) -> list[str]:
    known = [step for step in state.finished if step in index_plan(plan).steps]
    if not known:
        return ["Nothing is finished yet."]
    at = local_clock(state.finished[known[-1]] // 60 * 60, now_s, plan.zone)
    return [f"Last done: {_name(plan, known[-1])}, at {at}."]


def _waiting_words(state: State, plan: Plan, now_s: int) -> list[str]:
    """Each wait with since when, in the words of the card's timers."""
    timers = {timer.wait.title: timer for timer in running_timers(state, plan)}
    card = card_for(state, plan, now_s)
    return [
        f"Since {local_clock(timers[shown.name].started_s // 60 * 60, now_s, plan.zone)}: "
        f"{timer_words(shown, now_s, plan.zone)}"
        for shown in card.timers
        if shown.name in timers
    ]


def _aside_words(state: State, plan: Plan) -> list[str]:
    return [
        f"Set aside: {_name(plan, step)}{f', {reason}' if reason else ''}."
        for step, reason in state.aside.items()
        if step in index_plan(plan).steps
    ]


def _unit_words(state: State, plan: Plan, now_s: int) -> list[str]:
    """For each unit the first step that is not done, and where that stands."""
    lines = []
    for unit in range(1, plan.units + 1):
        step = next((s for s in plan.steps if s.unit == unit and s.id not in state.finished), None)
        if step is None:
            lines.append(f"Unit {unit}: all its steps are done.")
            continue
        standing = step_standing(state, plan, step.id, now_s)
        until = (
            f" until {local_clock(standing.until_s, now_s, plan.zone)}"
            if standing.status is Status.WAITING and standing.until_s is not None
            else ""
        )
        title = index_plan(plan).kind_of(step).title
        lines.append(f"Unit {unit}: at '{title}', {standing.status}{until}.")
    return lines


def _next_words(state: State, plan: Plan, now_s: int) -> list[str]:
    step = current_step(state, plan, now_s)
    if step is None or batch_status(state, plan) in (BatchStatus.COMPLETE, BatchStatus.STOPPED):
        return []
    return [f"Next: {_name(plan, step.id)}, {unit_words(step, plan)}."]


def _name(plan: Plan, step_id: str) -> str:
    step = index_plan(plan).steps[step_id]
    return headline_of(step, index_plan(plan).kind_of(step))
