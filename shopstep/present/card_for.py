"""State, plan and time to the one card that every face shows.

Imports ``model``, ``session`` and the words of this room; reads no clock and no file.
"""

from __future__ import annotations

from dataclasses import replace

from shopstep.model.plan import Plan
from shopstep.model.step import GlueRole, Step, StepKind, WaitKind
from shopstep.present.card import (
    CardAction,
    CardCaution,
    CardCheck,
    CardMode,
    CardTimer,
    StepCard,
)
from shopstep.present.check_run import number_checks, run_of
from shopstep.present.facts import (
    hand_words,
    headline_of,
    pencil_mark,
    people_words,
    put_off_words,
    show_caution,
    show_checks,
    show_fastener,
    show_number,
    show_parts,
    try_words,
    unit_words,
)
from shopstep.present.leaving import leave_words
from shopstep.session.flow import (
    current_step,
    index_plan,
    is_complete,
    next_moment,
    open_needs,
)
from shopstep.session.state import State
from shopstep.session.timers import Timer, local_clock, running_timers
from shopstep.units import format_span
from shopstep.words import say, to_say

MOST_ACTIONS = 5
MOST_NAMES = 3
"""Timers named in one sentence; the timer band shows them all."""
_LABELS = to_say(
    {
        "measure": "Measure",
        "start": "Start spreading",
        "spread_anew": "Scraped: spread anew",
        "done": "Done",
        "accept": "Keep as it is",
        "ack": "Understood",
        "resume": "Resume",
        "back": "Back",
        "hold": "Hold",
        "why": "Why",
        "more": "More",
    }
)
_IDS = {"spread_anew": "start"}
"""Actions that are another one under another label."""


OPEN_AGAIN = to_say("This step is open again: its tick was taken back.")


def card_for(state: State, plan: Plan, now_s: int, notice: str = "") -> StepCard:
    """The card at ``now_s`` (seconds since 1970 UTC); ``notice`` is one line about now."""
    card = replace(_empty_card(state, plan, now_s), notice=notice)
    if state.stopped_s is not None:
        return _stopped_card(card, state, plan, now_s)
    if is_complete(state, plan):
        return _complete_card(card, state, plan, now_s)
    step = current_step(state, plan, now_s)
    if state.held_since is not None:
        return _held_card(card, state, plan, step, now_s)
    if step is None:
        return _waiting_card(card, state, plan, now_s)
    if step.id in state.reopened and not notice:
        card = replace(card, notice=say(OPEN_AGAIN))
    return _step_card(card, state, plan, step, now_s)


def _empty_card(state: State, plan: Plan, now_s: int) -> StepCard:
    """What every mode shows alike: version, counts and timers."""
    return StepCard(
        version=state.version,
        plan_number=state.plan_number,
        mode=CardMode.STEP,
        step_id="",
        unit="",
        mark="",
        headline="",
        numbers=(),
        sentence="",
        why="",
        picture=None,
        parts=(),
        fasteners=(),
        cautions=(),
        checks=(),
        actions=(),
        timers=_show_timers(state, plan, now_s),
        hearing="off",
        notice="",
        done_count=sum(1 for step in plan.steps if step.id in state.finished),
        total_count=len(plan.steps),
        following="",
    )


def _show_timers(state: State, plan: Plan, now_s: int) -> tuple[CardTimer, ...]:
    """The running limits; a least wait that is over shows only where its step could be taken."""
    index = index_plan(plan)

    def matters(timer: Timer) -> bool:
        over = timer.wait.is_least and timer.due_s <= now_s
        return not over or not open_needs(state, plan, index.steps[timer.wait.before])

    return tuple(
        CardTimer(
            name=timer.wait.title,
            kind=timer.wait.kind.value,
            started_s=timer.started_s,
            due_s=timer.due_s,
            is_most=timer.wait.kind is WaitKind.OPEN,
            step=timer.wait.before,
        )
        for timer in running_timers(state, plan)
        if matters(timer)
    )


def _step_card(card: StepCard, state: State, plan: Plan, step: Step, now_s: int) -> StepCard:
    kind = index_plan(plan).kind_of(step)
    checks = number_checks(show_checks(state, plan, step, kind, now_s))
    asks_first = _has_open_caution(state, step, kind)
    return replace(
        card,
        mode=CardMode.CAUTION if asks_first else CardMode.STEP,
        step_id=step.id,
        unit=unit_words(step, plan),
        mark=pencil_mark(plan, step, kind),
        headline=kind.title,
        numbers=tuple(show_number(number, plan.display) for number in kind.numbers),
        sentence=" ".join(
            [
                *_aside_words(state, plan, step),
                *put_off_words(state, plan, step, now_s),
                *people_words(kind),
                *try_words(state, plan, step, kind),
                kind.text,
                *hand_words(kind),
                *_open_time_words(state, plan, step, kind),
            ]
        ),
        why=kind.why,
        picture=kind.picture,
        parts=show_parts(plan, kind),
        fasteners=tuple(show_fastener(each, plan.display) for each in kind.fasteners),
        cautions=_show_cautions(state, plan, kind),
        checks=checks,
        check_run=run_of(checks),
        actions=_caution_actions() if asks_first else _step_actions(state, step, kind, checks),
        following=_following(state, plan, step),
    )


def _show_cautions(state: State, plan: Plan, kind: StepKind) -> tuple[CardCaution, ...]:
    """The step's cautions; those that were answered before in this session say so."""
    index = index_plan(plan)
    known = {
        caution.id
        for step_id in state.acknowledged
        if step_id in index.steps
        for caution in index.kind_of(index.steps[step_id]).cautions
    }
    shown = (show_caution(caution) for caution in kind.cautions)
    return tuple(replace(caution, known=caution.id in known) for caution in shown)


def _open_time_words(state: State, plan: Plan, step: Step, kind: StepKind) -> list[str]:
    """Before glue goes on: how long there is from the first of it to the closed joint."""
    if kind.role is not GlueRole.SPREAD or step.id in state.spread:
        return []
    waits = index_plan(plan).waits_after.get(step.id, ())
    most = [wait.seconds for wait in waits if wait.kind is WaitKind.OPEN]
    return (
        [say("From the first glue you have {most}.", most=format_span(min(most)))] if most else []
    )


def _has_open_caution(state: State, step: Step, kind: StepKind) -> bool:
    return step.id not in state.acknowledged and any(c.must_ack for c in kind.cautions)


def _caution_actions() -> tuple[CardAction, ...]:
    return _actions(["ack", "back", "hold", "why"])


def _step_actions(
    state: State, step: Step, kind: StepKind, checks: tuple[CardCheck, ...]
) -> tuple[CardAction, ...]:
    """In a fixed order, so that an action keeps its place from step to step."""
    spreads = kind.role is GlueRole.SPREAD
    wanted = {
        "measure": any(_is_open(check) for check in checks),
        "start": spreads and step.id not in state.spread,
        "done": True,
        "spread_anew": spreads and step.id in state.spread and step.id in state.reopened,
        "accept": any(check.measured and _is_unsettled(check) for check in checks),
        "back": True,
        "hold": True,
        "why": True,
    }
    return _actions([name for name, is_wanted in wanted.items() if is_wanted])


def _is_unsettled(check: CardCheck) -> bool:
    return not check.within and not check.accepted


def _is_open(check: CardCheck) -> bool:
    """Whether a number has still to be read, or read again after it was put right."""
    return check.expected_nm is not None and _is_unsettled(check)


def _actions(names: list[str]) -> tuple[CardAction, ...]:
    kept = [*names[: MOST_ACTIONS - 1], "more"]
    return tuple(CardAction(_IDS.get(name, name), say(_LABELS[name])) for name in kept)


def _following(state: State, plan: Plan, step: Step) -> str:
    """Headline of the next open step in plan order; from the front again after the last."""
    place = plan.steps.index(step)
    for other in plan.steps[place + 1 :] + plan.steps[:place]:
        if other.id not in state.finished:
            return headline_of(other, index_plan(plan).kind_of(other))
    return ""


def _held_card(card: StepCard, state: State, plan: Plan, step: Step | None, now_s: int) -> StepCard:
    since = _past_clock(state.held_since or now_s, now_s, plan.zone)
    reason = f": {state.held_reason}" if state.held_reason else ""
    headline = headline_of(step, index_plan(plan).kind_of(step)) if step else ""
    return replace(
        card,
        mode=CardMode.HELD,
        step_id=step.id if step else "",
        unit=unit_words(step, plan) if step else "",
        headline=say("On hold"),
        sentence=" ".join(
            [
                say(
                    "On hold since {since}{reason}. All is kept; resume when you are ready.",
                    since=since,
                    reason=reason,
                ),
                leave_words(state, plan, state.held_since or now_s),
            ]
        ).rstrip(),
        actions=(CardAction("resume", say(_LABELS["resume"])),),
        following=headline,
    )


def _waiting_card(card: StepCard, state: State, plan: Plan, now_s: int) -> StepCard:
    until_s = next_moment(state, plan, now_s)
    first = next((step for step in plan.steps if step.id not in state.finished), plan.steps[0])
    headline, sentence = (
        say("Nothing can be done now"),
        say("The steps that are left wait for each other."),
    )
    if until_s is not None:
        headline = say(
            "Nothing can be done before {clock}", clock=local_clock(until_s, now_s, plan.zone)
        )
        aside = _set_aside(state, plan)
        sentence = say(
            "{waited_for} Leave the bench if you like: all is kept.{aside}",
            waited_for=_waited_for(card, until_s),
            aside=aside,
        )
        first = current_step(state, plan, until_s) or first
    return replace(
        card,
        mode=CardMode.WAITING,
        headline=headline,
        sentence=sentence,
        actions=_actions(["back", "hold"]),
        following=headline_of(first, index_plan(plan).kind_of(first)),
    )


def _waited_for(card: StepCard, until_s: int) -> str:
    leasts = [t for t in card.timers if not t.is_most and t.kind != WaitKind.WITHIN]
    names = [t.name for t in leasts if t.due_s == until_s]
    more = (
        say(" and {names} more", names=len(names) - MOST_NAMES) if len(names) > MOST_NAMES else ""
    )
    return say("This waits: {names}{more}.", names="; ".join(names[:MOST_NAMES]), more=more)


def _past_clock(at_s: int, now_s: int, zone: str) -> str:
    """A moment that is past, at the minute begun: it must not read as still to come."""
    return local_clock(at_s // 60 * 60, now_s, zone)


def _bench_s(state: State) -> int:
    """Seconds at the bench in all, without holds, to the minute once it is one."""
    spent_s = sum(state.spent.values())
    return spent_s if spent_s < 60 else spent_s // 60 * 60


def _stopped_card(card: StepCard, state: State, plan: Plan, now_s: int) -> StepCard:
    reason = f": {state.stopped_reason}" if state.stopped_reason else ""
    return replace(
        card,
        mode=CardMode.STOPPED,
        headline=say("Stopped"),
        sentence=say(
            "{build_title}: stopped at "
            "{past_clock}{reason}. "
            "{done_count} of {total_count} steps were done; the log holds them.",
            build_title=plan.build_title,
            past_clock=_past_clock(state.stopped_s or now_s, now_s, plan.zone),
            reason=reason,
            done_count=card.done_count,
            total_count=card.total_count,
        ),
        actions=(CardAction("more", say(_LABELS["more"])),),
    )


def _aside_words(state: State, plan: Plan, step: Step) -> list[str]:
    """A step that was set aside says so when it comes back."""
    if step.id not in state.aside:
        return []
    reason = state.aside[step.id]
    return [say("It was set aside{rest}.", rest=f": {reason}" if reason else "")]


def _set_aside(state: State, plan: Plan) -> str:
    """What is set aside, in a sentence; empty where nothing is."""
    index = index_plan(plan)
    names = [
        headline_of(index.steps[step], index.kind_of(index.steps[step]))
        for step in state.aside
        if step in index.steps
    ]
    if not names:
        return ""
    more = (
        say(" and {names} more", names=len(names) - MOST_NAMES) if len(names) > MOST_NAMES else ""
    )
    return say(
        " Set aside: {names}{more}; under More they can be taken.",
        names="; ".join(names[:MOST_NAMES]),
        more=more,
    )


def _complete_card(card: StepCard, state: State, plan: Plan, now_s: int) -> StepCard:
    count = say("1 unit") if plan.units == 1 else say("{units} units", units=plan.units)
    ended_s = state.completed_s or max(state.finished.values(), default=now_s)
    return replace(
        card,
        mode=CardMode.COMPLETE,
        headline=say("Complete"),
        sentence=say(
            "{build_title}, {count}: the last of {steps} steps was done at "
            "{past_clock}. At the bench {bench}, "
            "{readings} numbers measured; the log holds them all.",
            build_title=plan.build_title,
            count=count,
            steps=len(plan.steps),
            past_clock=_past_clock(ended_s, now_s, plan.zone),
            bench=format_span(_bench_s(state)),
            readings=len(state.readings),
        ),
        actions=_actions(["back"]),
    )
