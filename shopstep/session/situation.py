"""A situation: state, plan and time together, as every decision looks at them.

Imports the plan from ``model``, and state, evolve and flow of this room.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from shopstep.model.plan import Plan
from shopstep.model.step import Step, StepKind
from shopstep.session.around import NOBODY_SAYS, Around
from shopstep.session.events import Envelope, Event, Moment
from shopstep.session.evolve import evolve
from shopstep.session.flow import PlanIndex, current_step, index_plan
from shopstep.session.state import State


@dataclass(frozen=True, slots=True)
class Situation:
    """What is true, what is planned, and what time it is."""

    state: State
    plan: Plan
    now_s: int
    """Seconds since 1970 UTC, never before the state's latest moment."""
    around: Around = NOBODY_SAYS
    """What the shop around the bench allows."""

    @property
    def index(self) -> PlanIndex:
        """Look-ups into the plan."""
        return index_plan(self.plan)

    def kind_of(self, step: Step) -> StepKind:
        """The words and facts of a step."""
        return self.index.kind_of(step)

    def current(self) -> Step | None:
        """The step that a command without a step means."""
        return current_step(self.state, self.plan, self.now_s)

    def after(self, events: Iterable[Event]) -> Situation:
        """The situation once these events were stored, for looking ahead."""
        state = self.state
        moment = Moment(self.now_s, self.plan.zone, "", 0)
        for event in events:
            state = evolve(state, Envelope(state.version + 1, event, moment, "", ""))
        return replace(self, state=state)
