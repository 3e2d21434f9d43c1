"""Where fasteners go in, as a build says it, and what a fastener is by its size."""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.units import ZERO, Angle, Length

_SQUARE = Angle(0)


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


@dataclass(frozen=True, slots=True)
class FastenerSize:
    """What a fastener is like, read from its title and a table. Millimetres."""

    kind: str
    length_mm: float
    diameter_mm: float
    crown_mm: float = 0.0
    """From leg to leg of a staple; 0 for all others."""
    gauge: int = 0
    """Of a screw; 0 for all others."""


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
