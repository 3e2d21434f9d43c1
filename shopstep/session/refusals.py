"""The sentences of refusals: what stands in the way, where, and the way on.

Imports plan and units from below, and commands, flow, timers and situation of this room.
"""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

from shopstep.model.step import Check, Step, WaitKind
from shopstep.session.commands import Refusal
from shopstep.session.flow import joint_in_the_way, next_moment, open_needs, ready_steps
from shopstep.session.situation import Situation
from shopstep.session.state import Reading
from shopstep.session.timers import Timer, local_clock
from shopstep.session.trials import PLACES, WHERE_IT_IS, asks_where, say_try
from shopstep.units import Length, format_length, format_span
from shopstep.words import say, to_say

_OVER = to_say(
    {
        WaitKind.CLAMP: "The clamps of {unit} can come off at {clock}.",
        WaitKind.CURE: "The glue of {unit} is hard enough at {clock}.",
        WaitKind.TOUCH: "The paint of {unit} can be touched at {clock}.",
        WaitKind.RECOAT: "The paint of {unit} is dry enough for the next coat at {clock}.",
        WaitKind.DRY_THROUGH: "The paint of {unit} is dry through at {clock}.",
    }
)
_NAMED_AT_MOST = 3


def name_unit(step: Step | None) -> str:
    """ "unit 2", or "the whole batch"."""
    return (
        say("the whole batch")
        if step is None or step.unit is None
        else say("unit {step_unit}", step_unit=step.unit)
    )


def name_step(situation: Situation, step_id: str) -> str:
    """The headline with its unit: "Dry fit (unit 2)"; the bare id of a step that is gone."""
    step = situation.index.steps.get(step_id)
    if step is None:
        return step_id
    return f"{situation.kind_of(step).title} ({name_unit(step).removeprefix('the ')})"


def _name_steps(situation: Situation, step_ids: Iterable[str]) -> str:
    ids = list(step_ids)
    named = ", ".join(name_step(situation, step_id) for step_id in ids[:_NAMED_AT_MOST])
    rest = len(ids) - _NAMED_AT_MOST
    return say("{named} and {rest} more", named=named, rest=rest) if rest > 0 else named


def refuse_held(situation: Situation) -> Refusal:
    """While the batch is on hold."""
    reason = situation.state.held_reason
    because = f" ({reason})" if reason else ""
    return Refusal(say("The batch is on hold{because}. Resume it first.", because=because), "held")


def refuse_complete() -> Refusal:
    """When every step is finished."""
    return Refusal(say("Every step is finished. Back opens the last one again."), "complete")


def refuse_stale() -> Refusal:
    """When the face had seen an older version."""
    return Refusal(say("The card had changed; look again."), "stale")


def refuse_unknown_step(situation: Situation, step_id: str | None) -> Refusal:
    """When no step, or none of the plan, was named."""
    if step_id is None:
        return Refusal(say("Say which step to take, by its id."), "unknown_step")
    near = get_close_matches(step_id, situation.index.steps, n=1)
    hint = say(" Did you mean '{near}'?", near=near[0]) if near else ""
    return Refusal(
        say("There is no step '{step_id}' in this plan.{hint}", step_id=step_id, hint=hint),
        "unknown_step",
    )


def refuse_finished(situation: Situation, step: Step) -> Refusal:
    """When something is asked of a step that is already finished."""
    name = name_step(situation, step.id)
    return Refusal(
        say("{name} is finished. Back opens the last finished step again.", name=name), "finished"
    )


def refuse_needs(situation: Situation, step: Step, needs: tuple[str, ...]) -> Refusal:
    """When steps before this one are open."""
    name = name_step(situation, step.id)
    return Refusal(
        say(
            "{name} cannot be done yet. First finish: {steps}.",
            name=name,
            steps=_name_steps(situation, needs),
        ),
        "needs_open",
    )


def refuse_waiting(situation: Situation, timer: Timer) -> Refusal:
    """When a least-wait is not over: until when, and what can be done meanwhile."""
    after = situation.index.steps.get(timer.wait.after)
    clock = local_clock(timer.due_s, situation.now_s, situation.plan.zone)
    over = say(_OVER[timer.wait.kind]).format(unit=name_unit(after), clock=clock)
    return Refusal(f"{over} {_say_meanwhile(situation)}", "waiting")


def _say_meanwhile(situation: Situation) -> str:
    ready = [
        step.id
        for step in ready_steps(situation.state, situation.plan, situation.now_s)
        if joint_in_the_way(situation.state, situation.plan, step.id) is None
    ]
    if not ready:
        return say("Until then nothing else is ready: hold, and come back.")
    named = _name_steps(situation, ready)
    return say("Until then: {named}{named_2}, or hold.", named=named[0].lower(), named_2=named[1:])


def refuse_nothing_ready(situation: Situation) -> Refusal:
    """When no step is ready, whatever keeps them."""
    state, plan, now_s = situation.state, situation.plan, situation.now_s
    until_s = next_moment(state, plan, now_s)
    if until_s is None:
        step = next(step for step in plan.steps if step.id not in state.finished)
        return refuse_needs(situation, step, open_needs(state, plan, step))
    clock = local_clock(until_s, now_s, plan.zone)
    return Refusal(
        say("Nothing is ready before {clock}. Hold, and come back then.", clock=clock), "waiting"
    )


def refuse_joint(situation: Situation, joint: Timer) -> Refusal:
    """When glue is open somewhere else."""
    close = name_step(situation, joint.wait.before)
    unit = name_unit(situation.index.steps.get(joint.wait.after))
    left_s = joint.due_s - situation.now_s
    span = say("{left} left", left=format_span(left_s)) if left_s > 0 else say("its time is over")
    return Refusal(
        say(
            "The glue of {unit} is open, {span}. First finish: {close}.",
            unit=unit,
            span=span,
            close=close,
        ),
        "joint_open",
    )


def refuse_late(situation: Situation, joint: Timer) -> Refusal:
    """When the joint is closed after its open time."""
    was = format_span(situation.now_s - joint.started_s)
    most = format_span(joint.wait.seconds)
    return Refusal(
        say(
            "The glue was open {was}, {most} is the most: scrape both faces, go back and spread "
            "again, or, if it was closed in time, keep it (under More).",
            was=was,
            most=most,
        ),
        "glue_late",
        say("In words: `scraped`, or `closed HH:MM`."),
    )


def refuse_put_off(situation: Situation, timer: Timer) -> Refusal:
    """When the step was put off for longer than is good for it."""
    name = name_step(situation, timer.wait.before)
    most = format_span(timer.wait.seconds)
    was = format_span((situation.now_s - timer.started_s) // 60 * 60)
    late = f" {say(timer.wait.late)}" if timer.wait.late else ""
    return Refusal(
        say(
            "{name} was put off for {was}, {most} is the most.{late} Then keep it (under More), "
            "and it is done all the same.",
            name=name,
            was=was,
            most=most,
            late=late,
        ),
        "put_off",
        say("In words: `accept {kind_value} REASON`.", kind_value=timer.wait.kind.value),
    )


def refuse_caution(situation: Situation, step: Step) -> Refusal:
    """When a caution before the step is not answered."""
    signal = next(say(c.signal) for c in situation.kind_of(step).cautions if c.must_ack)
    name = name_step(situation, step.id)
    return Refusal(
        say("{signal} before {name}: read it and answer it first.", signal=signal, name=name),
        "caution_open",
    )


def refuse_unmeasured(situation: Situation, check: Check, expected: Length) -> Refusal:
    """When a check's number is missing."""
    unit = situation.plan.display
    value, most = format_length(expected, unit), format_length(check.tolerance, unit)
    return Refusal(
        say(
            "Measure first: {check}, planned {value}, at most {most} off.",
            check=check.text,
            value=value,
            most=most,
        ),
        "measure_open",
        say(
            "In words, with the unit: `measure {check_name} VALUE`, for example "
            "`measure {check_name} {value}`.",
            check_name=check.name,
            value=value,
        ),
    )


def refuse_deviation(
    situation: Situation, check: Check, expected: Length, reading: Reading
) -> Refusal:
    """When a check's number lies outside its tolerance."""
    unit = situation.plan.display
    typed = say("In words: `accept {check_name}`.", check_name=check.name)
    tried = say_try(check, reading, unit)
    if tried:
        return Refusal(say("{tried} Or keep it as it is.", tried=tried), "out_of_tolerance", typed)
    value, most = format_length(expected, unit), format_length(check.tolerance, unit)
    return Refusal(
        say(
            "{check}{check_2}: {length} was "
            "read, {value} is planned and at most {most} off. Put it right and measure again, or "
            "keep it as it is.",
            check=check.text[:1].upper(),
            check_2=check.text[1:],
            length=format_length(Length(reading.nm), unit),
            value=value,
            most=most,
        ),
        "out_of_tolerance",
        typed,
    )


def refuse_where(check: Check, where: str) -> Refusal:
    """When a gap is told to be where none can be, or a size to be somewhere."""
    if not asks_where(check):
        text = say(
            "A place ('{where}') is told of a gap at a slope only: give the number alone.",
            where=where,
        )
        return Refusal(text, "bad_where")
    near = get_close_matches(where.lower(), PLACES, n=1)
    hint = say("did you mean '{near}'?", near=near[0]) if near else say("say toe, heel or even.")
    return Refusal(
        say("'{where}' is no place of a gap; {hint}", where=where, hint=hint), "bad_where"
    )


def refuse_gap_nowhere(situation: Situation, check: Check, gap: Length) -> Refusal:
    """When a gap is outside its tolerance and nobody said where it is."""
    read = format_length(gap, situation.plan.display)
    return Refusal(
        say(
            "Where is the gap of {read}: at the toe, at the heel, or even? {where_it_is}",
            read=read,
            where_it_is=say(WHERE_IT_IS),
        ),
        "where_open",
        say(
            "In words: `measure {check_name} {read} toe`, or heel, or even.",
            check_name=check.name,
            read=read,
        ),
    )


def refuse_long_gap(situation: Situation, leg: Length, gap: Length) -> Refusal:
    """When a gap at one end is wider than the slope is long."""
    unit = situation.plan.display
    return Refusal(
        say(
            "A gap of {gap} at a slope that is {leg} long "
            "is no likely reading; read the light under the gauge again.",
            gap=format_length(gap, unit),
            leg=format_length(leg, unit),
        ),
        "bad_value",
    )


def refuse_unknown_measure(
    situation: Situation, step: Step, name: str, known: list[str]
) -> Refusal:
    """When the step asks for no such number."""
    where = name_step(situation, step.id)
    if not known:
        return Refusal(say("{where} asks for no measurement.", where=where), "unknown_measure")
    near = get_close_matches(name, known, n=1, cutoff=0.4)
    hint = (
        say("Did you mean '{near}'?", near=near[0])
        if near
        else say("It asks for: {known}.", known=", ".join(known))
    )
    return Refusal(
        say("'{name}' is no measurement of {where}. {hint}", name=name, where=where, hint=hint),
        "unknown_measure",
    )
