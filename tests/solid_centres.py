"""Where the middle of a body's wood is, by its corners."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy

from shopstep.solids.bodies import Point
from shopstep.solids.mesh import mesh_of

if TYPE_CHECKING:
    from manifold3d import Manifold


def centre_of(body: Manifold) -> Point:
    """The centre of its volume, in millimetres."""
    corners = mesh_of(body).corners
    origin = corners[0, 0]
    a, b, c = (corners[:, n] - origin for n in range(3))
    six_volumes = numpy.einsum("ij,ij->i", a, numpy.cross(b, c))
    centre = origin + (six_volumes[:, None] * (a + b + c) / 4).sum(axis=0) / six_volumes.sum()
    return float(centre[0]), float(centre[1]), float(centre[2])
