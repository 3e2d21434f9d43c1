"""Commands: what a person asks for, from whichever face. Imperative names, one class each.

Every command carries its own unique ``id`` (so that a repeat is recognised), the ``step`` it
means (None: whatever stands at the bench) and ``seen``, the version its face had on screen
(None: not known). So a double tap cannot tick the next step.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.model.resources import ClampSet
from shopstep.units import Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Command:
    """What every command carries."""

    id: str
    step: str | None = None
    seen: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishStep(Command):
    """The step is done."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StartSpreading(Command):
    """The first bead of glue goes on: open time counts from now."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AcknowledgeCaution(Command):
    """The caution cards that stand before the step are read and answered."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GoBack(Command):
    """The last finished step is to be open again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeStep(Command):
    """Bring another step that is ready to the bench."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldBatch(Command):
    """Stop for now."""

    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ResumeBatch(Command):
    """Take up again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeMeasure(Command):
    """A check's number as read off the work."""

    name: str
    value: Length
    where: str = ""
    """Of a gap at a slope: ``toe``, ``heel`` or ``even``; else empty."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AcceptDeviation(Command):
    """Keep a measured value although it lies outside the tolerance."""

    name: str
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SetAside(Command):
    """The step is to wait until nothing else is left."""

    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StopBatch(Command):
    """End the batch for good, although it is not complete."""

    reason: str = ""
    sure: bool = False
    """The second, deliberate answer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SpreadAgain(Command):
    """The glue was scraped off: the joint begins anew."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosedInTime(Command):
    """The joint was closed at this time of day, though it is told only now."""

    clock: str
    """Local time, ``19:42``; the latest such moment that is past."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeNote(Command):
    """A note in the person's own words."""

    text: str
    kind: str = ""
    """Empty, ``next_time`` (a lesson for the build), ``to_get`` (for the next buy list) or
    ``service`` (what became of a unit in use)."""
    unit: int = 0
    """The unit that a note from service is about."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteConditions(Command):
    """The air in the shop as read now."""

    temperature_c: float
    humidity_percent: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SpoilPart(Command):
    """A piece is spoiled and is to be made again."""

    part: str
    unit: int
    hand: str = ""
    reason: str = ""
    sure: bool = False
    """With all that it is joined to, where it is joined: the second, deliberate answer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StayUntil(Command):
    """Until when the person works tonight, whatever the shop's hours are."""

    clock: str
    """Local time, ``21:30``; the next such moment."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CountClamps(Command):
    """How many clamps there are, those on joints included."""

    count: int
    sets: tuple[ClampSet, ...] = ()
    """By their reach, where the person says it; ``count`` is all of them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadLabel(Command):
    """The open time as the label of the step's glue gives it."""

    seconds: int
    """0: the label gives none, so the table's time stands."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerClock(Command):
    """Whether the machine's clock is right although it leapt."""

    right: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepPlan(Command):
    """The build file has changed since; go on with the plan in the session."""

    build_digest: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveToBuild(Command):
    """The build file has changed since; plan what is left from it as it stands now."""

    build_digest: str
    texts: tuple[tuple[str, str], ...]
    """Name and text of the build and of its parents."""


@dataclass(frozen=True, slots=True)
class ToldTime:
    """When a step was finished that is ticked on paper, as it was written down."""

    step: str
    clock: str
    """Local time, ``19:42``, or with its day, ``2026-01-14 19:42``."""
    since: str = ""
    """Of a joint, when its first glue went on, likewise; empty: nobody wrote it down."""


@dataclass(frozen=True, slots=True)
class ToldReading:
    """A check's number as it was written down on paper."""

    step: str
    name: str
    value: Length
    where: str = ""
    """See ``TakeMeasure``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EnterTicks(Command):
    """What was ticked on paper, up to and with ``step``, in one go: all of it or nothing."""

    times: tuple[ToldTime, ...] = ()
    readings: tuple[ToldReading, ...] = ()
    cautions_read: bool = False
    """The person says of every caution of these steps that it was read and kept."""


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a command was not carried out, in plain words, and the way on."""

    text: str
    rule: str
    """Short key, for example ``caution_open``, ``needs_open``, ``waiting``, ``held``."""
    typed: str = ""
    """How to say the way on in words, for faces that take words; may be empty."""
    counted: str = ""
    """Clamps by their reach that would be enough, as they are typed; empty for anything else."""

    @property
    def in_words(self) -> str:
        """The sentence with the words to type."""
        return f"{self.text} {self.typed}".strip()
