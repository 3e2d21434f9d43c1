"""The straight way on which pieces come to their places, and what stands in it.

The whole way is swept as a solid, so nothing is so thin that it could be jumped over.
Loads manifold3d and numpy. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy
from manifold3d import CrossSection, FillRule, Manifold

from shopstep.model.feature import Face
from shopstep.solids.bodies import Box6, Piece, Point
from shopstep.solids.measures import boxes_meet, shared_mm3, shifted_box
from shopstep.solids.mesh import Mesh, mesh_of

WAYS: dict[str, Point] = {
    Face.TOP: (0.0, 0.0, 1.0),
    Face.BACK: (1.0, 0.0, 0.0),
    Face.FRONT: (-1.0, 0.0, 0.0),
    Face.RIGHT: (0.0, 1.0, 0.0),
    Face.LEFT: (0.0, -1.0, 0.0),
    Face.BOTTOM: (0.0, 0.0, -1.0),
}
"""The face of the finished thing that a piece comes from, and the direction to that side."""
HAIR_MM = 1e-5
"""Ten nanometres: what halving an odd length may leave."""
_SKIN_MM3 = 0.5
"""No more than this is left of a face that is a nanometre off; more is wood in any case."""
_SEAT_MM = 2.0
"""How far a piece is pushed on to see against what it comes to sit."""
_FLAT = 1e-12


@dataclass(frozen=True, slots=True)
class Way:
    """A way in, or what stands in it."""

    comes_from: str
    """A face of the finished thing."""
    blocked_by: Piece | None = None
    """The piece that stands in the way; None where it is free."""

    @property
    def direction(self) -> Point:
        """Out along the way, as a unit vector."""
        return WAYS[self.comes_from]


def find_way(
    moved: tuple[Piece, ...], there: Iterable[Piece], wanted: str = "", *, seated: bool = True
) -> Way:
    """The first free way in, the one that seats the pieces best before all others.

    ``wanted``: the only face that they may come from. ``seated``: False takes any free way, which
    is quicker. Where no way is free, the first one comes back with what stands in it.
    """
    obstacles = tuple(there)
    ways = [wanted] if wanted else _by_seat(moved, obstacles) if seated else list(WAYS)
    found = Way(ways[0])
    for n, comes_from in enumerate(ways):
        way = Way(comes_from, _first_in_way(moved, obstacles, WAYS[comes_from]))
        if way.blocked_by is None:
            return way
        found = way if n == 0 else found
    return found


def is_wood(shared: Manifold) -> bool:
    """Whether a shared volume is more than the skin that a rounded nanometre leaves."""
    volume = float(shared.volume())
    if volume <= 0.0:
        return False
    return volume > _SKIN_MM3 or 2 * volume / float(shared.surface_area()) > HAIR_MM


def _by_seat(moved: tuple[Piece, ...], obstacles: tuple[Piece, ...]) -> list[str]:
    """All faces, that one first against whose opposite the pieces come to sit most."""
    seats = {
        face: sum(
            shared_mm3(piece.body.translate(_times(way, -_SEAT_MM)), other.body)
            for piece in moved
            for other in obstacles
            if boxes_meet(shifted_box(piece.box, way, -_SEAT_MM), other.box)
        )
        for face, way in WAYS.items()
    }
    outwards = _outwards(moved, obstacles)
    return sorted(
        WAYS,
        key=lambda face: (
            -round(seats[face], 3),
            -round(sum(a * b for a, b in zip(WAYS[face], outwards, strict=True)), 3),
        ),
    )


def _outwards(moved: tuple[Piece, ...], obstacles: tuple[Piece, ...]) -> list[float]:
    """From the middle of what is there to the middle of what comes."""
    boxes = [piece.box for piece in moved]
    others = [piece.box for piece in obstacles] or boxes
    return [_middle(boxes, n) - _middle(others, n) for n in range(3)]


def _middle(boxes: list[Box6], axis: int) -> float:
    return (min(box[axis] for box in boxes) + max(box[axis + 3] for box in boxes)) / 2


def _times(way: Point, factor: float) -> Point:
    return way[0] * factor, way[1] * factor, way[2] * factor


def _first_in_way(
    moved: tuple[Piece, ...], obstacles: tuple[Piece, ...], way: Point
) -> Piece | None:
    axis = max(range(3), key=lambda n: abs(way[n]))
    for piece in moved:
        reach = _reach_mm(piece.box, obstacles, axis, way[axis] > 0)
        if reach <= 0.0:
            continue
        room = _box_swept(piece.box, axis, way[axis] * reach)
        near = [other for other in obstacles if boxes_meet(room, other.box)]
        swept = sweep(piece.body, axis, way[axis] * reach) if near else []
        solids = [(solid, solid.bounding_box()) for solid in swept]
        for other in near:
            if any(boxes_meet(b, other.box) and is_wood(s ^ other.body) for s, b in solids):
                return other
    return None


def _reach_mm(own: Box6, obstacles: tuple[Piece, ...], axis: int, up: bool) -> float:
    """How far it moves until it is out of the box round all that is there."""
    if up:
        return max((p.box[axis + 3] for p in obstacles), default=own[axis]) - own[axis]
    return own[axis + 3] - min((p.box[axis] for p in obstacles), default=own[axis + 3])


def _box_swept(box: Box6, axis: int, by_mm: float) -> Box6:
    ends = list(box)
    ends[axis] += min(by_mm, 0.0)
    ends[axis + 3] += max(by_mm, 0.0)
    return ends[0], ends[1], ends[2], ends[3], ends[4], ends[5]


def sweep(body: Manifold, axis: int, by_mm: float) -> list[Manifold]:
    """Solids that together fill what a body fills while it moves along an axis by ``by_mm``.

    Exactly: the body, and before each of its faces that look along the way a prism.
    """
    mesh = mesh_of(body)
    ahead = mesh.normals[:, axis] * numpy.sign(by_mm)
    prisms = _flat_prisms(mesh, ahead > 1 - _FLAT, axis, by_mm)
    for corners in mesh.corners[(ahead > _FLAT) & (ahead <= 1 - _FLAT)]:
        moved = corners.copy()
        moved[:, axis] += by_mm
        prisms.append(Manifold.hull_points(numpy.concatenate([corners, moved])))
    return [body, *prisms]


def _flat_prisms(mesh: Mesh, chosen: numpy.ndarray, axis: int, by_mm: float) -> list[Manifold]:
    """Prisms before the faces that stand across the way, one for each plane."""
    first, second = (axis + 1) % 3, (axis + 2) % 3
    columns = numpy.zeros((3, 4))
    columns[[first, second, axis], [0, 1, 2]] = 1.0
    corners = mesh.corners[chosen]
    heights = numpy.round(corners[:, 0, axis], 9)
    prisms = []
    for height in sorted(set(heights.tolist())):
        flat = corners[heights == height][:, :, [first, second]]
        outline = CrossSection([tri if by_mm > 0 else tri[::-1] for tri in flat], FillRule.Positive)
        base = float(corners[heights == height][0, 0, axis]) + min(by_mm, 0.0)
        prism = Manifold.extrude(outline, abs(by_mm)).transform(columns)
        shift = [0.0, 0.0, 0.0]
        shift[axis] = base
        prisms.append(prism.translate((shift[0], shift[1], shift[2])))
    return prisms
