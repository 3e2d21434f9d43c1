"""The door of a running session: card(), do(command), changes_since(version).

Declares what it needs as protocols; ``wiring`` injects the real ones, tests inject fakes.
"""

from __future__ import annotations

from typing import Protocol

from shopstep.model.plan import Plan, PlanRequest
from shopstep.session.events import Envelope, Event, Moment


class Clock(Protocol):
    """Where the time comes from."""

    def now(self) -> Moment:
        """This moment: aware UTC, local zone, boot id and monotonic time."""
        ...


class VersionTaken(Exception):
    """Somebody else wrote first; read again and decide anew."""


class Journal(Protocol):
    """One session on disk."""

    def request(self) -> PlanRequest:
        """What the first plan was made from."""
        ...

    def plan(self, number: int) -> Plan:
        """A stored plan by its number."""
        ...

    def events_after(self, version: int) -> tuple[Envelope, ...]:
        """All stored events with a higher version, in order."""
        ...

    def append(
        self,
        expected_version: int,
        events: tuple[Event, ...],
        moment: Moment,
        face: str,
        command_id: str,
        plan: Plan | None = None,
    ) -> tuple[Envelope, ...]:
        """Store events (and the plan of a PlanRevised) in one transaction; on disk on return.

        Raises VersionTaken when the session's newest version is not ``expected_version``.
        """
        ...


class Planner(Protocol):
    """Makes a new plan from what became known."""

    def revise(
        self, request: PlanRequest, plan: Plan, finished: frozenset[str], begin_s: int
    ) -> Plan:
        """A plan for the rest; ids of steps stay; PlanRefused when there is none."""
        ...


class Alarm(Protocol):
    """Makes itself heard; the screen never relies on it."""

    def sound(self, name: str) -> None:
        """Sound the alarm of that name: ``due``, ``half``, ``late``."""
        ...
