"""Where one step of one unit stands, and what takes it from there to where.

The table below is what ``DEVELOPERS.md`` shows; a test drives every row through ``decide``. The
batch as a whole is running, held, complete or stopped: the words of the batch-control standards
(IEC 61512, ANSI/ISA-88, from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from shopstep.model.plan import Plan
from shopstep.session.flow import (
    index_plan,
    is_complete,
    joint_in_the_way,
    open_needs,
    pending_waits,
)
from shopstep.session.state import State


class Status(StrEnum):
    """Where a step stands."""

    AHEAD = "ahead"
    WAITING = "waiting"
    READY = "ready"
    AT_BENCH = "at the bench"
    HELD = "held"
    SET_ASIDE = "set aside"
    DONE = "done"
    AGAIN = "to be made again"


MEANINGS = {
    Status.AHEAD: "something it needs is not done, or glue is open elsewhere",
    Status.WAITING: "all it needs is done, and glue or paint takes its time; its end is known",
    Status.READY: "could be taken now",
    Status.AT_BENCH: "the card shows it; its caution first, where it has one",
    Status.HELD: "at the bench, and the batch is on hold",
    Status.SET_ASIDE: "comes back when nothing else is left, and before the batch is complete",
    Status.DONE: "finished, with its time",
    Status.AGAIN: "was done, and what it made was spoiled; waits for the new pieces",
}


class BatchStatus(StrEnum):
    """Where the batch stands."""

    RUNNING = "running"
    HELD = "held"
    COMPLETE = "complete"
    STOPPED = "stopped"


@dataclass(frozen=True, slots=True)
class Standing:
    """A step's status, and until when it waits (seconds since 1970 UTC)."""

    status: Status
    until_s: int | None = None


def step_standing(state: State, plan: Plan, step_id: str, now_s: int) -> Standing:
    """Where a step of the plan stands at a moment; KeyError for a step that is not in it."""
    step = index_plan(plan).steps[step_id]
    if step_id in state.finished:
        return Standing(Status.DONE)
    if step_id == state.at_bench:
        return Standing(Status.AT_BENCH if state.held_since is None else Status.HELD)
    if step_id in state.aside:
        return Standing(Status.SET_ASIDE)
    if step_id in state.again and open_needs(state, plan, step):
        return Standing(Status.AGAIN)
    if open_needs(state, plan, step) or joint_in_the_way(state, plan, step_id) is not None:
        return Standing(Status.AHEAD)
    waits = pending_waits(state, plan, step, now_s)
    return Standing(Status.WAITING, waits[0].due_s) if waits else Standing(Status.READY)


def batch_status(state: State, plan: Plan) -> BatchStatus:
    """Where the batch stands."""
    if state.stopped_s is not None:
        return BatchStatus.STOPPED
    if is_complete(state, plan):
        return BatchStatus.COMPLETE
    return BatchStatus.RUNNING if state.held_since is None else BatchStatus.HELD


@dataclass(frozen=True, slots=True)
class Transition:
    """One way from a status to another."""

    before: Status
    by: str
    """The command, or what passes by itself."""
    after: Status
    where: str = ""
    """The condition; empty where there is none."""


TRANSITIONS = (
    Transition(Status.AHEAD, "the last need is done", Status.READY, "no wait runs"),
    Transition(Status.AHEAD, "the last need is done", Status.WAITING, "a wait begins with it"),
    Transition(Status.AHEAD, "the open joint is closed", Status.READY),
    Transition(Status.WAITING, "the wait ends", Status.READY),
    Transition(Status.READY, "take", Status.AT_BENCH, "no glue is open elsewhere"),
    Transition(Status.READY, "it is next", Status.AT_BENCH, "the bench is free"),
    Transition(Status.READY, "aside", Status.SET_ASIDE, "no glue is open"),
    Transition(Status.READY, "glue is spread elsewhere", Status.AHEAD),
    Transition(Status.AT_BENCH, "done", Status.DONE, "cautions answered, numbers in tolerance"),
    Transition(Status.AT_BENCH, "hold", Status.HELD),
    Transition(Status.AT_BENCH, "take of another", Status.READY),
    Transition(
        Status.AT_BENCH, "aside", Status.SET_ASIDE, "no glue is open, nothing to follow at once"
    ),
    Transition(
        Status.AT_BENCH, "a new plan", Status.AHEAD, "something comes before it, no glue is spread"
    ),
    Transition(Status.HELD, "resume", Status.AT_BENCH),
    Transition(Status.SET_ASIDE, "take", Status.AT_BENCH),
    Transition(Status.SET_ASIDE, "it is next", Status.AT_BENCH, "nothing else is left"),
    Transition(Status.DONE, "back", Status.AT_BENCH, "the last finished, nothing builds on it"),
    Transition(Status.DONE, "spoiled", Status.AGAIN, "with all that the piece is joined to"),
    Transition(Status.AGAIN, "the last need is done", Status.READY, "no wait runs"),
    Transition(Status.DONE, "scraped", Status.AT_BENCH, "it spread the glue that is late"),
)


def table_lines() -> list[str]:
    """The two tables as they stand in ``DEVELOPERS.md``."""
    lines = ["| state | meaning |", "|---|---|"]
    lines += [f"| {status} | {MEANINGS[status]} |" for status in Status]
    lines += ["", "| from | by | to | where |", "|---|---|---|---|"]
    lines += [f"| {t.before} | {t.by} | {t.after} | {t.where} |" for t in TRANSITIONS]
    return lines
