"""Parts: finished pieces with a name that never changes, and where they stand."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from shopstep.model.feature import Face, Feature
from shopstep.units import Length
from shopstep.words import say


class Hand(StrEnum):
    """Which of two mirror images a handed part is."""

    LEFT = "left"
    RIGHT = "right"


class Axis(StrEnum):
    """The three directions of the finished thing."""

    FRONT_BACK = "front-back"
    LEFT_RIGHT = "left-right"
    BOTTOM_TOP = "bottom-top"


@dataclass(frozen=True, slots=True)
class Lean:
    """A piece that leans: its front end lower than its back by ``rise`` over ``run``."""

    rise: Length
    run: Length
    back: Length
    """Where its lower back edge stands, from the front of the finished thing."""
    bottom: Length
    """How far above the ground that edge is."""


@dataclass(frozen=True, slots=True)
class Placement:
    """Where one piece stands: its front, left, bottom corner, and its extents from there."""

    front: Length
    left: Length
    bottom: Length
    depth: Length
    """Extent from front to back."""
    breadth: Length
    """Extent from left to right."""
    height: Length
    """Extent from bottom to top."""
    turned: Axis | None = None
    """The axis that this piece is turned about by half a turn against what its features say."""
    lean: Lean | None = None
    """How it leans; the other fields then hold it as if it lay level."""


@dataclass(frozen=True, slots=True)
class Allowance:
    """Wood left on beyond the finished size, to be planed or trimmed off later."""

    face: Face
    """The edge or end that it is left on."""
    extra: Length
    why: str


@dataclass(frozen=True, slots=True)
class Free:
    """A width that does not matter within these limits."""

    least: Length
    most: Length
    piece: str = ""
    """Id of the rack piece whose width was taken; empty where it is the usual one."""


@dataclass(frozen=True, slots=True)
class Part:
    """A finished piece. A handed part stands here twice, once for each hand, under one name."""

    name: str
    hand: Hand | None
    title: str
    material: str
    """Id of the material."""
    count_unit: int
    """How many of this hand one unit needs."""
    length: Length
    """Along the grain (or the long way of a sheet or cloth)."""
    width: Length
    thickness: Length
    runs: tuple[Axis, Axis, Axis]
    """Along which axis of the finished thing length, width and thickness lie."""
    places: tuple[Placement, ...]
    """One for each piece of the unit."""
    features: tuple[Feature, ...]
    why: str
    line: int
    """Line of the build file that names the part."""
    allowances: tuple[Allowance, ...] = ()
    """What it is cut larger by; its sizes here are the finished ones."""
    free: Free | None = None
    """Where its width does not matter."""
    apart: tuple[int, ...] = ()
    """Units whose pieces are made apart, to sizes of their own."""
    loose: bool = False
    """It comes out again: no glue may reach where it stands."""

    @property
    def label(self) -> str:
        """How people call it: "left side rail", "panel"."""
        if self.hand is None:
            return self.title
        if self.hand is Hand.LEFT:
            return say("left {part}", part=self.title)
        return say("right {part}", part=self.title)

    def count(self, units: int) -> int:
        """How many pieces of this hand are made together for a batch of ``units``."""
        return self.count_unit * (units - len(self.apart))
