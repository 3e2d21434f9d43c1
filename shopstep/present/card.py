"""The StepCard: plain values, the one thing that every face shows."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from shopstep.words import to_say

MANUAL_FIRST = to_say("The tool's manual, local rules and trained people come first.")
"""Stands under every caution that has to be answered."""
FIRST_ANSWER = to_say("I read it")
"""The first of the two answers to a caution that is new in a session, at a place of its own."""


class CardMode(StrEnum):
    """What the card is about."""

    STEP = "step"
    CAUTION = "caution"
    """A caution stands before the step and must be answered."""
    WAITING = "waiting"
    """Nothing can be done before a wait ends."""
    HELD = "held"
    COMPLETE = "complete"
    STOPPED = "stopped"
    """Ended for good without being complete."""

    @property
    def is_ended(self) -> bool:
        """Whether nothing is left to do at the bench."""
        return self in (CardMode.COMPLETE, CardMode.STOPPED)


@dataclass(frozen=True, slots=True)
class CardNumber:
    """One number from the plan."""

    label: str
    text: str
    """As on a rule: ``12 3/8 in``."""
    spoken: str
    """As people say it: ``twelve and three eighths inches``."""


@dataclass(frozen=True, slots=True)
class CardCaution:
    """One caution in the words of the safety tables."""

    id: str
    signal: str
    harm: str
    avoid: str
    hand: str
    done: str
    source: str
    must_ack: bool
    known: bool = False
    """The same card was answered earlier in this session."""


@dataclass(frozen=True, slots=True)
class CardCheck:
    """A check: yes-or-no, or one that asks for a number."""

    name: str
    text: str
    expected: str
    """Shown value, empty for yes-or-no."""
    expected_nm: int | None
    tolerance: str
    measured: str
    """What was read, empty while open."""
    within: bool
    accepted: bool
    place: str = ""
    """``2 of 3`` in a run of several checks; empty where it stands alone."""
    where: str = ""
    """Where a gap at a slope was read: ``toe``, ``heel`` or ``even``; else empty."""
    asks_where: bool = False
    """A reading outside has to be told where the gap is."""
    tries: int = 0
    """How often it was read in this step."""
    correction: str = ""
    """What is changed at the machine before the next try in scrap; empty for nothing."""


@dataclass(frozen=True, slots=True)
class CardRun:
    """Several checks as one run with a clear end."""

    opening: str
    """``3 checks, then Done``."""
    closing: str
    """``That is all 3.``"""
    spoken: tuple[str, ...]
    """The whole run as it is said, sentence by sentence, from its opening to its closing."""


@dataclass(frozen=True, slots=True)
class CardAction:
    """Something that can be done now; at most five on a card."""

    id: str
    """``done``, ``start``, ``ack``, ``back``, ``hold``, ``resume``, ``why``, ``more``,
    ``measure`` or ``accept``."""
    label: str


@dataclass(frozen=True, slots=True)
class CardTimer:
    """A running limit. For ``is_most`` (open glue) it must end before ``due_s``; of kind ``within``
    its step begins by then, or what was done has to be done again; else nothing before it."""

    name: str
    kind: str
    started_s: int
    due_s: int
    """Seconds since 1970 UTC."""
    is_most: bool
    step: str
    """The step that it limits."""


@dataclass(frozen=True, slots=True)
class StepCard:
    """What stands on the screen, is spoken and is printed line by line."""

    version: int
    plan_number: int
    mode: CardMode
    step_id: str
    """Empty when waiting or complete."""
    unit: str
    """``unit 2`` or ``whole batch``."""
    mark: str
    """Pencil mark on the part, for example ``2 L``; may be empty."""
    headline: str
    numbers: tuple[CardNumber, ...]
    sentence: str
    why: str
    picture: str | None
    parts: tuple[str, ...]
    fasteners: tuple[str, ...]
    cautions: tuple[CardCaution, ...]
    checks: tuple[CardCheck, ...]
    actions: tuple[CardAction, ...]
    timers: tuple[CardTimer, ...]
    hearing: str
    """``off`` until a face with ears says otherwise."""
    notice: str
    """One line that is about now: what was refused, what waits; may be empty."""
    done_count: int
    total_count: int
    following: str
    """Headline of the step after this one; may be empty."""
    clock_doubt: bool = False
    """The machine's clock leapt, and nobody said yet whether it is right."""
    check_run: CardRun | None = None
    """What stands around the checks where there are several; None for one or none."""
