"""Steps set aside, the batch stopped for good, and glue that was closed late.

Imports the plan from ``model``, and commands, events, gates and flow of this room.
"""

from __future__ import annotations

import re
from datetime import datetime

from shopstep.model.step import GlueRole, Step
from shopstep.session import commands as c
from shopstep.session import events as e
from shopstep.session.evolve import OPEN_TIME
from shopstep.session.flow import open_joints
from shopstep.session.gates import BEFORE_TAKING, Verdict, find_target, late_joint, pass_gates
from shopstep.session.moves import bring_next
from shopstep.session.refusals import name_step, refuse_complete, refuse_finished, refuse_joint
from shopstep.session.situation import Situation
from shopstep.session.timers import local_clock, zone_of
from shopstep.words import say

LONGEST_REASON = 200
"""Characters."""


def set_aside(situation: Situation, command: c.SetAside) -> Verdict:
    """The step waits until nothing else is left; others come to the bench meanwhile.

    Not while glue is open, and not what must follow the step before at once.
    """
    step = find_target(situation, command)
    if isinstance(step, c.Refusal):
        return step
    if step.id in situation.state.finished:
        return refuse_finished(situation, step)
    if step.id in situation.state.aside and step.id != situation.state.at_bench:
        return ()
    refusal = pass_gates(situation, step, BEFORE_TAKING) or _cannot_wait(situation, step)
    if refusal is not None:
        return refusal
    aside = e.StepSetAside(step.id, command.reason.strip()[:LONGEST_REASON])
    return (aside, *bring_next(situation.after((aside,))))


def _cannot_wait(situation: Situation, step: Step) -> c.Refusal | None:
    joints = open_joints(situation.state, situation.plan)
    if joints:
        return refuse_joint(situation, joints[0])
    if step.behind is not None and step.behind in situation.state.finished:
        name, before = name_step(situation, step.id), name_step(situation, step.behind)
        text = say(
            "{name} follows {before} at once and cannot be set aside. Do it, or hold.",
            name=name,
            before=before,
        )
        return c.Refusal(text, "at_once")
    return None


def stop_batch(situation: Situation, command: c.StopBatch) -> Verdict:
    """The batch ends without being complete; asked twice, because there is no way back."""
    state = situation.state
    if state.stopped_s is not None:
        return ()
    if state.completed_s is not None:
        return refuse_complete()
    joints = open_joints(state, situation.plan)
    if joints:
        return refuse_joint(situation, joints[0])
    if not command.sure:
        left = sum(1 for step in situation.plan.steps if step.id not in state.finished)
        return c.Refusal(
            say(
                "Stopping ends this batch for good with {left} steps left; a hold keeps them. Say "
                "it again to stop.",
                left=left,
            ),
            "sure",
            say("In words: `stop yes [REASON]`."),
        )
    return (e.BatchStopped(command.reason.strip()[:LONGEST_REASON]),)


def refuse_stopped(situation: Situation) -> c.Refusal:
    """When anything but a note is asked of a batch that was stopped."""
    reason = situation.state.stopped_reason
    because = f" ({reason})" if reason else ""
    text = say(
        "This batch was stopped{because}. The log holds what was done; begin a new one.",
        because=because,
    )
    return c.Refusal(text, "stopped")


def spread_again(situation: Situation, command: c.SpreadAgain) -> Verdict:
    """Late glue is scraped off: spreading, and all that was done since for this joint, is open.

    Meant for the step that closes the joint, or for any step while that joint is open.
    """
    joints = open_joints(situation.state, situation.plan)
    meant = [j for j in joints if command.step in (None, j.wait.after, j.wait.before)]
    joint = next(iter(meant or joints), None)
    if joint is None:
        return c.Refusal(say("No glue is open, so there is none to scrape off."), "no_glue")
    spread = joint.wait.after
    index = situation.index
    since = [
        step_id
        for step_id in situation.state.finished
        if step_id in index.steps and spread in index.way_to(step_id)
    ]
    later = e.GlueScraped(spread, tuple(since))
    return (later, *bring_next(situation.after((later,))))


def closed_in_time(situation: Situation, command: c.ClosedInTime) -> Verdict:
    """The joint was closed at a moment that is told: between the first glue and its last moment."""
    step = find_target(situation, command)
    if isinstance(step, c.Refusal):
        return step
    if step.id in situation.state.finished:
        return refuse_finished(situation, step)
    joint = late_joint(situation, step)
    if joint is None or situation.kind_of(step).role is not GlueRole.CLOSE:
        return c.Refusal(
            say("{step} closes no glue late.", step=name_step(situation, step.id)), "no_glue"
        )
    at_s = moment_of(command.clock, situation.now_s, situation.plan.zone)
    if at_s is None or not joint.started_s // 60 * 60 <= at_s <= joint.due_s:
        first, last = (
            local_clock(moment_s // 60 * 60, situation.now_s, situation.plan.zone)
            for moment_s in (joint.started_s, joint.due_s)
        )
        text = say(
            "The glue was spread at {first} and good until {last}; name a time between them.",
            first=first,
            last=last,
        )
        return c.Refusal(text, "bad_value")
    return (
        e.DeviationAccepted(
            step.id, OPEN_TIME, say("closed in time, at {clock}", clock=command.clock)
        ),
    )


def moment_of(clock: str, now_s: int, zone: str) -> int | None:
    """The latest moment, not after now, at which the local time was ``HH:MM``; None for no time."""
    match = re.fullmatch(r"(\d{1,2}):(\d{2})", clock.strip())
    if match is None or int(match.group(1)) > 23 or int(match.group(2)) > 59:
        return None
    now = datetime.fromtimestamp(now_s, zone_of(zone))
    at = now.replace(hour=int(match.group(1)), minute=int(match.group(2)), second=0)
    at_s = int(at.timestamp())
    return at_s if at_s <= now_s else at_s - 86400
