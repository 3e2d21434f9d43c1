"""The gates before a step: each says why not, or None.

Imports the plan from ``model``, and flow, situation and refusals of this room.
"""

from __future__ import annotations

from collections.abc import Callable

from shopstep.model.step import Check, GlueRole, Step, WaitKind
from shopstep.session.commands import Command, Refusal
from shopstep.session.events import Event
from shopstep.session.evolve import OPEN_TIME, PUT_OFF
from shopstep.session.flow import (
    is_complete,
    joint_in_the_way,
    open_needs,
    pending_waits,
    put_off_too_long,
)
from shopstep.session.labels import check_label
from shopstep.session.refusals import (
    refuse_caution,
    refuse_complete,
    refuse_deviation,
    refuse_joint,
    refuse_late,
    refuse_needs,
    refuse_nothing_ready,
    refuse_put_off,
    refuse_stale,
    refuse_unknown_measure,
    refuse_unknown_step,
    refuse_unmeasured,
    refuse_waiting,
)
from shopstep.session.room import check_room
from shopstep.session.situation import Situation
from shopstep.session.timers import Timer, timer_of
from shopstep.units import Length
from shopstep.warmth import both_scales
from shopstep.words import figure, say

Gate = Callable[[Situation, Step], Refusal | None]
Verdict = tuple[Event, ...] | Refusal
"""What a command leads to."""


def is_stale(situation: Situation, command: Command) -> bool:
    """Whether the face had an older version on screen when the command was given."""
    return command.seen is not None and command.seen < situation.state.version


def find_target(situation: Situation, command: Command) -> Step | Refusal:
    """The step that the command means: the one it names, else the current one."""
    if command.step is not None:
        named = situation.index.steps.get(command.step)
        return named if named is not None else refuse_unknown_step(situation, command.step)
    if is_stale(situation, command):
        return refuse_stale()
    if is_complete(situation.state, situation.plan):
        return refuse_complete()
    current = situation.current()
    return current if current is not None else refuse_nothing_ready(situation)


def pass_gates(situation: Situation, step: Step, gates: tuple[Gate, ...]) -> Refusal | None:
    """The first refusal of several gates."""
    for gate in gates:
        refusal = gate(situation, step)
        if refusal is not None:
            return refusal
    return None


def check_needs(situation: Situation, step: Step) -> Refusal | None:
    """All that stands before the step is done."""
    needs = open_needs(situation.state, situation.plan, step)
    return refuse_needs(situation, step, needs) if needs else None


def check_waits(situation: Situation, step: Step) -> Refusal | None:
    """Every least-wait before the step is over."""
    waits = pending_waits(situation.state, situation.plan, step, situation.now_s)
    return refuse_waiting(situation, waits[0]) if waits else None


def check_joints(situation: Situation, step: Step) -> Refusal | None:
    """No glue is open, or this step helps to close it."""
    joint = joint_in_the_way(situation.state, situation.plan, step.id)
    return refuse_joint(situation, joint) if joint is not None else None


def late_joint(situation: Situation, step: Step) -> Timer | None:
    """The open-time timer that this step would close too late."""
    for wait in situation.index.waits_before.get(step.id, ()):
        if wait.kind is WaitKind.OPEN:
            timer = timer_of(situation.state, wait)
            if timer is not None and timer.due_s < situation.now_s:
                return timer
    return None


def check_open_time(situation: Situation, step: Step) -> Refusal | None:
    """The joint is closed in time, or the person said that it was."""
    timer = late_joint(situation, step)
    if timer is None or (step.id, OPEN_TIME) in situation.state.accepted:
        return None
    return refuse_late(situation, timer)


def check_put_off(situation: Situation, step: Step) -> Refusal | None:
    """The step is begun in time, or the person said that it may be done all the same."""
    timer = put_off_too_long(situation.state, situation.plan, step.id, situation.now_s)
    if timer is None or (step.id, PUT_OFF) in situation.state.accepted:
        return None
    return refuse_put_off(situation, timer)


def required_cautions(situation: Situation, step: Step) -> tuple[str, ...]:
    """Ids of the cautions that must be answered before the step."""
    return tuple(c.id for c in situation.kind_of(step).cautions if c.must_ack)


def check_cautions(situation: Situation, step: Step) -> Refusal | None:
    """Every caution that must be answered is answered."""
    if not required_cautions(situation, step) or step.id in situation.state.acknowledged:
        return None
    return refuse_caution(situation, step)


def number_checks(situation: Situation, step: Step) -> dict[str, tuple[Check, Length]]:
    """The step's checks that ask for a number, by name, with what the plan expects."""
    checks = situation.kind_of(step).checks
    return {check.name: (check, check.value) for check in checks if check.value is not None}


def find_check(situation: Situation, step: Step, name: str) -> tuple[Check, Length] | Refusal:
    """The step's check of that name and its planned value."""
    checks = number_checks(situation, step)
    if name not in checks:
        return refuse_unknown_measure(situation, step, name, list(checks))
    return checks[name]


def check_measures(situation: Situation, step: Step) -> Refusal | None:
    """Every number is read, and lies within its tolerance or is accepted."""
    for check, expected in number_checks(situation, step).values():
        key = (step.id, check.name)
        reading = situation.state.readings.get(key)
        if reading is None:
            return refuse_unmeasured(situation, check, expected)
        if not reading.within and key not in situation.state.accepted:
            return refuse_deviation(situation, check, expected, reading)
    return None


def check_air(situation: Situation, step: Step) -> Refusal | None:
    """Glue is spread only in air that the plan was made for; no plan fits where they differ."""
    state, planned = situation.state, situation.plan.conditions
    if situation.kind_of(step).role is not GlueRole.SPREAD or state.temperature_c is None:
        return None
    if (state.temperature_c, state.humidity_percent) == (
        planned.temperature_c,
        planned.humidity_percent,
    ):
        return None
    return Refusal(
        say(
            "The air was noted as {temperature_c} and {humidity_percent} %, and "
            "the plan is not made for it: spread no glue. Warm the shop, the wood and the glue, "
            "then note the air again.",
            temperature_c=both_scales(state.temperature_c or 0),
            humidity_percent=figure(state.humidity_percent or 0, "g"),
        ),
        "wrong_air",
        say("In words: `conditions 18C 55%`."),
    )


BEFORE_TAKING: tuple[Gate, ...] = (check_needs, check_waits)
# Open glue cannot wait, so it is named before any wait.
BEFORE_WORK: tuple[Gate, ...] = (check_needs, check_joints, check_waits)
BEFORE_SPREADING: tuple[Gate, ...] = (
    *BEFORE_WORK,
    check_air,
    check_room,
    check_label,
    check_cautions,
)
BEFORE_FINISHING: tuple[Gate, ...] = (
    *BEFORE_WORK,
    check_open_time,
    check_put_off,
    check_air,
    check_room,
    check_label,
    check_cautions,
    check_measures,
)
