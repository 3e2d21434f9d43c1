"""Where straight lines enter and leave bodies. Loads numpy. Imports ``mesh``."""

from __future__ import annotations

import numpy
from numpy.typing import NDArray

Array = NDArray[numpy.float64]
_PARALLEL = 1e-12
_ASIDE_MM = (3.1e-4, 1.7e-4, 2.3e-4)
"""Lines are moved by less than a micrometre, so that none runs along the edge of a triangle."""


def crossings(corners: Array, starts: Array, ways: Array) -> Array:
    """Where lines cross a surface, as distances along them: m × k, each row in order, then inf.

    ``corners``: n × 3 × 3; ``starts`` and unit ``ways``: m × 3. Distances may be below 0.
    """
    if not len(starts) or not len(corners):
        return numpy.zeros((len(starts), 0))
    base = corners[:, 0]
    one, other = corners[:, 1] - base, corners[:, 2] - base
    normal = _cross(one, other)
    begin = starts + numpy.array(_ASIDE_MM)
    steep = ways @ normal.T
    steep = numpy.where(numpy.abs(steep) < _PARALLEL, numpy.nan, steep)
    from_base = numpy.einsum("ij,ij->i", base, normal)
    with numpy.errstate(invalid="ignore"):
        along = (from_base - begin @ normal.T) / steep
        moment = _cross(begin, ways)
        u = (ways @ _cross(other, base).T - moment @ other.T) / steep
        v = (moment @ one.T - ways @ _cross(one, base).T) / steep
        hit = (u >= 0) & (v >= 0) & (u + v <= 1)
    return numpy.sort(numpy.where(hit, along, numpy.inf), axis=1)


def insides(distances: Array) -> list[list[tuple[float, float]]]:
    """For each line the stretches that lie inside, from sorted crossings."""
    found = []
    for row in distances:
        known = row[numpy.isfinite(row)]
        found.append(list(zip(known[::2].tolist(), known[1::2].tolist(), strict=False)))
    return found


def _cross(one: Array, other: Array) -> Array:
    """As numpy's own, which is slow for few rows."""
    out = numpy.empty_like(one)
    out[:, 0] = one[:, 1] * other[:, 2] - one[:, 2] * other[:, 1]
    out[:, 1] = one[:, 2] * other[:, 0] - one[:, 0] * other[:, 2]
    out[:, 2] = one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0]
    return out
