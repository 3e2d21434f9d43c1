"""The surface of a body as points and triangles. Loads numpy and manifold3d."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy
from numpy.typing import NDArray

if TYPE_CHECKING:
    from manifold3d import Manifold

Points = NDArray[numpy.float64]
Triangles = NDArray[numpy.int64]


@dataclass(frozen=True, slots=True)
class Mesh:
    """Corners in millimetres, and triangles by their corners, turning left seen from outside."""

    points: Points
    triangles: Triangles

    @property
    def corners(self) -> Points:
        """The three corners of every triangle: an array of n × 3 × 3."""
        return numpy.asarray(self.points[self.triangles], dtype=numpy.float64)

    @property
    def normals(self) -> Points:
        """Outward unit normals of the triangles."""
        corners = self.corners
        cross = numpy.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        return numpy.asarray(cross / numpy.linalg.norm(cross, axis=1, keepdims=True))


def mesh_of(body: Manifold) -> Mesh:
    """The surface, each corner once, without triangles that have no area."""
    raw = body.to_mesh64()
    points = numpy.asarray(raw.vert_properties, dtype=numpy.float64)[:, :3]
    triangles = numpy.asarray(raw.tri_verts, dtype=numpy.int64)
    same = numpy.arange(len(points))
    if len(raw.merge_from_vert):
        same[numpy.asarray(raw.merge_from_vert)] = numpy.asarray(raw.merge_to_vert)
    triangles = same[triangles]
    corners = points[triangles]
    cross = numpy.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return Mesh(points, triangles[numpy.linalg.norm(cross, axis=1) > 0.0])
