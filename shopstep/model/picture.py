"""Pictures as plain lines: what the solids give, and what SVG and the terminal are drawn from.

Coordinates are millimetres on the picture's plane, x to the right and y up.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Weight(StrEnum):
    """How a line is drawn."""

    LIGHT = "light"
    """What is there already."""
    HEAVY = "heavy"
    """What comes now, or what is cut now."""
    GLUE = "glue"
    """Hatching of a face that gets glue."""
    BARE = "bare"
    """Dotted lines on a face that glue must be kept off."""
    HIDDEN = "hidden"
    """Behind something; dashed, in part drawings only."""


@dataclass(frozen=True, slots=True, order=True)
class Line:
    """A straight line that can be seen."""

    x1: float
    y1: float
    x2: float
    y2: float
    weight: Weight = Weight.LIGHT


@dataclass(frozen=True, slots=True, order=True)
class Arrow:
    """From where something comes (1) to where it goes (2); the head is at 2."""

    x1: float
    y1: float
    x2: float
    y2: float


@dataclass(frozen=True, slots=True, order=True)
class Mark:
    """A word at a point, or a dot."""

    x: float
    y: float
    text: str
    is_dot: bool = False
    """The head of a fastener is there; ``text`` is its number, or empty."""
    is_behind: bool = False
    """It lies behind something."""


@dataclass(frozen=True, slots=True)
class Picture:
    """One picture of one step kind."""

    title: str
    note: str
    """What comes now, in words; may be empty."""
    lines: tuple[Line, ...]
    arrows: tuple[Arrow, ...] = ()
    marks: tuple[Mark, ...] = ()
