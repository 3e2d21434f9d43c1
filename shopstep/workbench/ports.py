"""What the door of a running session needs, as protocols; ``wiring`` injects the real ones."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from shopstep.model.plan import Conditions, Plan, PlanRequest, Shop
from shopstep.present.card import StepCard
from shopstep.session.around import Around
from shopstep.session.events import Envelope, Event, Moment
from shopstep.session.state import State

if TYPE_CHECKING:
    from shopstep.model.better import Better
    from shopstep.model.resources import ClampSet


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

    def events_of(self, command_id: str) -> tuple[Envelope, ...]:
        """What is stored for a command; empty where it is not."""
        ...

    def snapshot(self) -> State | None:
        """A state that was kept as a shortcut, to go on from; None where there is none."""
        ...

    def keep_snapshot(self, state: State) -> None:
        """Keep a state as a shortcut; never fails."""
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
        self,
        request: PlanRequest,
        plan: Plan,
        finished: Mapping[str, tuple[int, int]],
        begin_s: int,
    ) -> Plan:
        """A plan for the rest; ids of steps stay; PlanRefused when there is none.

        ``finished``: real start and end (seconds since 1970 UTC) of what is done.
        """
        ...

    def retime(
        self, plan: Plan, shop: Shop, finished: Mapping[str, tuple[int, int]], begin_s: int
    ) -> Plan:
        """The same steps with new times, at once; PlanRefused when there are none."""
        ...


@dataclass(frozen=True, slots=True)
class BetterAsked:
    """A plan in progress that may be made better, and what is true of it."""

    plan: Plan
    shop: Shop
    finished: Mapping[str, tuple[int, int]]
    """Real start and end (seconds since 1970 UTC) of what is done."""
    at_bench: str
    """The step that the card shows: nothing is put before it; empty: none."""
    seed: int


class Improver(Protocol):
    """Looks for a better order of a plan in progress, beside the bench and never in its way."""

    @property
    def is_busy(self) -> bool:
        """Whether an answer may still come."""
        ...

    def ask(self, asked: BetterAsked) -> None:
        """Begin, and return at once; a question still open is given up."""
        ...

    def answer(self) -> Better | None:
        """What was found, once; None while nothing was. Never waits."""
        ...

    def stop(self) -> None:
        """Give up whatever is under way; nothing is left running."""
        ...


class Surroundings(Protocol):
    """The shop around the bench: hours, clamps, air and stock."""

    def look(self, now_s: int) -> Around:
        """What they are at a moment (seconds since 1970 UTC); None in it where nobody says."""
        ...

    def air(self) -> Conditions | None:
        """What a thermometer says just now; None where nobody reads one."""
        ...

    def clamps_elsewhere(self) -> tuple[ClampSet, ...]:
        """The clamps that hold joints of other batches; asked before glue goes on only."""
        ...


class NoSurroundings:
    """Nobody says anything about the shop."""

    def look(self, now_s: int) -> Around:
        """Nothing."""
        del now_s
        return Around()

    def air(self) -> Conditions | None:
        """Nothing."""
        return None

    def clamps_elsewhere(self) -> tuple[ClampSet, ...]:
        """None."""
        return ()


class Alarm(Protocol):
    """Makes itself heard; the screen never relies on it."""

    def sound(self, name: str) -> bool:
        """Begin the alarm of that name, ``due``, ``half`` or ``late``; False where it cannot.

        Never waits and never raises.
        """
        ...


@dataclass(frozen=True, slots=True)
class Accepted:
    """A command that was carried out, or that changed nothing."""

    card: StepCard
    """The card after it."""
    envelopes: tuple[Envelope, ...]
    """What was stored for it; empty when nothing changed."""
