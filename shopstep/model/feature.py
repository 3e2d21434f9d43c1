"""What is cut into a part. Every feature is measured from a named reference face.

Face names are those of the finished thing (front, back, left, right, bottom, top); a handed
part also has ``inside`` and ``outside``, which swap sides with the hand.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from shopstep.units import Angle, Length


class Face(StrEnum):
    """A named face of a part where it stands in the finished thing."""

    FRONT = "front"
    BACK = "back"
    LEFT = "left"
    RIGHT = "right"
    BOTTOM = "bottom"
    TOP = "top"
    INSIDE = "inside"
    OUTSIDE = "outside"


@dataclass(frozen=True, slots=True)
class Groove:
    """A channel along the grain in ``face``; stopped where a stop is more than zero."""

    name: str
    face: Face
    reference: Face
    """The face that the offset is measured from."""
    offset: Length
    """From the reference face to the near wall of the groove."""
    width: Length
    depth: Length
    stop_start: Length
    """Uncut length at the end of the part that faces front, left or bottom; 0 = runs through."""
    stop_end: Length
    """Uncut length at the other end."""
    kind: str = "groove"


@dataclass(frozen=True, slots=True)
class Bevel:
    """An edge taken off flat: ``back`` along ``face``, ``drop`` along the face ``edge``."""

    name: str
    face: Face
    edge: Face
    back: Length
    """How far back on ``face`` the cut begins."""
    drop: Length
    """How far down on ``edge`` the cut ends."""
    angle: Angle
    """Angle of the cut against ``face``: tan = drop / back."""
    kind: str = "bevel"


@dataclass(frozen=True, slots=True)
class Holes:
    """A row of equal round holes through the part, centred along its length."""

    name: str
    face: Face
    reference: Face
    offset: Length
    """From the reference face to the hole centres."""
    diameter: Length
    count: int
    pitch: Length
    """Centre to centre."""
    kind: str = "holes"


@dataclass(frozen=True, slots=True)
class Notch:
    """A rectangular opening through the part from ``reference``, centred along its length."""

    name: str
    face: Face
    reference: Face
    width: Length
    """Along the part."""
    height: Length
    """From the reference face into the part."""
    kind: str = "notch"


@dataclass(frozen=True, slots=True)
class Rabbet:
    """A step cut out along an edge: ``width`` across ``face`` from ``edge``, ``depth`` into it."""

    name: str
    face: Face
    edge: Face
    """The face that the step is open to; an end of the part, or one of its long edges."""
    width: Length
    depth: Length
    stop_start: Length
    stop_end: Length
    kind: str = "rabbet"


@dataclass(frozen=True, slots=True)
class Dado:
    """A channel across the grain in ``face``, through from edge to edge."""

    name: str
    face: Face
    reference: Face
    """The end of the part that the offset is measured from."""
    offset: Length
    """From the end to the near wall of the dado."""
    width: Length
    depth: Length
    kind: str = "dado"


@dataclass(frozen=True, slots=True)
class Fingers:
    """Equal fingers and slots across one end, from the lower or front edge on, as deep as told."""

    name: str
    end: Face
    pitch: Length
    """Width of one finger, and of one slot."""
    depth: Length
    starts_with: str
    """``finger`` or ``slot`` at the reference edge."""
    reference: Face
    """The edge that the first finger or slot is measured from."""
    kind: str = "fingers"


@dataclass(frozen=True, slots=True)
class Recess:
    """A blind pocket in ``face``, centred along the part: a hand hold."""

    name: str
    face: Face
    reference: Face
    """The edge that the offset is measured from."""
    offset: Length
    """From that edge to the near side of the pocket."""
    length: Length
    """Along the part."""
    height: Length
    """Across it."""
    depth: Length
    kind: str = "recess"


Feature = Groove | Bevel | Holes | Notch | Rabbet | Dado | Fingers | Recess


@dataclass(frozen=True, slots=True)
class CutLine:
    """What a step takes off a part later: all that lies within ``deep`` of a face, or a saw's line
    there."""

    part: str
    face: str
    deep: Length
    is_line: bool = False
    """True for a saw's line ``deep`` inside of the face; False for all wood down to there."""


@dataclass(frozen=True, slots=True)
class FaceOf:
    """One face of a part: ``panel top``."""

    part: str
    face: str
