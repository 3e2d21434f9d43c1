"""Boxes of placed pieces, and the box round all of them. Imports ``shopstep.model``."""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.model.material import Form, Material
from shopstep.model.part import Axis, Part, Placement
from shopstep.units import ZERO, Length

AXES = (Axis.FRONT_BACK, Axis.LEFT_RIGHT, Axis.BOTTOM_TOP)
Span = tuple[Length, Length]
"""Begin and end along one axis."""


@dataclass(frozen=True, slots=True)
class Box:
    """One placed piece of a part, by its spans along the three axes."""

    part: Part
    spans: tuple[Span, Span, Span]
    turned: Axis | None = None
    """The axis that it is turned about by half a turn."""


def make_box(part: Part, place: Placement) -> Box:
    """The box of one piece of a part."""
    return Box(
        part,
        (
            (place.front, place.front + place.depth),
            (place.left, place.left + place.breadth),
            (place.bottom, place.bottom + place.height),
        ),
        place.turned,
    )


def all_boxes(parts: tuple[Part, ...]) -> tuple[Box, ...]:
    """One box for each piece of each part."""
    return tuple(make_box(part, place) for part in parts for place in part.places)


def overall_size(
    parts: tuple[Part, ...], materials: tuple[Material, ...] = ()
) -> tuple[Length, Length, Length]:
    """Extents front to back, left to right and bottom to top; zeros where nothing is placed.

    What comes off a roll does not count: cloth lies inside, sheet metal is folded down.
    """
    rolls = {material.id for material in materials if material.form is Form.ROLL}
    boxes = all_boxes(tuple(part for part in parts if part.material not in rolls))
    if not boxes:
        return ZERO, ZERO, ZERO
    depth, breadth, height = (
        max(box.spans[axis][1] for box in boxes) - min(box.spans[axis][0] for box in boxes)
        for axis in range(3)
    )
    return depth, breadth, height
