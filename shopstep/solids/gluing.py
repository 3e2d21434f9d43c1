"""Where glue goes: the faces of pieces that meet in a glued joint, hatched.

Loads manifold3d and numpy. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy
from manifold3d import CrossSection, FillRule, Manifold

from shopstep.model.joint import Joint
from shopstep.solids.bodies import Piece, Point
from shopstep.solids.lines import Array
from shopstep.solids.measures import PUSH_MM, boxes_meet
from shopstep.solids.mesh import mesh_of

_ALIKE = 1e-6
_HATCH_MM = 6.0
"""From one line of the hatching to the next."""
_LEAST_MM2 = 1.0


@dataclass(frozen=True, slots=True)
class Zone:
    """One flat face of a piece that gets glue."""

    piece: Piece
    normal: Point
    area_mm2: float
    hatching: Array
    """n × 2 × 3: lines on the face."""


@dataclass(frozen=True, slots=True)
class _Plane:
    """All of a body's surface that lies in one plane."""

    normal: Array
    height: float
    """Along the normal."""
    shape: CrossSection
    """On the two axes that ``_axes`` gives for the normal."""


def glue_zones(
    coming: Iterable[Piece],
    there: Iterable[Piece],
    joints: Iterable[Joint],
    glue: str = "",
) -> list[Zone]:
    """The faces that get glue when pieces come to those that are there, and to each other.

    ``glue``: id of the only glue that counts; empty: any.
    """
    glued = [joint for joint in joints if joint.glue is not None and glue in ("", joint.glue)]
    placed = list(there)
    zones: list[Zone] = []
    for piece in coming:
        for other in placed:
            names = {piece.part.name, other.part.name}
            for joint in glued:
                if {joint.member, joint.into} == names:
                    zones += zones_between(piece, other, max(joint.play, joint.ease).in_mm)
        placed.append(piece)
    return zones


def meeting_mm2(one: Piece, other: Piece, gap_mm: float) -> float:
    """The area on which two pieces meet on faces of any slope, in square millimetres."""
    return sum(zone.area_mm2 for zone in zones_between(one, other, gap_mm)) / 2


def zones_between(one: Piece, other: Piece, gap_mm: float) -> list[Zone]:
    """The faces on which two pieces meet that are no further apart than a gap, of both of them."""
    if not boxes_meet(one.box, other.box, gap_mm + PUSH_MM):
        return []
    zones: list[Zone] = []
    planes = _planes(other.body)
    for mine in _planes(one.body):
        for theirs in planes:
            apart = -theirs.height - mine.height
            opposite = float(mine.normal @ theirs.normal) < -1 + _ALIKE
            if not opposite or not -PUSH_MM < apart < gap_mm + PUSH_MM:
                continue
            flipped = _onto(theirs, mine.normal)
            shared = mine.shape ^ flipped
            if float(shared.area()) > _LEAST_MM2:
                zones.append(_zone(one, mine.normal, mine.height, shared))
                zones.append(_zone(other, mine.normal, -theirs.height, shared, facing=-1.0))
    return zones


def _axes(normal: Array) -> tuple[Array, Array]:
    """Two unit vectors across a normal; the same for both sides of a plane but for their turn."""
    first = numpy.zeros(3)
    first[int(numpy.argmin(numpy.abs(normal)))] = 1.0
    across = numpy.cross(first, normal)
    across = across / numpy.linalg.norm(across)
    return across, numpy.cross(normal, across)


def _planes(body: Manifold) -> list[_Plane]:
    mesh = mesh_of(body)
    found: dict[tuple[float, ...], list[int]] = {}
    normals, corners = mesh.normals, mesh.corners  # each is worked out anew when it is asked for
    heights = numpy.einsum("ij,ij->i", normals, corners[:, 0])
    for n, (normal, height) in enumerate(zip(normals, heights, strict=True)):
        key = (*(round(float(v), 6) + 0.0 for v in normal), round(float(height), 5))
        found.setdefault(key, []).append(n)
    planes = []
    for chosen in found.values():
        normal = normals[chosen[0]]
        axes = numpy.array(_axes(normal))
        flat = corners[chosen] @ axes.T
        shape = CrossSection(list(flat), FillRule.Positive)
        planes.append(_Plane(normal, float(heights[chosen[0]]), shape))
    return planes


def _onto(plane: _Plane, normal: Array) -> CrossSection:
    """A plane's shape on the axes of the opposite normal."""
    to, of = numpy.array(_axes(normal)), numpy.array(_axes(plane.normal))
    turned = [
        (numpy.asarray(ring) @ of) @ to.T for ring in plane.shape.to_polygons()
    ]  # fmt: skip
    return CrossSection([ring[::-1] for ring in turned], FillRule.Positive)


def _zone(
    piece: Piece, normal: Array, height: float, shape: CrossSection, facing: float = 1.0
) -> Zone:
    axes = numpy.array(_axes(normal))
    flat = _hatch(shape)
    lines = flat @ axes + normal * height
    outward = normal * facing
    return Zone(piece, (float(outward[0]), float(outward[1]), float(outward[2])),
                float(shape.area()), lines)  # fmt: skip


def _hatch(shape: CrossSection) -> Array:
    """Slanting lines inside a shape: n × 2 × 2."""
    slant = numpy.array([[0.8, 0.6], [-0.6, 0.8]])
    rings = [numpy.asarray(ring) @ slant.T for ring in shape.to_polygons()]
    rows = numpy.concatenate([ring[:, 1] for ring in rings])
    first = numpy.ceil(rows.min() / _HATCH_MM) * _HATCH_MM
    lines: list[list[list[float]]] = []
    for row in numpy.arange(first, rows.max(), _HATCH_MM):
        cuts = sorted(x for ring in rings for x in _crossings(ring, float(row)))
        lines += [[[a, float(row)], [b, float(row)]] for a, b in zip(cuts[::2], cuts[1::2],
                                                                   strict=False)]  # fmt: skip
    return numpy.asarray(numpy.array(lines).reshape(-1, 2, 2) @ slant, dtype=numpy.float64)


def _crossings(ring: Array, row: float) -> list[float]:
    """Where a closed line crosses a row."""
    ends = numpy.roll(ring, -1, axis=0)
    over = (ring[:, 1] <= row) != (ends[:, 1] <= row)
    a, b = ring[over], ends[over]
    return [
        float(x)
        for x in a[:, 0] + (row - a[:, 1]) / (b[:, 1] - a[:, 1]) * (b[:, 0] - a[:, 0])
    ]  # fmt: skip
