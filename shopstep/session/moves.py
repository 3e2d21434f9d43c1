"""Moves at the bench: spreading, finishing, going back, and which step comes next.

Imports the plan from ``model``, and commands, events, gates and flow of this room.
"""

from __future__ import annotations

from shopstep.model.step import GlueRole, Step
from shopstep.session import commands as c
from shopstep.session import events as e
from shopstep.session.flow import (
    following_step,
    is_complete,
    joint_in_the_way,
    ready_steps,
    step_at_bench,
)
from shopstep.session.gates import (
    BEFORE_FINISHING,
    BEFORE_SPREADING,
    BEFORE_WORK,
    Verdict,
    find_target,
    is_stale,
    pass_gates,
)
from shopstep.session.refusals import (
    name_step,
    refuse_finished,
    refuse_stale,
    refuse_unknown_step,
)
from shopstep.session.room import check_room
from shopstep.session.situation import Situation
from shopstep.words import say


def bring_next(situation: Situation) -> tuple[e.Event, ...]:
    """The next step comes to the bench, unless there stands one that can go on."""
    state, plan = situation.state, situation.plan
    bench = step_at_bench(state, plan)
    if bench is not None and joint_in_the_way(state, plan, bench.id) is None:
        return ()
    following = following_step(state, plan, situation.now_s)
    if following is None or joint_in_the_way(state, plan, following.id) is not None:
        return ()
    return (e.StepBegun(_with_room(situation, following).id),)


def _with_room(situation: Situation, following: Step) -> Step:
    """The step itself; or, where its glue could not be closed in time, another one meanwhile."""
    if check_room(situation, following) is None:
        return following
    state = situation.state
    others = (
        step
        for step in ready_steps(state, situation.plan, situation.now_s)
        if step.id not in state.aside and check_room(situation, step) is None
    )
    return next(others, following)


def bring_step(situation: Situation, step: Step) -> tuple[e.Event, ...]:
    """The step comes to an empty bench when work on it shows that it is there."""
    if step_at_bench(situation.state, situation.plan) is not None or step != situation.current():
        return ()
    return (e.StepBegun(step.id),)


def finish_step(situation: Situation, command: c.FinishStep) -> Verdict:
    """The step is done, its glue counts as spread, and the next step comes to the bench."""
    if command.step is not None and command.step in situation.state.finished:
        return ()
    step = find_target(situation, command)
    if isinstance(step, c.Refusal):
        return step
    refusal = pass_gates(situation, step, BEFORE_FINISHING)
    return refusal if refusal is not None else _events_of_finishing(situation, step)


def _events_of_finishing(situation: Situation, step: Step) -> tuple[e.Event, ...]:
    done = e.StepFinished(step.id, _seconds_spent(situation, step))
    events = (*_glue_untold(situation, step), done)
    later = situation.after(events)
    if is_complete(later.state, later.plan):
        return (*events, e.BatchCompleted())
    return (*events, *bring_next(later))


def _seconds_spent(situation: Situation, step: Step) -> int:
    state = situation.state
    if state.at_bench != step.id or step.id not in state.begun:
        return 0
    return max(0, situation.now_s - state.begun[step.id] - state.idle_s)


def _glue_untold(situation: Situation, step: Step) -> tuple[e.Event, ...]:
    """Glue that was spread without a word: open since the earliest moment that is likely."""
    kind = situation.kind_of(step)
    if kind.role is not GlueRole.SPREAD or step.id in situation.state.spread:
        return ()
    begun_s = situation.state.begun.get(step.id, _ready_since(situation, step))
    since_s = max(begun_s, situation.now_s - kind.duration_s)
    return (e.GlueSpread(step.id, since_s, told=False),)


def _ready_since(situation: Situation, step: Step) -> int:
    """When the last thing that the step had to wait for was over."""
    finished = situation.state.finished
    moments = [finished[need] for need in step.needs if need in finished]
    for wait in situation.index.waits_before.get(step.id, ()):
        if wait.is_least and wait.after in finished:
            moments.append(finished[wait.after] + wait.seconds)
    return min(max(moments, default=situation.state.started_s), situation.now_s)


def start_spreading(situation: Situation, command: c.StartSpreading) -> Verdict:
    """Glue goes on now: open time counts from this moment.

    Glue that is on already is spread anew only after going back to the step: then it was scraped.
    """
    step = find_target(situation, command)
    if isinstance(step, c.Refusal):
        return step
    if situation.kind_of(step).role is not GlueRole.SPREAD:
        return c.Refusal(
            say("{step} spreads no glue.", step=name_step(situation, step.id)), "no_glue"
        )
    state = situation.state
    if step.id in state.finished or (step.id in state.spread and step.id not in state.reopened):
        return ()
    refusal = pass_gates(situation, step, BEFORE_SPREADING)
    if refusal is not None:
        return refusal
    moved = () if situation.state.at_bench == step.id else (e.StepBegun(step.id),)
    return (*moved, e.GlueSpread(step.id, situation.now_s, told=True))


def go_back(situation: Situation, command: c.GoBack) -> Verdict:
    """Takes back the last finished step; a tap on an older card takes back nothing."""
    index = situation.index
    done = [step_id for step_id in situation.state.finished if step_id in index.steps]
    current = situation.current()
    meant = {None, done[-1] if done else None, current.id if current is not None else None}
    if is_stale(situation, command) or command.step not in meant:
        return refuse_stale()
    if not done:
        return c.Refusal(say("Nothing is finished yet, so there is no way back."), "nothing_back")
    later = [d for d in index.dependents.get(done[-1], ()) if d in situation.state.finished]
    if later:
        name, after = name_step(situation, done[-1]), name_step(situation, later[0])
        text = say(
            "{name} cannot be opened again: {after} builds on it and is finished.",
            name=name,
            after=after,
        )
        return c.Refusal(text, "needs_open")
    return (e.StepReopened(done[-1]),)


def take_step(situation: Situation, command: c.TakeStep) -> Verdict:
    """Another step comes to the bench, if nothing keeps it."""
    step = situation.index.steps.get(command.step) if command.step is not None else None
    if step is None:
        return refuse_unknown_step(situation, command.step)
    if step.id in situation.state.finished:
        return refuse_finished(situation, step)
    if step.id == situation.state.at_bench:
        return ()
    refusal = pass_gates(situation, step, BEFORE_WORK)
    return refusal if refusal is not None else (e.StepBegun(step.id),)
