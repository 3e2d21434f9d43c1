"""Ticks made on paper, entered in one go: which steps, what is asked, and the events or why not.

The steps go in the order of the plan through the same gates as at the bench, each at its own
moment: as it was written down, or, where nobody wrote it, where the plan's times put it between
those that were. Imports the plan from ``model``, and commands, events, gates and flow of this room.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from shopstep.model.step import Caution, Check, GlueRole, Step, WaitKind
from shopstep.session import commands as c
from shopstep.session import events as e
from shopstep.session.answers import take_measure
from shopstep.session.around import Around
from shopstep.session.flow import is_complete, joint_in_the_way, open_needs
from shopstep.session.gates import (
    Gate,
    Verdict,
    check_air,
    check_cautions,
    check_joints,
    check_measures,
    check_needs,
    check_open_time,
    check_put_off,
    number_checks,
    pass_gates,
    required_cautions,
)
from shopstep.session.labels import check_label
from shopstep.session.moves import bring_next
from shopstep.session.paper_times import Placed, place_times, read_times, starts_wait
from shopstep.session.refusals import name_step, refuse_needs, refuse_unknown_step
from shopstep.session.situation import Situation
from shopstep.units import Length
from shopstep.words import say

_GATES: tuple[Gate, ...] = (
    check_needs,
    check_joints,
    check_open_time,
    check_put_off,
    check_air,
    check_label,
    check_cautions,
    check_measures,
)
"""As before finishing at the bench. Waits are kept by the times themselves; clamps and hours are
none of a step that is done."""


@dataclass(frozen=True, slots=True)
class AskedTime:
    """A moment that waits count from."""

    step: str
    label: str
    """What it is called when it is asked for, ``frame glue, unit 1``; names one step only."""
    is_joint: bool
    """When a joint was closed; else when a coat, or other work that is waited for, ended."""


@dataclass(frozen=True, slots=True)
class AskedNumber:
    """A number of a check that has to be told."""

    step: str
    label: str
    """``diagonals_differ, unit 1``; names one check only."""
    check: Check
    expected: Length


@dataclass(frozen=True, slots=True)
class Asked:
    """All that has to be told with the ticks."""

    steps: tuple[Step, ...]
    """The steps that are ticked, in their order."""
    times: tuple[AskedTime, ...]
    numbers: tuple[AskedNumber, ...]
    cautions: tuple[Caution, ...]
    """Each kind once."""


def find_until(situation: Situation, word: str) -> Step | c.Refusal:
    """The step of an id; of a kind's id, as it stands on paper, the last of that kind."""
    index = situation.index
    if word in index.steps:
        return index.steps[word]
    of_kind = [step for step in situation.plan.steps if step.kind == word]
    return of_kind[-1] if of_kind else refuse_unknown_step(situation, word)


def asked_until(situation: Situation, until: Step) -> Asked | c.Refusal:
    """The steps up to one that are not done, and what has to be told with them."""
    steps = _in_order(situation, _steps_until(situation, until))
    if isinstance(steps, c.Refusal):
        return steps
    rows = {
        caution.id: caution
        for step in steps
        if step.id not in situation.state.acknowledged
        for caution in situation.kind_of(step).cautions
        if caution.must_ack
    }
    times, numbers = _asked_times(situation, steps), _asked_numbers(situation, steps)
    return Asked(steps, times, numbers, tuple(rows.values()))


def _steps_until(situation: Situation, until: Step) -> list[Step]:
    """In plan order; without what was set aside and builds on that, unless ``until`` needs it."""
    state, index = situation.state, situation.index
    way = index.way_to(until.id)
    found: list[Step] = []
    left_out: set[str] = set()
    for step in situation.plan.steps:
        if step.id not in state.finished:
            builds_on = left_out & {*step.needs, *_waited_for(situation, step)}
            if step.id not in way and (step.id in state.aside or builds_on):
                left_out.add(step.id)
            else:
                found.append(step)
        if step.id == until.id:
            break
    return found


def _waited_for(situation: Situation, step: Step) -> set[str]:
    waits = situation.index.waits_before.get(step.id, ())
    return {wait.after for wait in waits if wait.is_least}


def _in_order(situation: Situation, steps: list[Step]) -> tuple[Step, ...] | c.Refusal:
    """As the plan has them, but glue that is open is closed first, as at the bench."""
    left, ordered = list(steps), []
    later = situation
    while left:
        able = (step for step in left if _is_able(later, step))
        step = next(able, None)
        if step is None:
            needs = open_needs(later.state, later.plan, left[0])
            return refuse_needs(situation, left[0], needs or (left[0].id,))
        left.remove(step)
        ordered.append(step)
        spread = situation.kind_of(step).role is GlueRole.SPREAD
        glue = (e.GlueSpread(step.id, later.now_s, told=False),) if spread else ()
        later = later.after((*glue, e.StepFinished(step.id, 0)))
    return tuple(ordered)


def _is_able(situation: Situation, step: Step) -> bool:
    state, plan = situation.state, situation.plan
    return not open_needs(state, plan, step) and joint_in_the_way(state, plan, step.id) is None


def _asked_times(situation: Situation, steps: Iterable[Step]) -> tuple[AskedTime, ...]:
    index = situation.index
    found: list[tuple[str, str, bool]] = []
    for step in steps:
        closes = [w for w in index.waits_before.get(step.id, ()) if w.kind is WaitKind.OPEN]
        begins = [w for w in index.waits_after.get(step.id, ()) if starts_wait(w)]
        if situation.kind_of(step).role is GlueRole.CLOSE:
            found.append((step.id, (closes or begins)[0].title if closes or begins else "", True))
        elif begins:
            found.append((step.id, begins[0].title, False))
    labels = _unlike((step, label) for step, label, _ in found)
    return tuple(AskedTime(step, labels[step, label], joint) for step, label, joint in found)


def _asked_numbers(situation: Situation, steps: Iterable[Step]) -> tuple[AskedNumber, ...]:
    found: list[tuple[Step, str, Check, Length]] = []
    for step in steps:
        unit = say(", unit {step_unit}", step_unit=step.unit) if step.unit is not None else ""
        for check, expected in number_checks(situation, step).values():
            key = (step.id, check.name)
            reading = situation.state.readings.get(key)
            if reading is None or not (reading.within or key in situation.state.accepted):
                found.append((step, f"{check.name}{unit}", check, expected))
    labels = _unlike((step.id, label) for step, label, _, _ in found)
    return tuple(
        AskedNumber(step.id, labels[step.id, label], check, expected)
        for step, label, check, expected in found
    )


def _unlike(found: Iterable[tuple[str, str]]) -> dict[tuple[str, str], str]:
    """Labels that name one thing each: where two are alike, the step's id is said with them."""
    pairs = list(found)
    labels = [label.casefold() for _, label in pairs]
    return {
        (step, label): label
        if label and labels.count(label.casefold()) == 1
        else (say("{label} at {step}", label=label, step=step) if label else step)
        for step, label in pairs
    }


def enter_ticks(situation: Situation, command: c.EnterTicks) -> Verdict:
    """All ticks up to and with the command's step, or the first thing that is in their way."""
    until = find_until(situation, command.step or "")
    if isinstance(until, c.Refusal):
        return until
    asked = asked_until(situation, until)
    if isinstance(asked, c.Refusal):
        return asked
    if not asked.steps:
        return ()
    refusal = _strange(asked, command) or _missing(asked, command)
    if refusal is not None:
        return refusal
    joints = {each.step for each in asked.times if each.is_joint}
    told = read_times(situation, command.times, asked.steps, joints)
    placed = told if isinstance(told, c.Refusal) else place_times(situation, asked.steps, told)
    if isinstance(placed, c.Refusal):
        return placed
    return _events(situation, asked.steps, placed, command)


def check_times(
    situation: Situation, asked: Asked, times: tuple[c.ToldTime, ...]
) -> c.Refusal | None:
    """Why the times told so far cannot be, or None; the last of them ends what is looked at."""
    named = {each.step for each in times}
    last = max(n for n, step in enumerate(asked.steps, 1) if step.id in named)
    steps = asked.steps[:last]
    joints = {each.step for each in asked.times if each.is_joint}
    told = read_times(situation, times, steps, joints)
    placed = told if isinstance(told, c.Refusal) else place_times(situation, steps, told)
    return placed if isinstance(placed, c.Refusal) else None


def _strange(asked: Asked, command: c.EnterTicks) -> c.Refusal | None:
    """What was told of a step, or of a check, that is not asked about."""
    times = {each.step for each in asked.times}
    numbers = {(each.step, each.check.name) for each in asked.numbers}
    odd = [each.step for each in command.times if each.step not in times]
    odd += [
        say("{name} at {step}", name=r.name, step=r.step)
        for r in command.readings
        if (r.step, r.name) not in numbers
    ]
    doubled = len({each.step for each in command.times}) < len(command.times)
    doubled |= len({(r.step, r.name) for r in command.readings}) < len(command.readings)
    if odd:
        text = say(
            "{odd} is none of what is asked for with these ticks. Nothing was entered.", odd=odd[0]
        )
        return c.Refusal(text, "bad_value")
    if doubled:
        return c.Refusal(say("One thing was told twice. Nothing was entered."), "bad_value")
    return None


def _missing(asked: Asked, command: c.EnterTicks) -> c.Refusal | None:
    times = {each.step for each in command.times}
    numbers = {(each.step, each.name) for each in command.readings}
    joints = [a.label for a in asked.times if a.is_joint and a.step not in times]
    coats = [a.label for a in asked.times if not a.is_joint and a.step not in times]
    unread = [a.label for a in asked.numbers if (a.step, a.check.name) not in numbers]
    cautions = [] if command.cautions_read else [each.id for each in asked.cautions]
    said = [
        f"{head}: {'; '.join(labels)}"
        for head, labels in (
            (say("when closed"), joints),
            (say("when ended"), coats),
            (say("numbers read"), unread),
            (say("cautions read and kept"), cautions),
        )
        if labels
    ]
    if not said:
        return None
    return c.Refusal(
        say("Nothing was entered; this is missing: {said}.", said=" | ".join(said)), "missing"
    )


def _events(
    situation: Situation,
    steps: tuple[Step, ...],
    placed: Mapping[str, Placed],
    command: c.EnterTicks,
) -> Verdict:
    events: list[e.Event] = [e.BatchResumed()] if situation.state.held_since is not None else []
    around = Around(labels=situation.around.labels)
    later = replace(situation.after(events), around=around)
    before = ""
    for step in steps:
        made = _tick(later, step, placed[step.id], command)
        if isinstance(made, c.Refusal):
            return _say_where(situation, step, before, made)
        events += made
        later = later.after(made)
        before = step.id
    if is_complete(later.state, later.plan):
        return (*events, e.BatchCompleted())
    return (*events, *bring_next(replace(later, around=situation.around)))


def _tick(situation: Situation, step: Step, placed: Placed, command: c.EnterTicks) -> Verdict:
    """The events of one tick at its moment, or what the bench would say to it."""
    then = replace(situation, now_s=placed.at_s)
    made: list[e.Event] = []
    cautions = required_cautions(then, step)
    if cautions and step.id not in situation.state.acknowledged:
        made.append(e.CautionAcknowledged(step.id, cautions))
    for told in command.readings:
        if told.step == step.id:
            measure = c.TakeMeasure(
                id=command.id, step=step.id, name=told.name, value=told.value, where=told.where
            )
            taken = take_measure(then, measure)
            if isinstance(taken, c.Refusal):
                return taken
            made += [event for event in taken if isinstance(event, e.MeasureTaken)]
    refusal = pass_gates(replace(then, state=situation.after(made).state), step, _GATES)
    if refusal is not None:
        return refusal
    if then.kind_of(step).role is GlueRole.SPREAD and step.id not in situation.state.spread:
        made.append(e.GlueSpread(step.id, placed.since_s, told=placed.is_told))
    return (*made, e.StepFinished(step.id, 0, placed.at_s))


def _say_where(situation: Situation, step: Step, before: str, refusal: c.Refusal) -> c.Refusal:
    """What is in the way of one of many ticks, and how far they can be entered."""
    if refusal.rule == "label":
        typed = say(
            "Say it first: `label 8 min --step {step_id}`, or `label none --step {step_id}`.",
            step_id=step.id,
        )
        return replace(
            refusal, text=say("{refusal} Nothing was entered.", refusal=refusal.text), typed=typed
        )
    rest = (
        say(
            "Nothing was entered. Enter what comes before it (`done-until {before}`), and go on at "
            "the bench from there.",
            before=before,
        )
        if before
        else say("Nothing was entered.")
    )
    return replace(refusal, text=f"{name_step(situation, step.id)}: {refusal.text} {rest}")
