"""A bench whose new plans are made better afterwards, beside the work and never in its way.

A plan that was made anew at the bench keeps its old order, so that its card stands at once. An
``Improver`` then looks for a better order; ``better`` is polled and takes one only where it starts
from the session as it stands, leaves the card alone, and is worth the change. Imports the bench,
``present`` for days and ``session`` for the card's step.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from shopstep.model.plan import Plan
from shopstep.present.card import StepCard
from shopstep.session.events import Event, Moment, PlanRevised
from shopstep.session.flow import current_step, is_complete, open_joints
from shopstep.session.revision import describe_revision
from shopstep.workbench.bench import Workbench
from shopstep.workbench.ports import (
    BetterAsked,
    Clock,
    Improver,
    Journal,
    Planner,
    Surroundings,
    VersionTaken,
)

if TYPE_CHECKING:
    from shopstep.model.better import Better

PASSING_FACE = "do"
"""The face of one command, gone before anything better is found: who stays looks for it."""
TRIES = 3
"""How often one plan is looked at anew because the session moved on meanwhile."""


@dataclass(frozen=True, slots=True)
class _Owed:
    """A new plan that may be made better."""

    number: int
    tries: int
    """How many are left."""
    version: int | None = None
    """The version of the session that was asked about; None: nothing is asked yet."""


class BetteringBench(Workbench):
    """A ``Workbench`` with an improver; without one it is a plain ``Workbench``."""

    def __init__(
        self,
        journal: Journal,
        clock: Clock,
        face: str,
        planner: Planner | None = None,
        surroundings: Surroundings | None = None,
        improver: Improver | None = None,
    ) -> None:
        super().__init__(journal, clock, face, planner, surroundings)
        self._improver = improver
        self._owed: _Owed | None = None
        self._seen = (self._state.version, self._plan_number)

    def better(self) -> StepCard | None:
        """The card under a better plan, told once; None while there is none. Never waits."""
        if self._improver is None:
            return None
        self._reload()
        self._notice_passing()
        if self._owed is None:
            return None
        if self._owed.number != self._plan_number:
            self._give_up(self._improver)
        elif self._owed.version is None:
            self._ask(self._improver, self._owed)
        elif self._owed.version != self._state.version:
            self._improver.stop()
            self._owed = _Owed(self._owed.number, self._owed.tries - 1)
        else:
            return self._look(self._improver)
        return None

    def stop_bettering(self) -> None:
        """Give up what is looked for; nothing is left running."""
        if self._improver is not None:
            self._give_up(self._improver)

    def _append(
        self,
        events: tuple[Event, ...],
        moment: Moment,
        command_id: str,
        plan: Plan | None = None,
    ) -> None:
        super()._append(events, moment, command_id, plan)
        if plan is not None:
            self._owed = _Owed(self._plan_number, TRIES)

    def _notice_passing(self) -> None:
        """A plan that one command made meanwhile is looked at as one of its own."""
        (version, number), self._seen = self._seen, (self._state.version, self._plan_number)
        if number == self._plan_number:
            return
        passing = [
            envelope.event
            for envelope in self._journal.events_after(version)
            if envelope.face == PASSING_FACE
        ]
        if any(isinstance(e, PlanRevised) and e.number == self._plan_number for e in passing):
            self._owed = _Owed(self._plan_number, TRIES)

    def _give_up(self, improver: Improver) -> None:
        improver.stop()
        self._owed = None

    def _ask(self, improver: Improver, owed: _Owed) -> None:
        """Asks, unless open glue has the person's whole eye, or nothing more is to be planned."""
        state, plan = self._state, self._plan
        if open_joints(state, plan) or self._told.is_doubtful:
            return
        if owed.tries <= 0 or state.stopped_s is not None or is_complete(state, plan):
            self._owed = None
            return
        step = current_step(state, plan, self.now_s())
        self._owed = replace(owed, version=state.version)
        shop, seed = self._request.shop, self._request.seed
        at_bench = "" if step is None else step.id
        improver.ask(BetterAsked(plan, shop, self._moments(), at_bench, seed))

    def _look(self, improver: Improver) -> StepCard | None:
        is_over = not improver.is_busy
        found = improver.answer()
        if found is None and not is_over:
            return None
        self._owed = None
        return None if found is None else self._take(found)

    def _take(self, found: Better) -> StepCard | None:
        """Stores the better plan in one transaction; None where it cannot be taken any more."""
        from shopstep.workbench.better_words import better_words

        old, new = self._plan, replace(self._plan, steps=found.steps)
        now_s = self.now_s()
        before, after = (current_step(self._state, plan, now_s) for plan in (old, new))
        if (before and before.id) != (after and after.id):
            return None
        said = better_words(found.gain, new)
        revised = describe_revision(self._state, old, new, _as_reason(said))
        if revised.voided or revised.added or revised.returned:
            return None
        command_id = f"{self._state.version}/better plan"
        try:
            super()._append((replace(revised, only_times=True),), self._moment(), command_id, new)
        except VersionTaken:
            return None
        return self._show(said)


def _as_reason(said: str) -> str:
    """The sentence as it stands behind "plan 3 took over:" in the log."""
    return f"{said[0].lower()}{said[1:].removesuffix('.')}"
