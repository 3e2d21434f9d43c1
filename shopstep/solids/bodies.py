"""Pieces as solid bodies where they stand: size, everything that is cut into them, turns.

Axes: x from front to back, y from left to right, z from bottom to top, in millimetres. What is
cut out as boxes is what ``cuts`` says; bevels and round holes are added here, exactly.
Loads ``manifold3d`` (and numpy): imported only where a solid is asked for. Imports
``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import atan2, degrees

from manifold3d import Manifold

from shopstep.model.feature import Bevel, Holes
from shopstep.model.part import Axis, Lean, Part, Placement
from shopstep.solids.boxes import AXES, Box, make_box
from shopstep.solids.cuts import cuts_of, side_of
from shopstep.units import Length

HOLE_SIDES = 32
"""A round hole is a regular polygon with this many sides, its corners on the circle."""
_OVER_MM = 1.0
"""How far a cutter reaches beyond a face that it is open to."""
_FULL_CIRCLE = 360.0
Point = tuple[float, float, float]
Box6 = tuple[float, float, float, float, float, float]


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of a part as a solid body."""

    part: Part
    index: int
    """Which of the part's places it stands in."""
    place: Placement
    body: Manifold
    box: Box6
    """Least x, y, z and most x, y, z of the body."""

    @property
    def key(self) -> tuple[str, str, int]:
        """Name of the part, hand, and index: the same in every plan."""
        return self.part.name, self.part.hand or "", self.index

    @property
    def label(self) -> str:
        """How people call it: "left side rail", "runner 2"."""
        several = len(self.part.places) > 1
        return f"{self.part.label} {self.index + 1}" if several else self.part.label


def make_pieces(parts: Iterable[Part]) -> tuple[Piece, ...]:
    """Every piece of every part, where it stands."""
    return tuple(
        Piece(part, index, place, body, body.bounding_box())
        for part in parts
        for index, place in enumerate(part.places)
        for body in [make_body(part, place)]
    )


def make_body(part: Part, place: Placement, without: frozenset[str] = frozenset()) -> Manifold:
    """The solid of one piece; ``without``: names of features that are not cut yet."""
    box = make_box(part, replace(place, turned=None))
    body = _block(box.spans)
    cutters = [
        _block(_opened(box, cut.spans))
        for cut in cuts_of(box)
        if cut.feature not in without and cut.kind != "bevel"
    ]
    for feature in part.features:
        if isinstance(feature, Holes) and feature.name not in without:
            cutters += _hole_cutters(box, feature)
    if cutters:
        body = body - _united(cutters)
    for feature in part.features:
        if isinstance(feature, Bevel) and feature.name not in without:
            body = body.trim_by_plane(*_bevel_plane(box, feature))
    return _leaned(_turned(body, box, place.turned), box, place.lean)


def _united(cutters: list[Manifold]) -> Manifold:
    union = cutters[0]
    for cutter in cutters[1:]:
        union = union + cutter
    return union


Spans = tuple[tuple[Length, Length], tuple[Length, Length], tuple[Length, Length]]
Extents = tuple[tuple[float, float], tuple[float, float], tuple[float, float]]


def _block(spans: Spans | Extents) -> Manifold:
    (x0, x1), (y0, y1), (z0, z1) = ((_mm(low), _mm(high)) for low, high in spans)
    return Manifold.cube((x1 - x0, y1 - y0, z1 - z0)).translate((x0, y0, z0))


def _mm(value: Length | float) -> float:
    return value.in_mm if isinstance(value, Length) else value


def _opened(box: Box, spans: Spans) -> Extents:
    """A cut that reaches the piece's own side goes on beyond it, so that no skin is left."""
    x, y, z = (
        (
            low.in_mm - (_OVER_MM if low <= own[0] else 0.0),
            high.in_mm + (_OVER_MM if high >= own[1] else 0.0),
        )
        for (low, high), own in zip(spans, box.spans, strict=True)
    )
    return x, y, z


def _hole_cutters(box: Box, holes: Holes) -> list[Manifold]:
    """One prism through the whole piece for each hole; the row is centred along the length."""
    through, _ = side_of(holes.face, box.part.hand)
    along = AXES.index(box.part.runs[0])
    across, high = side_of(holes.reference, box.part.hand)
    low_end, high_end = box.spans[across]
    centre = [0.0, 0.0, 0.0]
    offset = holes.offset.in_mm
    centre[across] = high_end.in_mm - offset if high else low_end.in_mm + offset
    low, high_mm = box.spans[through][0].in_mm, box.spans[through][1].in_mm
    centre[through] = low - _OVER_MM
    length = high_mm - low + 2 * _OVER_MM
    middle = (box.spans[along][0].in_mm + box.spans[along][1].in_mm) / 2
    cutters = []
    for n in range(holes.count):
        centre[along] = middle + (n - (holes.count - 1) / 2) * holes.pitch.in_mm
        bore = Manifold.cylinder(length, holes.diameter.in_mm / 2, -1.0, HOLE_SIDES)
        cutters.append(_laid_along(bore, through).translate((centre[0], centre[1], centre[2])))
    return cutters


def _laid_along(upright: Manifold, axis: int) -> Manifold:
    """A body that runs up from the origin, made to run along an axis instead."""
    if axis == 0:
        return upright.rotate((0.0, 90.0, 0.0))
    return upright.rotate((-90.0, 0.0, 0.0)) if axis == 1 else upright


def _bevel_plane(box: Box, bevel: Bevel) -> tuple[Point, float]:
    """Normal and offset of the plane whose far side stays."""
    face, face_high = side_of(bevel.face, box.part.hand)
    edge, edge_high = side_of(bevel.edge, box.part.hand)
    normal = [0.0, 0.0, 0.0]
    offset = bevel.back.in_mm * bevel.drop.in_mm
    for axis, high, weight in (
        (edge, edge_high, bevel.drop.in_mm),
        (face, face_high, bevel.back.in_mm),
    ):
        side = box.spans[axis][1 if high else 0].in_mm
        normal[axis] = -weight if high else weight
        offset += normal[axis] * side
    length = float(sum(value * value for value in normal)) ** 0.5
    return (normal[0] / length, normal[1] / length, normal[2] / length), offset / length


def _turned(body: Manifold, box: Box, about: Axis | None) -> Manifold:
    """Half a turn about the middle of the piece."""
    if about is None:
        return body
    x, y, z = ((low.in_mm + high.in_mm) / 2 for low, high in box.spans)
    angles = [0.0, 0.0, 0.0]
    angles[AXES.index(about)] = _FULL_CIRCLE / 2
    moved = body.translate((-x, -y, -z)).rotate((angles[0], angles[1], angles[2]))
    return moved.translate((x, y, z))


def _leaned(body: Manifold, box: Box, lean: Lean | None) -> Manifold:
    """Turned about its lower back edge, front end down, and set with that edge where it is told."""
    if lean is None:
        return body
    back, bottom = box.spans[0][1].in_mm, box.spans[2][0].in_mm
    moved = body.translate((-back, 0.0, -bottom)).rotate(
        (0.0, -degrees(atan2(lean.rise.nm, lean.run.nm)), 0.0)
    )
    return moved.translate((lean.back.in_mm, 0.0, lean.bottom.in_mm))
