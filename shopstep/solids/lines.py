"""The edges of bodies as a viewer sees them: drawn flat, hidden lines removed.

Exact up to rounding: each edge is cut where a triangle that faces the viewer begins or ends to
cover it. Loads numpy and manifold3d. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy
from numpy.typing import NDArray

from shopstep.solids.bodies import Point
from shopstep.solids.mesh import Mesh, mesh_of

if TYPE_CHECKING:
    from manifold3d import Manifold

Array = NDArray[numpy.float64]
CREASE_COS = 0.94
"""Two faces that turn by less than about 20° are one round face; no line between them."""
_BEHIND_MM = 1e-3
"""A line must lie this much behind a face to be hidden by it."""
_INSIDE_MM = 1e-4
"""How far inside of a triangle's outline a line must run to be hidden by it."""
_LEAST_MM = 0.05
"""Shorter rests of lines are not drawn."""


@dataclass(frozen=True, slots=True)
class View:
    """How the viewer looks: unit vectors to the right, up, and towards the viewer."""

    right: Point
    up: Point
    viewer: Point

    def flat(self, points: Array) -> Array:
        """Points as right, up and towards the viewer."""
        axes = numpy.array([self.right, self.up, self.viewer])
        return numpy.asarray(points @ axes.T)


@dataclass(frozen=True, slots=True)
class Stretch:
    """A straight stretch of one body's edge on the picture's plane."""

    body: int
    """Index of the body in what was asked."""
    start: tuple[float, float]
    end: tuple[float, float]
    is_seen: bool


def draw_edges(bodies: Sequence[Manifold], view: View, keep_hidden: bool = False) -> list[Stretch]:
    """All edges of the bodies, cut into what is seen and (if asked for) what is hidden."""
    meshes = [mesh_of(body) for body in bodies]
    cover = _Cover.of(meshes, view)
    found: list[Stretch] = []
    for n, mesh in enumerate(meshes):
        edges, can_be_seen = _edges(mesh, view)
        for edge, open_side in zip(edges, can_be_seen, strict=True):
            if not open_side and not keep_hidden:
                continue
            hidden = cover.hidden(edge) if open_side else [(0.0, 1.0)]
            found += _stretches(n, edge, hidden, keep_hidden)
    return found


def draw_on(edges: Array, bodies: Sequence[Manifold], view: View) -> list[Stretch]:
    """What is seen of lines on faces (n × 2 × 3) behind and among bodies."""
    cover = _Cover.of([mesh_of(body) for body in bodies], view)
    found: list[Stretch] = []
    for n, edge in enumerate(edges):
        flat = view.flat(edge)
        found += _stretches(n, flat, cover.hidden(flat), keep_hidden=False)
    return found


def flat_edges(body: Manifold, view: View) -> list[Stretch]:
    """All edges of one body as they lie on the plane, hidden or not."""
    edges, _ = _edges(mesh_of(body), view)
    return [
        Stretch(0, (float(a[0]), float(a[1])), (float(b[0]), float(b[1])), True) for a, b in edges
    ]


def _stretches(
    body: int, edge: Array, hidden: list[tuple[float, float]], keep_hidden: bool
) -> list[Stretch]:
    length = float(numpy.hypot(*(edge[1, :2] - edge[0, :2])))
    out: list[Stretch] = []

    def add(begin: float, end: float, is_seen: bool) -> None:
        if (end - begin) * length > _LEAST_MM:
            a, b = (edge[0] + (edge[1] - edge[0]) * t for t in (begin, end))
            start, stop = (float(a[0]), float(a[1])), (float(b[0]), float(b[1]))
            out.append(Stretch(body, start, stop, is_seen))

    at = 0.0
    for begin, end in hidden:
        add(at, begin, True)
        if keep_hidden:
            add(begin, end, False)
        at = max(at, end)
    add(at, 1.0, True)
    return out


def _edges(mesh: Mesh, view: View) -> tuple[Array, NDArray[numpy.bool_]]:
    """Creases and outlines: their ends on the plane, and whether a face beside them looks here."""
    normals = mesh.normals
    facing = normals @ numpy.array(view.viewer)
    triangles = mesh.triangles
    sides = numpy.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
    owner = numpy.tile(numpy.arange(len(triangles)), 3)
    order = numpy.lexsort((owner, sides.max(axis=1), sides.min(axis=1)))
    sides, owner = numpy.sort(sides[order], axis=1), owner[order]
    first = numpy.nonzero((sides[:-1] == sides[1:]).all(axis=1))[0]
    one, other = owner[first], owner[first + 1]
    turn = numpy.einsum("ij,ij->i", normals[one], normals[other])
    seen = (facing[one] > 1e-9) | (facing[other] > 1e-9)
    outline = (facing[one] > 1e-9) != (facing[other] > 1e-9)
    wanted = (turn < CREASE_COS) | (outline & (turn < 1 - 1e-9))
    pairs = sides[first][wanted]
    return view.flat(mesh.points)[pairs], seen[wanted]


@dataclass(frozen=True, slots=True)
class _Cover:
    """All triangles that face the viewer, ready to be asked what they hide."""

    corners: Array
    """n × 3 × 3: right, up, towards the viewer; turning left."""
    inward: Array
    """n × 3 × 2: unit normals of the sides, pointing inwards."""
    slope: Array
    """n × 3: depth = a·x + b·y + c on the triangle's plane."""
    low: Array
    high: Array

    @classmethod
    def of(cls, meshes: Sequence[Mesh], view: View) -> _Cover:
        corners = numpy.concatenate([view.flat(mesh.corners) for mesh in meshes])
        a, b, c = (corners[:, n] for n in range(3))
        normal = numpy.cross(b - a, c - a)
        size = numpy.linalg.norm(normal, axis=1)
        keep = normal[:, 2] > 1e-9 * size
        corners, normal = corners[keep], normal[keep]
        along = numpy.roll(corners[:, :, :2], -1, axis=1) - corners[:, :, :2]
        inward = numpy.stack([-along[:, :, 1], along[:, :, 0]], axis=2)
        inward /= numpy.linalg.norm(inward, axis=2, keepdims=True)
        slope = numpy.empty((len(corners), 3))
        slope[:, :2] = -normal[:, :2] / normal[:, 2:]
        slope[:, 2] = corners[:, 0, 2] - (slope[:, :2] * corners[:, 0, :2]).sum(axis=1)
        return cls(corners, inward, slope, corners.min(axis=1), corners.max(axis=1))

    def hidden(self, edge: Array) -> list[tuple[float, float]]:
        """Where along an edge (0 to 1) it is hidden, in order, without overlaps."""
        low, high = edge.min(axis=0), edge.max(axis=0)
        near = (
            (self.high[:, :2] > low[:2]).all(axis=1)
            & (self.low[:, :2] < high[:2]).all(axis=1)
            & (self.high[:, 2] > low[2] + _BEHIND_MM)
        )
        if not near.any():
            return []
        begin, end = self._covered(edge, near)
        hides = end - begin > 1e-9
        return _joined(sorted(zip(begin[hides].tolist(), end[hides].tolist(), strict=True)))

    def _covered(self, edge: Array, near: NDArray[numpy.bool_]) -> tuple[Array, Array]:
        """For each near triangle the stretch that satisfies its three sides and its depth."""
        corners, inward, slope = self.corners[near], self.inward[near], self.slope[near]
        begin, end = numpy.zeros(len(corners)), numpy.ones(len(corners))
        at = [
            numpy.einsum("ijk,ijk->ij", inward, edge[n, :2] - corners[:, :, :2]) - _INSIDE_MM
            for n in range(2)
        ]
        depth = [
            slope[:, 0] * edge[n, 0] + slope[:, 1] * edge[n, 1] + slope[:, 2]
            - edge[n, 2] - _BEHIND_MM
            for n in range(2)
        ]  # fmt: skip
        for side in range(3):
            _clip(begin, end, at[0][:, side], at[1][:, side])
        _clip(begin, end, depth[0], depth[1])
        return begin, end


def _clip(begin: Array, end: Array, first: Array, last: Array) -> None:
    """Narrow stretches to where a value that runs from ``first`` to ``last`` is above zero."""
    change = last - first
    with numpy.errstate(divide="ignore", invalid="ignore"):
        cross = numpy.where(change != 0, -first / change, 0.0)
    numpy.copyto(begin, numpy.maximum(begin, cross), where=(change > 0))
    numpy.copyto(end, numpy.minimum(end, cross), where=(change < 0))
    numpy.copyto(end, -1.0, where=(change == 0) & (first <= 0))


def _joined(spans: list[tuple[float, float]]) -> list[tuple[float, float]]:
    joined: list[tuple[float, float]] = []
    for begin, end in spans:
        if joined and begin <= joined[-1][1] + 1e-9:
            joined[-1] = (joined[-1][0], max(joined[-1][1], end))
        else:
            joined.append((begin, end))
    return joined
