"""Events: what is true from now on. Past-tense names; the body is plain JSON values.

Each class has a ``kind`` under which it is stored and a ``schema`` number; never an import path.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from shopstep.model.resources import ClampSet


@dataclass(frozen=True, slots=True)
class Event:
    """What every event is; the moment stands in its envelope."""

    kind: ClassVar[str] = ""
    schema: ClassVar[int] = 1


@dataclass(frozen=True, slots=True)
class SessionStarted(Event):
    """A batch was begun with plan number 1."""

    kind: ClassVar[str] = "session_started"
    title: str
    plan_hash: str
    build_digest: str
    """SHA-256 of the build file's text, to notice a change later."""


@dataclass(frozen=True, slots=True)
class StepBegun(Event):
    """The step came to the bench."""

    kind: ClassVar[str] = "step_begun"
    step: str


@dataclass(frozen=True, slots=True)
class CautionAcknowledged(Event):
    """The caution cards before the step were answered."""

    kind: ClassVar[str] = "caution_acknowledged"
    step: str
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class GlueSpread(Event):
    """Glue was spread; open time counts from ``since_s`` (seconds since 1970 UTC)."""

    kind: ClassVar[str] = "glue_spread"
    step: str
    since_s: int
    told: bool
    """True: the person said when; False: taken from the plan's time for spreading."""


@dataclass(frozen=True, slots=True)
class StepFinished(Event):
    """The step is done."""

    kind: ClassVar[str] = "step_finished"
    step: str
    spent_s: int
    """Seconds at the bench, without holds."""
    told_s: int = 0
    """When it was finished, where that is told only now (ticked on paper); 0: at this moment."""


@dataclass(frozen=True, slots=True)
class StepReopened(Event):
    """A finished step is open again."""

    kind: ClassVar[str] = "step_reopened"
    step: str


@dataclass(frozen=True, slots=True)
class BatchHeld(Event):
    """Work stopped for now."""

    kind: ClassVar[str] = "batch_held"
    reason: str


@dataclass(frozen=True, slots=True)
class BatchResumed(Event):
    """Work was taken up again."""

    kind: ClassVar[str] = "batch_resumed"


@dataclass(frozen=True, slots=True)
class MeasureTaken(Event):
    """A number was read off the work."""

    kind: ClassVar[str] = "measure_taken"
    step: str
    name: str
    nm: int
    within: bool
    """Whether it lay inside the tolerance."""
    where: str = ""
    """Of a gap at a slope: ``toe``, ``heel`` or ``even``; else empty."""


@dataclass(frozen=True, slots=True)
class DeviationAccepted(Event):
    """A value outside its tolerance was kept, with a reason."""

    kind: ClassVar[str] = "deviation_accepted"
    step: str
    name: str
    reason: str


@dataclass(frozen=True, slots=True)
class StepSetAside(Event):
    """A step waits until nothing else is left."""

    kind: ClassVar[str] = "step_set_aside"
    step: str
    reason: str


@dataclass(frozen=True, slots=True)
class GlueScraped(Event):
    """Glue was scraped off: ``step`` spreads anew, ``reopened`` are to be done again."""

    kind: ClassVar[str] = "glue_scraped"
    step: str
    reopened: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BatchStopped(Event):
    """The batch ended without being complete."""

    kind: ClassVar[str] = "batch_stopped"
    reason: str


@dataclass(frozen=True, slots=True)
class NoteTaken(Event):
    """A note was written down at a step (or at none)."""

    kind: ClassVar[str] = "note_taken"
    step: str
    text: str
    about: str = ""
    """Empty, ``next_time``, ``to_get`` or ``service`` (what became of a unit in use)."""
    unit: int = 0
    """The unit that it is about; 0: none."""


@dataclass(frozen=True, slots=True)
class ConditionsNoted(Event):
    """The air in the shop was read."""

    kind: ClassVar[str] = "conditions_noted"
    temperature_c: float
    humidity_percent: float


@dataclass(frozen=True, slots=True)
class PlanRevised(Event):
    """A new plan took the place of the one it was based on."""

    kind: ClassVar[str] = "plan_revised"
    number: int
    plan_hash: str
    based_on: int
    """Version of the session that the plan was made from."""
    reason: str
    voided: tuple[str, ...]
    added: tuple[str, ...]
    returned: tuple[str, ...] = ()
    """Steps that were at the bench and wait for something in the new plan."""
    only_times: bool = False
    """The steps are the very same: a caution that was answered stays answered."""


@dataclass(frozen=True, slots=True)
class BuildChangeKept(Event):
    """The build file changed; the session goes on with its own plan."""

    kind: ClassVar[str] = "build_change_kept"
    build_digest: str


@dataclass(frozen=True, slots=True)
class BuildMoved(Event):
    """The session went over to the build file as it stands now."""

    kind: ClassVar[str] = "build_moved"
    build_digest: str
    texts: tuple[tuple[str, str], ...]
    """Name and text of the build and of its parents: the session opens without them."""


@dataclass(frozen=True, slots=True)
class PartSpoiled(Event):
    """A piece of a unit is to be made again."""

    kind: ClassVar[str] = "part_spoiled"
    part: str
    hand: str
    """``left``, ``right`` or empty."""
    unit: int
    number: int
    """2 for the first piece of this part that is made again, then 3…"""
    reason: str


@dataclass(frozen=True, slots=True)
class StepsVoided(Event):
    """What these steps made is lost with a spoiled piece: they are to be done again."""

    kind: ClassVar[str] = "steps_voided"
    steps: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class HoursTold(Event):
    """The person said until when they work."""

    kind: ClassVar[str] = "hours_told"
    until_s: int
    """Seconds since 1970 UTC."""


@dataclass(frozen=True, slots=True)
class ClampsCounted(Event):
    """The person said how many clamps there are."""

    kind: ClassVar[str] = "clamps_counted"
    count: int
    sets: tuple[ClampSet, ...] = ()
    """By their reach, where the person said it."""


@dataclass(frozen=True, slots=True)
class LabelRead(Event):
    """The open time on a glue's label; 0 where it gives none."""

    kind: ClassVar[str] = "label_read"
    glue: str
    seconds: int


@dataclass(frozen=True, slots=True)
class ClockNoticed(Event):
    """The machine's clock was found moved: so much is added to it from now on."""

    kind: ClassVar[str] = "clock_noticed"
    offset_s: int


@dataclass(frozen=True, slots=True)
class ClockAnswered(Event):
    """A person said whether a clock that leapt is right; the moment is the one that counts now."""

    kind: ClassVar[str] = "clock_answered"
    right: bool


@dataclass(frozen=True, slots=True)
class BatchCompleted(Event):
    """The last step is done."""

    kind: ClassVar[str] = "batch_completed"


@dataclass(frozen=True, slots=True)
class Moment:
    """When something was said. Boot id and monotonic time tell a clock jump afterwards."""

    at_s: int
    """Seconds since 1970 UTC."""
    zone: str
    boot_id: str
    monotonic_ns: int


@dataclass(frozen=True, slots=True)
class Envelope:
    """An event as stored."""

    version: int
    """1, 2, 3… without a gap."""
    event: Event
    moment: Moment
    face: str
    """``bench``, ``do``, ``plain``…"""
    command_id: str
    """Shared by the events of one command."""
