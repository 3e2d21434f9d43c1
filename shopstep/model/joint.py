"""Joints as resolved: which parts meet, how, and with how much play; where fasteners go in."""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.units import ZERO, Angle, Length

_SQUARE = Angle(0)

GLUE_FACES = {
    "groove": "the bottom of the channel and both of its walls, thin",
    "rabbet": "the bottom and the shoulder of the step, and the end that stands in it",
    "dado": "the bottom of the channel and both of its walls, thin",
    "box": "both sides of every finger of both parts",
    "lap": "both cut faces and their shoulders",
    "bevel": "both slopes; end grain drinks, so twice",
    "butt": "the end or face that meets; end grain drinks, so twice",
}
"""Where glue goes, by kind of joint."""


@dataclass(frozen=True, slots=True)
class Joint:
    """Two or more parts that meet. ``member`` goes into or against each of ``into``."""

    name: str
    kind: str
    """``groove``, ``rabbet``, ``dado``, ``box``, ``lap``, ``bevel`` or ``butt``."""
    member: str
    into: str
    glue: str | None
    """Id of the glue, or None where the joint must stay free."""
    depth: Length
    """Depth of the channel; 0 for a butt joint."""
    play: Length
    """How much shorter the member is than the channels allow, in all; of a butt joint how far apart
    the faces may be."""
    ease: Length
    """How much wider the channel is than the member is thick; 0 for a butt joint."""
    clear: Length
    """Clear distance between the faces that take the member."""
    span: Length
    """Length of the member across the joint: clear + ends × depth − play."""
    ends: int
    """How many ends of the member sit in a channel (groove) or meet a face (butt)."""
    line: int


@dataclass(frozen=True, slots=True)
class Spots:
    """Places along one direction: counted from one side of where two pieces touch."""

    face: str
    """The side that they are measured from."""
    first: Length
    count: int = 1
    gap: Length = ZERO
    """From one to the next; 0 where ``last`` says where the others are."""
    last: Length = ZERO
    """How far the last one stays from the other side; the others lie evenly between."""


@dataclass(frozen=True, slots=True)
class FastenerRow:
    """Equal fasteners through each piece of one part, into each piece of another that it meets."""

    through: str
    """Part whose outer face the heads lie on, with the hand before where one is meant."""
    into: str
    """Part that holds them; empty where ``face`` says where they go in."""
    face: str = ""
    """Face of ``through`` that the heads lie on; empty: opposite to where the two touch."""
    spots: tuple[Spots, ...] = ()
    """Where no spot says otherwise they stand in the middle."""
    straight: str = ""
    """Side of the finished thing that they are driven towards; empty: square to the face."""
    tilt: Angle = _SQUARE
    """How far they lean from that, with the point towards ``towards``."""
    towards: str = ""
    line: int = 0
