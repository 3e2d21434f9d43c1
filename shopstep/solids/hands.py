"""Where the free hand goes while a nail is driven, worked out from the pieces. Loads no solids.

The hand holds the piece that the nail goes through: all of the hand at least as far from the nail
as told, and beside the plane in which a nail turns, which runs through the nail and to both sides
of the nailer. The nailer is held so that this plane follows the longer way of the wood that it
shoots into.
Imports ``axes`` and ``shopstep.model``. Millimetres.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import product

from shopstep.model.step import Handhold, HoldKind
from shopstep.solids.axes import Axis, Stand, Vector
from shopstep.words import to_say

HAND_MM = 90.0
"""Breadth of a hand on the wood, 3 1/2 in; common practice, no source."""
_POINTS = 9
"""Places tried along each edge of a piece."""
_ENDS = to_say((("front end", "back end"), ("left end", "right end"), ("lower end", "upper end")))
_LEVEL = 0.5


@dataclass(frozen=True, slots=True)
class _Place:
    """A place to hold, and the end of the piece that it is near."""

    point: Vector
    end: str


def handholds(
    axes: Iterable[Axis], stands: tuple[Stand, ...], reach_mm: float
) -> tuple[Handhold, ...]:
    """For each part that is nailed through, how it is held; ``reach_mm``: least way to the nail.

    A single place for all nails of a piece where there is one; else the end away from each nail; a
    piece that a hand cannot hold for every nail is clamped, or lies against cleats for all of them.
    """
    pieces = {stand.key: stand for stand in stands}
    by_part: dict[str, dict[tuple[str, str, int], list[Axis]]] = {}
    for axis in axes:
        by_part.setdefault(axis.through[0], {}).setdefault(axis.through, []).append(axis)
    found = []
    for nailed in by_part.values():
        holds = [_hold(pieces[key], own, reach_mm) for key, own in nailed.items()]
        found.append(_worst(holds, sum(len(own) for own in nailed.values())))
    return tuple(found)


def _worst(holds: list[Handhold], nails: int) -> Handhold:
    """One answer for all pieces of a part: the one that asks for most."""
    order = (HoldKind.FREE, HoldKind.AWAY, HoldKind.CLEAT, HoldKind.CLAMP)
    worst = max(holds, key=lambda hold: order.index(hold.how))
    ends = {hold.end for hold in holds}
    return Handhold(worst.how, worst.part, worst.end if len(ends) == 1 else "", nails)


def _hold(piece: Stand, nails: list[Axis], reach_mm: float) -> Handhold:
    places = _places(piece)
    good = [[_is_good(place, nail, reach_mm) for nail in nails] for place in places]
    part = piece.part.title
    for place, row in zip(places, good, strict=True):
        if all(row):
            return Handhold(HoldKind.FREE, part, place.end, len(nails))
    if all(any(row[n] for row in good) for n in range(len(nails))):
        return Handhold(HoldKind.AWAY, part, "", len(nails))
    sideways = all(abs(nail.way[2]) < _LEVEL for nail in nails)
    return Handhold(HoldKind.CLEAT if sideways else HoldKind.CLAMP, part, "", len(nails))


def _places(piece: Stand) -> list[_Place]:
    """Middles of a hand along all edges of the piece's box, the ends of its longest way first."""
    low, high = piece.low, piece.high
    longest = max(range(3), key=lambda n: high[n] - low[n])
    spans: list[list[float]] = []
    for n in range(3):
        if n == longest and high[n] - low[n] > HAND_MM:
            first, last = low[n] + HAND_MM / 2, high[n] - HAND_MM / 2
            along = [first + (last - first) * k / (_POINTS - 1) for k in range(_POINTS)]
            spans.append(sorted(along, key=lambda v: -abs(v - (low[longest] + high[longest]) / 2)))
        elif n == longest:
            spans.append([(low[n] + high[n]) / 2])
        else:
            spans.append([low[n], high[n]])
    middle = (low[longest] + high[longest]) / 2
    found = [
        _Place((x, y, z), _ENDS[longest][1 if (x, y, z)[longest] > middle else 0])
        for x, y, z in product(*spans)
    ]
    return sorted(found, key=lambda place: -abs(place.point[longest] - middle))


def _is_good(place: _Place, nail: Axis, reach_mm: float) -> bool:
    """Far enough from all of the nail, and outside of the plane that it can turn in."""
    off = _minus(place.point, nail.head)
    along = min(nail.size.length_mm, max(0.0, _dot(off, nail.way)))
    beside = _minus(off, _times(nail.way, along))
    if _dot(beside, beside) ** 0.5 < reach_mm + HAND_MM / 2:
        return False
    across = _square_to(nail.way, nail.across)
    normal = _cross(nail.way, across)
    # where the build does not say what holds it, the nailer may be held either way
    planes = [normal] if nail.into else [normal, across]
    return any(abs(_dot(off, plane)) >= HAND_MM / 2 for plane in planes)


def _square_to(way: Vector, side: Vector) -> Vector:
    off = _dot(way, side)
    rest = _minus(side, _times(way, off))
    return _times(rest, 1 / _dot(rest, rest) ** 0.5)


def _dot(a: Vector, b: Vector) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def _minus(a: Vector, b: Vector) -> Vector:
    return a[0] - b[0], a[1] - b[1], a[2] - b[2]


def _times(a: Vector, by: float) -> Vector:
    return a[0] * by, a[1] * by, a[2] * by


def _cross(a: Vector, b: Vector) -> Vector:
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])
