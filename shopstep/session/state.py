"""What is true now: the fold of all events. Never reads a plan.

Imports only the events of this room.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from shopstep.model.resources import ClampSet


@dataclass(frozen=True, slots=True)
class Reading:
    """A number read off the work."""

    nm: int
    within: bool
    at_s: int
    where: str = ""
    """Of a gap at a slope: ``toe``, ``heel`` or ``even``; else empty."""
    tries: int = 1
    """How often this check was read in this step, this reading counted."""


@dataclass(frozen=True, slots=True)
class Note:
    """Words of the person, at a step or at none (empty string)."""

    step: str
    text: str
    at_s: int
    about: str = ""
    """Empty, ``next_time``, ``to_get`` or ``service``."""
    unit: int = 0
    """The unit that it is about; 0: none."""


@dataclass(frozen=True, slots=True)
class State:
    """The session at one version. Moments are seconds since 1970 UTC."""

    version: int = 0
    title: str = ""
    plan_number: int = 0
    plan_hash: str = ""
    build_digest: str = ""
    """SHA-256 of the build file's text that the session was planned from, or last agreed to."""
    texts: tuple[tuple[str, str], ...] = ()
    """Name and text of the build and its parents, where the session moved over to another."""
    started_s: int = 0
    at_bench: str | None = None
    """The step that was begun and is not finished; None while everything waits."""
    begun: Mapping[str, int] = field(default_factory=dict)
    """When a step came to the bench, this time round."""
    finished: Mapping[str, int] = field(default_factory=dict)
    """When a step was finished, in the order of finishing."""
    spent: Mapping[str, int] = field(default_factory=dict)
    """Seconds at the bench for each finished step, without holds."""
    acknowledged: frozenset[str] = frozenset()
    """Steps whose caution cards are answered."""
    spread: Mapping[str, int] = field(default_factory=dict)
    """Since when glue is open, by spread step."""
    reopened: frozenset[str] = frozenset()
    """Steps that were finished and are open again."""
    readings: Mapping[tuple[str, str], Reading] = field(default_factory=dict)
    """Latest reading by (step, name of the check)."""
    accepted: Mapping[tuple[str, str], str] = field(default_factory=dict)
    """Reason why an out-of-tolerance reading was kept, by (step, name)."""
    notes: tuple[Note, ...] = ()
    held_since: int | None = None
    held_reason: str = ""
    idle_s: int = 0
    """Seconds that the step at the bench has already spent on hold."""
    temperature_c: float | None = None
    humidity_percent: float | None = None
    aside: Mapping[str, str] = field(default_factory=dict)
    """Steps that wait until nothing else is left, each with its reason, until they are done."""
    spoiled: tuple[tuple[str, str, int, int, str], ...] = ()
    """Pieces that are made again: part, hand, unit, number and reason."""
    stays_until_s: int | None = None
    """Until when the person said that they work."""
    clamps: int | None = None
    """How many clamps the person counted."""
    clamp_sets: tuple[ClampSet, ...] = ()
    """The same by their reach, where the person said it."""
    labels: Mapping[str, int] = field(default_factory=dict)
    """Open time on the label of each glue that was asked about; 0 where it gives none."""
    again: frozenset[str] = frozenset()
    """Steps that were done and are to be done again, because what they made was spoiled."""
    stopped_s: int | None = None
    """When the batch was ended without being complete."""
    stopped_reason: str = ""
    completed_s: int | None = None
    last_boot: str = ""
    """Start of the machine that wrote the latest event."""
    last_monotonic_ns: int = 0
    """Its steady clock at that moment."""
    offset_s: int = 0
    """What is added to a machine's clock to get the session's time."""
    last_s: int = 0
    """The latest moment of any event."""

    @property
    def is_over(self) -> bool:
        """Whether the batch is complete, or was stopped for good."""
        return self.completed_s is not None or self.stopped_s is not None
