"""Interruptions of the work, read off the events alone: holds, and gaps where the lid was closed.

Nobody has to say that they go away. What is seen is that no entry was made for longer than the step
at the bench was planned to take, and for longer than a look away.
Imports ``model``, ``session`` and the summary's rule of what an interruption is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from shopstep.model.plan import Plan
from shopstep.present.summary import INTERRUPTED_S
from shopstep.session.events import BatchResumed, Envelope
from shopstep.session.evolve import evolve
from shopstep.session.flow import index_plan
from shopstep.session.state import State
from shopstep.units import format_span
from shopstep.words import say


@dataclass(frozen=True, slots=True)
class Pause:
    """Time before an entry in which nobody worked, as far as the entries tell."""

    seconds: int
    kind: str
    """``hold`` (ended by this entry), ``gap`` (a step lay at the bench) or ``wait`` (none did)."""

    @property
    def words(self) -> str:
        """The pause as the log tells it before the entry; a hold is told by its own entry."""
        span = format_span(self.seconds if self.seconds < 60 else self.seconds // 60 * 60)
        if self.kind == "wait":
            return say("after {span} with nothing at the bench", span=span)
        return say("after an interruption of {span}: no entry was made", span=span)


def with_pauses(
    envelopes: Iterable[Envelope], plan: Plan
) -> Iterator[tuple[Envelope, Pause | None]]:
    """Each entry with the pause that it ends; None where it ends none."""
    state = State()
    for envelope in envelopes:
        yield envelope, _pause_before(state, envelope, plan)
        state = evolve(state, envelope)


def _pause_before(state: State, envelope: Envelope, plan: Plan) -> Pause | None:
    at_s = max(envelope.moment.at_s, state.last_s)
    if state.held_since is not None:
        is_end = isinstance(envelope.event, BatchResumed)
        return Pause(at_s - state.held_since, "hold") if is_end else None
    gap_s = at_s - state.last_s
    if not state.version or gap_s < INTERRUPTED_S or gap_s <= _planned_s(state, plan):
        return None
    return Pause(gap_s, "gap" if state.at_bench else "wait")


def _planned_s(state: State, plan: Plan) -> int:
    """What the step at the bench was planned to take; 0 where there is none."""
    step = index_plan(plan).steps.get(state.at_bench or "")
    return step.duration_s if step is not None else 0
