"""Answers at the bench: cautions that are read, numbers that are measured or accepted.

Imports commands, events, gates and moves of this room, and the longest length of ``units``.
"""

from __future__ import annotations

from shopstep.model.step import Check, Step
from shopstep.session import commands as c
from shopstep.session import events as e
from shopstep.session.evolve import LATE, OPEN_TIME
from shopstep.session.flow import put_off_too_long
from shopstep.session.gates import (
    BEFORE_TAKING,
    Verdict,
    find_check,
    find_target,
    is_stale,
    late_joint,
    pass_gates,
    required_cautions,
)
from shopstep.session.moves import bring_step
from shopstep.session.refusals import (
    name_step,
    refuse_finished,
    refuse_gap_nowhere,
    refuse_long_gap,
    refuse_stale,
    refuse_unmeasured,
    refuse_where,
)
from shopstep.session.situation import Situation
from shopstep.session.trials import EVEN, PLACES, asks_where
from shopstep.units import LONGEST_NM
from shopstep.words import say


def acknowledge_caution(situation: Situation, command: c.AcknowledgeCaution) -> Verdict:
    """The cautions before the step are answered; only for a step that could be taken."""
    step = find_target(situation, command)
    if isinstance(step, c.Refusal):
        return step
    cautions = required_cautions(situation, step)
    answered = step.id in situation.state.acknowledged or step.id in situation.state.finished
    if answered or not cautions:
        return ()
    refusal = pass_gates(situation, step, BEFORE_TAKING)
    if refusal is not None:
        return refusal
    return (*bring_step(situation, step), e.CautionAcknowledged(step.id, cautions))


def take_measure(situation: Situation, command: c.TakeMeasure) -> Verdict:
    """A number is read off the work, inside its tolerance or not."""
    step = find_target(situation, command)
    if isinstance(step, c.Refusal):
        return step
    if step.id in situation.state.finished:
        return refuse_finished(situation, step)
    found = find_check(situation, step, command.name)
    if isinstance(found, c.Refusal):
        return found
    refusal = pass_gates(situation, step, BEFORE_TAKING)
    if refusal is not None:
        return refusal
    check, expected = found
    if abs(command.value.nm) > LONGEST_NM or command.value.nm < 0:
        text = say("That is no likely {check}; give a length such as 14 3/8 in.", check=check.text)
        return c.Refusal(text, "bad_value")
    within = abs(command.value - expected) <= check.tolerance
    unplaced = _check_place(situation, check, command, within)
    if unplaced is not None:
        return unplaced
    where = command.where if command.value else ""
    taken = e.MeasureTaken(step.id, check.name, command.value.nm, within, where)
    return (*bring_step(situation, step), taken)


def _check_place(
    situation: Situation, check: Check, command: c.TakeMeasure, within: bool
) -> c.Refusal | None:
    """A gap is somewhere, any other size nowhere; no gap is wider than its slope is long."""
    trial, where = check.trial, command.where
    if trial is None or not asks_where(check):
        return refuse_where(check, where) if where else None
    if where and where not in PLACES:
        return refuse_where(check, where)
    if not where and not within:
        return refuse_gap_nowhere(situation, check, command.value)
    if where != EVEN and trial.leg and command.value > trial.leg:
        return refuse_long_gap(situation, trial.leg, command.value)
    return None


def accept_deviation(situation: Situation, command: c.AcceptDeviation) -> Verdict:
    """Keeps a value; never one that the face had not yet seen."""
    if is_stale(situation, command):
        return refuse_stale()
    step = find_target(situation, command)
    if isinstance(step, c.Refusal):
        return step
    if step.id in situation.state.finished:
        return refuse_finished(situation, step)
    nothing = _nothing_to_accept(situation, step, command.name)
    if nothing is not None:
        return nothing
    return (e.DeviationAccepted(step.id, command.name, command.reason),)


def _nothing_to_accept(situation: Situation, step: Step, name: str) -> Verdict | None:
    state = situation.state
    if (step.id, name) in state.accepted:
        return ()
    if name in LATE:
        if _is_late(situation, step, name):
            return None
        text = say(
            "{step} is not late: there is nothing to accept.", step=name_step(situation, step.id)
        )
        return c.Refusal(text, "not_late")
    found = find_check(situation, step, name)
    if isinstance(found, c.Refusal):
        return found
    reading = state.readings.get((step.id, name))
    if reading is None:
        return refuse_unmeasured(situation, *found)
    return () if reading.within else None


def _is_late(situation: Situation, step: Step, name: str) -> bool:
    if name == OPEN_TIME:
        return late_joint(situation, step) is not None
    state, plan = situation.state, situation.plan
    return put_off_too_long(state, plan, step.id, situation.now_s) is not None
