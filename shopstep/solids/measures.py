"""What is measured on bodies: where boxes meet, and the area on which two bodies do.

No numpy; the bodies are of manifold3d.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopstep.solids.bodies import Box6, Piece, Point

if TYPE_CHECKING:
    from manifold3d import Manifold

PUSH_MM = 0.001
"""One micrometre: how far a piece is pushed to see on what area it meets another."""
AXIS_WAYS: tuple[Point, ...] = (
    (1.0, 0.0, 0.0),
    (-1.0, 0.0, 0.0),
    (0.0, 1.0, 0.0),
    (0.0, -1.0, 0.0),
    (0.0, 0.0, 1.0),
    (0.0, 0.0, -1.0),
)


def shared_mm3(one: Manifold, other: Manifold) -> float:
    """The volume that both fill, in cubic millimetres."""
    return float((one ^ other).volume())


def boxes_meet(a: Box6, b: Box6, reach_mm: float = 0.0) -> bool:
    """Whether two boxes share a place, or come within a reach of each other."""
    return all(a[n] < b[n + 3] + reach_mm and b[n] < a[n + 3] + reach_mm for n in range(3))


def shifted_box(box: Box6, way: Point, by_mm: float) -> Box6:
    """A box moved along a direction."""
    x, y, z = (value * by_mm for value in way)
    return box[0] + x, box[1] + y, box[2] + z, box[3] + x, box[4] + y, box[5] + z


def met_mm2(member: Manifold, into: Manifold, gap_mm: float = 0.0, is_sloped: bool = True) -> float:
    """The area on which a member meets another piece, in square millimetres.

    Faces that are no more than ``gap_mm`` apart meet: a groove's play, filled with glue. The
    member is pushed along every axis by the gap and by 1 µm more; the volume gained, over that
    push, is the area. For faces across an axis only; ``gluing.meeting_mm2`` knows slopes too.
    """
    own, other = member.bounding_box(), into.bounding_box()
    if not boxes_meet(own, other, gap_mm + 2 * PUSH_MM):
        return 0.0
    still = shared_mm3(member, into) if not gap_mm else 0.0
    ways = [w for w in AXIS_WAYS if boxes_meet(shifted_box(own, w, gap_mm + PUSH_MM), other)]
    return sum(_met_along(member, into, way, gap_mm, still) for way in ways)


def _met_along(
    member: Manifold, into: Manifold, way: Point, gap_mm: float, still_mm3: float
) -> float:
    near = shared_mm3(_pushed(member, way, gap_mm), into) if gap_mm else still_mm3
    far = shared_mm3(_pushed(member, way, gap_mm + PUSH_MM), into)
    return max(0.0, far - near) / PUSH_MM


def _pushed(body: Manifold, way: Point, by_mm: float) -> Manifold:
    return body.translate((way[0] * by_mm, way[1] * by_mm, way[2] * by_mm))


def pieces_named(pieces: tuple[Piece, ...], name: str) -> tuple[Piece, ...]:
    """All pieces of a part, of both hands."""
    return tuple(piece for piece in pieces if piece.part.name == name)
