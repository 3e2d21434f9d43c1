"""What every face needs of a running session; the real one is the workbench, tests bring a fake.

Imports the shapes of this room, ``session`` and ``model`` only.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from shopstep.model.plan import Plan
from shopstep.model.step import Step
from shopstep.present.card import StepCard
from shopstep.session.events import Envelope
from shopstep.session.state import State

if TYPE_CHECKING:
    from shopstep.session.commands import Command, Refusal


class Answer(Protocol):
    """A command was carried out and is on disk."""

    @property
    def card(self) -> StepCard:
        """What stands at the bench from now on."""
        ...


class Bench(Protocol):
    """One session, as seen from a face."""

    @property
    def plan(self) -> Plan:
        """The plan that is followed now: headlines of other steps, display unit, time zone."""
        ...

    @property
    def state(self) -> State:
        """What is true, as last read: for the summary of where the work stands."""
        ...

    def card(self) -> StepCard:
        """The card as of now."""
        ...

    def do(self, command: Command) -> Answer | Refusal:
        """Carry a command out; on disk on return, or refused with a sentence."""
        ...

    def better(self) -> StepCard | None:
        """The card under a better plan, where one was found since; told once, never waits."""
        ...

    def changes_since(self, version: int) -> tuple[Envelope, ...]:
        """Events newer than ``version``, from whichever face."""
        ...

    def now_s(self) -> int:
        """Seconds since 1970 UTC."""
        ...

    def ahead(self) -> Plan:
        """The plan with times from now on, not stored; PlanRefused where there is none."""
        ...

    def ready(self) -> tuple[Step, ...]:
        """Steps that could be taken now, in plan order."""
        ...
