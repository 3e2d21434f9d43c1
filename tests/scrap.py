"""A saw and its scrap as lines in the plane, written apart from the program.

The fence stands at x = 0, the table is y = 0, the wood lies between fence and blade. The blade
crosses the table at x = fence and leans away from the fence, by ``tilt`` from upright. Lengths in
inches, angles in radians, as plain floats.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from fractions import Fraction

Point = tuple[float, float]
Line = tuple[float, float, float]
"""a, b, c of a·x + b·y = c, with a² + b² = 1; the wood is where a·x + b·y is less."""

WIDE = 1000.0
"""Far enough for a cut that is not there."""


def cut_line(fence: float, tilt: float) -> Line:
    """The blade's plane seen from the end of the work."""
    return math.cos(tilt), -math.sin(tilt), fence * math.cos(tilt)


def meet(one: Line, other: Line) -> Point:
    """Where two lines cross."""
    a, b, c = one
    d, e, f = other
    det = a * e - b * d
    return (c * e - b * f) / det, (a * f - c * d) / det


def out_of(line: Line, point: Point) -> float:
    """How far a point lies outside a line, square to it."""
    a, b, c = line
    return a * point[0] + b * point[1] - c


def clip(corners: list[Point], line: Line) -> list[Point]:
    """What the blade leaves of the wood."""
    kept: list[Point] = []
    for here, there in zip(corners, corners[1:] + corners[:1], strict=True):
        out, after = out_of(line, here), out_of(line, there)
        if out <= 0:
            kept.append(here)
        if (out < 0 < after) or (after < 0 < out):
            part = out / (out - after)
            kept.append(
                (here[0] + part * (there[0] - here[0]), here[1] + part * (there[1] - here[1]))
            )
    return kept


@dataclass
class Saw:
    """How a saw stands in truth, whatever its scales say."""

    fence: float
    tilt: float


@dataclass(frozen=True)
class Plan:
    """The slope that is wanted: ``along`` on the face on the table, ``up`` on the edge."""

    width: float
    thickness: float
    along: float
    up: float

    @property
    def tilt(self) -> float:
        """From upright."""
        return math.atan2(self.along, self.up)

    @property
    def fence(self) -> float:
        """At table level."""
        return self.width - self.along

    @property
    def leg(self) -> float:
        """Length of the slope."""
        return math.hypot(self.along, self.up)

    @property
    def line(self) -> Line:
        """The pencil line."""
        return cut_line(self.fence, self.tilt)


@dataclass
class Scrap:
    """One piece with its cut edge, cut once or more."""

    plan: Plan
    corners: list[Point] = field(default_factory=list)

    def __post_init__(self) -> None:
        wide, thick = self.plan.width, self.plan.thickness
        self.corners = [(0.0, 0.0), (wide, 0.0), (wide, thick), (0.0, thick)]

    def cut(self, saw: Saw) -> None:
        """Push it past the blade."""
        self.corners = clip(self.corners, cut_line(saw.fence, saw.tilt))

    def slope(self) -> tuple[Point, Point]:
        """Heel and toe: the lower and the upper end of what the blade left."""
        heel = max((c for c in self.corners if abs(c[1]) < 1e-12), key=lambda c: c[0])
        at = self.corners.index(heel)
        neighbours = (self.corners[at - 1], self.corners[(at + 1) % len(self.corners)])
        toe = next(c for c in neighbours if c[1] > 1e-12)
        return heel, toe

    def light(self) -> tuple[float, float]:
        """Light under a bevel gauge at heel and toe; the gauge slides until it touches."""
        a, b, _ = self.plan.line
        ends = self.slope()
        touch = max(a * x + b * y for x, y in ends)
        heel, toe = (touch - (a * x + b * y) for x, y in ends)
        return heel, toe

    def off_line(self) -> float:
        """How far the slope stands outside the pencil line; negative where the line is gone."""
        return out_of(self.plan.line, self.slope()[0])


def light_at(plan: Plan, saw: Saw, end: str) -> float:
    """Light a slope's length from where gauge and cut touch, as if the wood went on.

    Found as the stretch from the gauge to the cut along a line square to the gauge.
    """
    cut = cut_line(saw.fence, saw.tilt)
    run = (math.sin(plan.tilt), math.cos(plan.tilt))
    heel = (saw.fence, 0.0)
    if end == "toe":
        touch, way = heel, 1.0
    else:  # the gauge touches at the toe, where the planned rise is reached
        touch, way = meet(cut, (0.0, 1.0, plan.up)), -1.0
    foot = (touch[0] + way * plan.leg * run[0], touch[1] + way * plan.leg * run[1])
    square = (run[0], run[1], run[0] * foot[0] + run[1] * foot[1])
    seen = meet(cut, square)
    return math.dist(foot, seen)


_NUMBER = re.compile(r"(\d+ )?(\d+)/(\d+) in|(\d+) in")


def inches_in(words: str) -> float:
    """The first length in a sentence, read as a person reads it."""
    found = _NUMBER.search(words)
    assert found is not None, words
    whole, top, bottom, only = found.groups()
    if only:
        return float(only)
    return float(Fraction(int(top), int(bottom)) + int(whole or 0))


def obey(words: str, saw: Saw, wood_left: bool) -> bool:
    """Do what a correction's words say; True where they ask for a new piece of scrap."""
    if "tilt the blade" in words:
        turn = re.search(r"tilt the blade (\d+(?:\.\d)?)° (more|less)", words)
        assert turn is not None, words
        by = math.radians(float(turn.group(1)))
        saw.tilt += by if turn.group(2) == "more" else -by
        return "new piece" in words
    left, gone = words.split("; where the line is cut away, ")
    if wood_left:
        assert "towards the blade" in left
        saw.fence -= inches_in(left)
        return "new piece" in left
    assert "away from the blade" in gone
    saw.fence += inches_in(gone)
    return "new piece" in gone
