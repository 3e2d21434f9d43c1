"""Decide: what follows from a command, as events, or why not, as a refusal. Pure.

Imports the plan from ``model``, and the other modules of this room. An empty tuple means that
nothing is to change.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from shopstep.model.plan import Plan
from shopstep.session import commands as c
from shopstep.session import events as e
from shopstep.session.answers import accept_deviation, acknowledge_caution, take_measure
from shopstep.session.around import NOBODY_SAYS, Around
from shopstep.session.endings import (
    closed_in_time,
    refuse_stopped,
    set_aside,
    spread_again,
    stop_batch,
)
from shopstep.session.flow import is_complete, open_joints
from shopstep.session.gates import Verdict
from shopstep.session.labels import read_label
from shopstep.session.moves import bring_next, finish_step, go_back, start_spreading, take_step
from shopstep.session.refusals import (
    refuse_complete,
    refuse_held,
    refuse_joint,
    refuse_unknown_step,
)
from shopstep.session.remakes import spoil_part
from shopstep.session.room import count_clamps, stay_until
from shopstep.session.situation import Situation
from shopstep.session.state import State
from shopstep.warmth import both_scales
from shopstep.words import figure, say

SERVICE = "service"
NOTE_KINDS = ("", "next_time", "to_get", SERVICE)
LONGEST_NOTE = 4000
"""Characters; more is no note."""
COLDEST_C, HOTTEST_C = -40.0, 60.0
"""Air outside this range is a slip of the finger (common practice, no source)."""


def decide(
    state: State,
    plan: Plan,
    command: c.Command,
    moment: e.Moment,
    around: Around = NOBODY_SAYS,
) -> Verdict:
    """The events that follow from a command at a moment, or the refusal; nothing is changed.

    A moment before the state's latest one counts as the latest one.
    """
    situation = Situation(state, plan, max(moment.at_s, state.last_s), around)
    if state.stopped_s is not None and not isinstance(command, c.TakeNote | c.StopBatch):
        return refuse_stopped(situation)
    if state.held_since is not None and not isinstance(command, _WHILE_HELD):
        return refuse_held(situation)
    return _HANDLERS[type(command)](situation, command)


def begin_batch(
    plan: Plan, title: str, plan_hash: str, build_digest: str, now_s: int
) -> tuple[e.Event, ...]:
    """The first events of a session: it is started, and its first step comes to the bench."""
    started = e.SessionStarted(title, plan_hash, build_digest)
    situation = Situation(State(), plan, now_s).after((started,))
    return (started, *bring_next(situation))


def _hold_batch(situation: Situation, command: c.HoldBatch) -> Verdict:
    if situation.state.held_since is not None:
        return ()
    if is_complete(situation.state, situation.plan):
        return refuse_complete()
    return (e.BatchHeld(command.reason),)


def _resume_batch(situation: Situation, command: c.ResumeBatch) -> Verdict:
    if situation.state.held_since is None:
        return ()
    resumed = e.BatchResumed()
    return (resumed, *bring_next(situation.after((resumed,))))


def _take_note(situation: Situation, command: c.TakeNote) -> Verdict:
    text = command.text.strip()
    if not text or len(text) > LONGEST_NOTE:
        return c.Refusal(
            say("A note has 1 to {longest_note} characters.", longest_note=LONGEST_NOTE),
            "bad_value",
        )
    if command.step is not None and command.step not in situation.index.steps:
        return refuse_unknown_step(situation, command.step)
    current = situation.current()
    if command.kind not in NOTE_KINDS:
        return c.Refusal(say("'{kind}' is no kind of note.", kind=command.kind), "bad_value")
    if command.kind == SERVICE:
        if not 1 <= command.unit <= situation.plan.units:
            return c.Refusal(
                say("This batch has no unit {command_unit}.", command_unit=command.unit),
                "bad_value",
            )
        return (e.NoteTaken("", text, SERVICE, command.unit),)
    step = command.step or (current.id if current is not None else "")
    return (e.NoteTaken(step, text, command.kind),)


def _note_conditions(situation: Situation, command: c.NoteConditions) -> Verdict:
    celsius, humidity = command.temperature_c, command.humidity_percent
    if not (math.isfinite(celsius) and COLDEST_C <= celsius <= HOTTEST_C):
        text = say(
            "{celsius} is no shop air; give {coldest_c} to {hottest_c}.",
            celsius=both_scales(celsius),
            coldest_c=both_scales(COLDEST_C),
            hottest_c=both_scales(HOTTEST_C),
        )
        return c.Refusal(text, "bad_value")
    if not (math.isfinite(humidity) and 1 <= humidity <= 100):
        return c.Refusal(
            say("{humidity} % is no humidity; give 1 to 100 %.", humidity=figure(humidity, "g")),
            "bad_value",
        )
    return (e.ConditionsNoted(float(celsius), float(humidity)),)


def _answer_clock(situation: Situation, command: c.AnswerClock) -> Verdict:
    """The workbench gives the moment that the answer makes true."""
    return (e.ClockAnswered(command.right),)


def _keep_plan(situation: Situation, command: c.KeepPlan) -> Verdict:
    if command.build_digest == situation.state.build_digest:
        return ()
    return (e.BuildChangeKept(command.build_digest),)


def _move_build(situation: Situation, command: c.MoveToBuild) -> Verdict:
    """Never while glue is open; the workbench stores the new plan with it, or nothing."""
    if command.build_digest == situation.state.build_digest:
        return ()
    if is_complete(situation.state, situation.plan):
        return refuse_complete()
    joints = open_joints(situation.state, situation.plan)
    if joints:
        return refuse_joint(situation, joints[0])
    return (e.BuildMoved(command.build_digest, command.texts),)


def _enter_ticks(situation: Situation, command: c.EnterTicks) -> Verdict:
    """Imported with the first such command: few sessions are entered from paper."""
    from shopstep.session.paper_ticks import enter_ticks

    return enter_ticks(situation, command)


# The command type is Any because each handler takes its own class of command.
_HANDLERS: dict[type[c.Command], Callable[[Situation, Any], Verdict]] = {
    c.FinishStep: finish_step,
    c.StartSpreading: start_spreading,
    c.AcknowledgeCaution: acknowledge_caution,
    c.GoBack: go_back,
    c.TakeStep: take_step,
    c.HoldBatch: _hold_batch,
    c.SetAside: set_aside,
    c.StopBatch: stop_batch,
    c.SpreadAgain: spread_again,
    c.ClosedInTime: closed_in_time,
    c.ResumeBatch: _resume_batch,
    c.TakeMeasure: take_measure,
    c.AcceptDeviation: accept_deviation,
    c.TakeNote: _take_note,
    c.NoteConditions: _note_conditions,
    c.KeepPlan: _keep_plan,
    c.MoveToBuild: _move_build,
    c.AnswerClock: _answer_clock,
    c.SpoilPart: spoil_part,
    c.StayUntil: stay_until,
    c.ReadLabel: read_label,
    c.CountClamps: count_clamps,
    c.EnterTicks: _enter_ticks,
}
_WHILE_HELD = (
    c.ResumeBatch,
    c.HoldBatch,
    c.StopBatch,
    c.TakeNote,
    c.KeepPlan,
    c.MoveToBuild,
    c.NoteConditions,
    c.AnswerClock,
    c.StayUntil,
    c.CountClamps,
    c.EnterTicks,
)
