"""What fasteners pass through, and what is wrong with it. Loads numpy and manifold3d.

Imports ``axes``, ``bodies`` and ``rays``. All lengths in millimetres.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import TYPE_CHECKING

import numpy

from shopstep.solids.axes import Axis, Vector, moved
from shopstep.solids.bodies import Piece
from shopstep.solids.boxes import AXES
from shopstep.solids.mesh import mesh_of
from shopstep.solids.rays import Array, crossings, insides

if TYPE_CHECKING:
    from numpy.typing import NDArray

SEAT_MM = 0.8
"""How far off a face a head may lie: 1/32 in."""
ACCESS_MM = {"screw": 150.0, "brad": 75.0, "staple": 50.0}
"""Free way that a bit or a nose needs before the head; common practice, no source."""
HOLD_DIAMETERS = {"screw": 2.5, "brad": 6.0, "staple": 6.0}
"""Least way in the holding wood. Nails: 6 D, NDS, from memory. Screws in boards this thin have no
room for that: 2.5 D, common practice, no source."""
GLUED_SHARE = 0.5
"""Of that where the joint is glued too and they only press; common practice, no source."""
FULL_DIAMETERS = 6.0
"""Least way that carries a load by NDS, from memory."""
LEFT_MM = {"screw": 25.4 / 16, "brad": 25.4 / 8, "staple": 25.4 / 8}
"""Wood left before the point: 1/8 in, common practice; of a screw, whose hole stops at a mark,
1/16 in."""
EDGE_DIAMETERS = {"screw": 1.5, "brad": 2.5, "staple": 2.5}
"""Least from the middle to an edge: nails 2.5 D as NDS commentary, table C12.1.6.6, from memory;
bored screws one diameter of wood beside them, common practice, no source."""
END_DIAMETERS = {"screw": 1.5, "brad": 5.0, "staple": 5.0}
"""Least to an end of the grain. That table says 5 D bored, 10 D not bored, for joints that carry
by their nails alone: half of it for thin nails that only hold until the glue does."""
BETWEEN_MM = 25.4 / 32
"""Wood between two fasteners; common practice, no source."""
BLADE_MM = 25.4 / 16
"""Kept clear of a later cut; common practice, no source."""
_WITHIN, _TO_POINT = (0.3, 0.5, 0.7), (0.3, 0.6, 0.95)
"""Where along its way in a piece a fastener's edges are measured; near a sloping face that it goes
in by, that face would count as an edge."""
_FAR_MM = 25.0
"""Edges further away are not looked for."""
_MANY = 200
"""Of a body with more triangles only those near a fastener are looked at."""
_GROUND_MM = 1.0
"""Less than this of another piece is only touched."""
_HAIR_MM = 1e-2


class Wrong(StrEnum):
    """What can be wrong with one fastener."""

    HEAD_OFF = "head_off"
    NOT_THERE = "not_there"
    COVERED = "head_covered"
    STRANGER = "wrong_wood"
    VOID = "in_a_groove"
    LITTLE = "holds_too_little"
    OUT = "comes_out"
    EDGE = "near_edge"


NOWHERE = (Wrong.NOT_THERE, Wrong.HEAD_OFF)
"""Of a fastener that begins nowhere nothing else can be said."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong."""

    wrong: Wrong
    mm: float
    """How much it is off: what sticks out, what is there of what is wanted."""
    piece: Piece | None = None
    side: Vector = (0.0, 0.0, 0.0)
    """Of an edge: towards it."""
    wanted_mm: float = 0.0


@dataclass(slots=True)
class Track:
    """One fastener and the pieces on its line: from where to where, 0 at the head."""

    axis: Axis
    spans: list[tuple[float, float, Piece]] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    least_edge_mm: float = float("inf")
    hold_mm: float = 0.0


@dataclass(slots=True)
class Wood:
    """The pieces of a design, each with its surface, worked out when first asked for."""

    is_wood: Callable[[Piece], bool]
    glued: frozenset[frozenset[str]] = frozenset()
    """Pairs of parts that glue joins."""
    _corners: dict[tuple[str, str, int], Array] = field(default_factory=dict)

    def corners(self, piece: Piece) -> Array:
        """The triangles of a piece."""
        if piece.key not in self._corners:
            self._corners[piece.key] = mesh_of(piece.body).corners
        return self._corners[piece.key]


def track(
    axes: Sequence[Axis], there: Sequence[tuple[Piece, ...]], wood: Wood, has_order: bool = True
) -> list[Track]:
    """Every fastener judged; ``there``: for each the pieces that stand there when it is driven.

    ``has_order``: False where that is not known, so that nothing can lie over a head too early.
    """
    tracks = [Track(axis) for axis in axes]
    _find_spans(tracks, there, wood)
    for one, pieces in zip(tracks, there, strict=True):
        here = {piece.key for piece in pieces}
        if not here.issuperset({one.axis.through, one.axis.into or one.axis.through}):
            one.faults.append(Fault(Wrong.NOT_THERE, 0.0))
            continue
        one.spans.sort(key=lambda span: span[:2])
        faults = _faults_along(one, wood)
        one.faults += [f for f in faults if has_order or f.wrong is not Wrong.COVERED]
    _find_edges(tracks, wood)
    return tracks


def _find_spans(tracks: list[Track], there: Sequence[tuple[Piece, ...]], wood: Wood) -> None:
    asked: dict[tuple[str, str, int], tuple[Piece, list[Track]]] = {}
    for one, pieces in zip(tracks, there, strict=True):
        box = _box_of(one.axis)
        for piece in pieces:
            if all(box[n] < piece.box[n + 3] and piece.box[n] < box[n + 3] for n in range(3)):
                asked.setdefault(piece.key, (piece, []))[1].append(one)
    for piece, ones in asked.values():
        starts = numpy.array([one.axis.head for one in ones])
        ways = numpy.array([one.axis.way for one in ones])
        found = insides(crossings(wood.corners(piece), starts, ways))
        for one, stretches in zip(ones, found, strict=True):
            one.spans += [(begin, end, piece) for begin, end in stretches]


def _box_of(axis: Axis) -> tuple[float, float, float, float, float, float]:
    back = moved(axis.head, axis.way, -ACCESS_MM[axis.size.kind])
    tip = moved(axis.tip, axis.way, 10.0)
    low = [min(a, b) - _HAIR_MM for a, b in zip(back, tip, strict=True)]
    high = [max(a, b) + _HAIR_MM for a, b in zip(back, tip, strict=True)]
    return low[0], low[1], low[2], high[0], high[1], high[2]


def _faults_along(one: Track, wood: Wood) -> list[Fault]:
    axis, size = one.axis, one.axis.size
    outer = [span for span in one.spans if span[2].key == axis.through]
    seat = next((s for s in outer if abs(s[0]) < SEAT_MM), None)
    if seat is None:
        return [Fault(Wrong.HEAD_OFF, 0.0)]
    faults = _cover(one)
    driven = [s for s in one.spans if s[1] > SEAT_MM and s[0] < size.length_mm and s is not seat]
    last = seat[1]
    for begin, end, piece in driven:
        if begin - last > 25.4 / 8 and last < size.length_mm:
            faults.append(Fault(Wrong.VOID, begin - last, piece))
        last = max(last, end)
        inside = min(end, size.length_mm) - begin
        if _is_stranger(axis, piece, wood) and inside > _GROUND_MM:
            faults.append(Fault(Wrong.STRANGER, inside, piece))
        elif piece.key != axis.through and wood.is_wood(piece):
            one.hold_mm += inside
    wanted = HOLD_DIAMETERS[size.kind] * size.diameter_mm
    if axis.into and frozenset((axis.through[0], axis.into[0])) in wood.glued:
        wanted *= GLUED_SHARE
    if one.hold_mm < wanted - _HAIR_MM:
        faults.append(Fault(Wrong.LITTLE, one.hold_mm, None, wanted_mm=wanted))
    return faults + _out(one, [seat, *driven])


def _is_stranger(axis: Axis, piece: Piece, wood: Wood) -> bool:
    """Wood that the fastener has nothing to do with."""
    if axis.into is None or not wood.is_wood(piece) or piece.key == axis.through:
        return False
    return piece.key[0] != axis.into[0]


def _cover(one: Track) -> list[Fault]:
    reach = -ACCESS_MM[one.axis.size.kind]
    before = [s for s in one.spans if s[0] < -SEAT_MM and s[1] > reach]
    return [Fault(Wrong.COVERED, -s[1], s[2]) for s in before[-1:]]


def _out(one: Track, driven: list[tuple[float, float, Piece]]) -> list[Fault]:
    """The point lies in wood, with enough before it; what follows without a gap counts."""
    length, left = one.axis.size.length_mm, LEFT_MM[one.axis.size.kind]
    end = 0.0
    last = driven[0][2]
    for begin, stop, piece in sorted(driven, key=lambda s: s[:2]):
        if begin <= length and (begin - end < _HAIR_MM or begin < length - _HAIR_MM):
            end, last = max(end, stop), piece
    if end < length + left - _HAIR_MM:
        return [Fault(Wrong.OUT, length - end, last, wanted_mm=left)]
    return []


def _find_edges(tracks: list[Track], wood: Wood) -> None:
    """The least wood beside each fastener, to the sides, in every piece that it passes."""
    asked: dict[tuple[str, str, int], tuple[Piece, list[tuple[Track, Array, Array]]]] = {}
    for one in tracks:
        if any(fault.wrong in NOWHERE for fault in one.faults):
            continue
        ways = numpy.array(_sides(one.axis))
        for begin, end, piece in one.spans:
            low, high = max(begin, 0.0), min(end, one.axis.size.length_mm)
            if high - low < _GROUND_MM or not wood.is_wood(piece):
                continue
            shares = _WITHIN if piece.key == one.axis.through else _TO_POINT
            at = numpy.array([low + (high - low) * share for share in shares])
            points = numpy.array(one.axis.head) + at[:, None] * numpy.array(one.axis.way)
            starts = numpy.repeat(points, len(ways), axis=0)
            asked.setdefault(piece.key, (piece, []))[1].append(
                (one, starts, numpy.tile(ways, (len(at), 1)))
            )
    for piece, rays in asked.values():
        corners = wood.corners(piece)
        many = len(corners) > _MANY
        lows, highs = corners.min(axis=1), corners.max(axis=1)
        for group in [[ray] for ray in rays] if many else [rays]:
            starts = numpy.concatenate([ray[1] for ray in group])
            ways = numpy.concatenate([ray[2] for ray in group])
            near = corners[_near(lows, highs, starts)] if many else corners
            found = crossings(near, starts, ways)
            ahead = numpy.where(found > 0.0, found, _FAR_MM).min(axis=1, initial=_FAR_MM)
            at_ray = 0
            for one, own, _ in group:
                _judge_edges(one, piece, ahead[at_ray : at_ray + len(own)])
                at_ray += len(own)


def _near(low: Array, high: Array, points: Array) -> NDArray[numpy.bool_]:
    """Which triangles (by their least and most corners) are within ``_FAR_MM`` of points."""
    least, most = points.min(axis=0) - _FAR_MM, points.max(axis=0) + _FAR_MM
    return numpy.asarray(((high > least) & (low < most)).all(axis=1))


def _sides(axis: Axis) -> tuple[Vector, ...]:
    """Four directions square to the fastener."""
    w, a = axis.way, axis.across
    off = w[0] * a[0] + w[1] * a[1] + w[2] * a[2]
    x, y, z = a[0] - w[0] * off, a[1] - w[1] * off, a[2] - w[2] * off
    size = (x * x + y * y + z * z) ** 0.5
    x, y, z = x / size, y / size, z / size
    u, v, t = w[1] * z - w[2] * y, w[2] * x - w[0] * z, w[0] * y - w[1] * x
    return (x, y, z), (-x, -y, -z), (u, v, t), (-u, -v, -t)


def _judge_edges(one: Track, piece: Piece, ahead: Array) -> None:
    sides = _sides(one.axis)
    grain = AXES.index(piece.part.runs[0])
    size = one.axis.size
    for n, side in enumerate(sides):
        room = float(ahead[n :: len(sides)].min())
        one.least_edge_mm = min(one.least_edge_mm, room / size.diameter_mm)
        is_end = abs(side[grain]) > 0.7
        wanted = (END_DIAMETERS if is_end else EDGE_DIAMETERS)[size.kind] * size.diameter_mm
        if room < wanted - _HAIR_MM:
            one.faults.append(Fault(Wrong.EDGE, room, piece, side, wanted))


def near_pairs(axes: Sequence[Axis]) -> list[tuple[int, int, float]]:
    """Pairs of fasteners that touch or leave too little wood between, with what is missing."""
    if len(axes) < 2:
        return []
    heads = numpy.array([axis.head for axis in axes])
    tips = numpy.array([axis.tip for axis in axes])
    radii = numpy.array([axis.size.diameter_mm / 2 for axis in axes])
    low = numpy.minimum(heads, tips) - radii[:, None] - BETWEEN_MM
    high = numpy.maximum(heads, tips) + radii[:, None] + BETWEEN_MM
    near = (low[:, None] < high[None]).all(axis=2) & (low[None] < high[:, None]).all(axis=2)
    found = []
    for i, j in zip(*numpy.nonzero(numpy.triu(near, 1)), strict=True):
        one, other = axes[i], axes[j]
        if (one.step, one.number) == (other.step, other.number):
            continue
        apart = _apart(heads[i], tips[i], heads[j], tips[j])
        missing = float(radii[i] + radii[j]) + BETWEEN_MM - apart
        if missing > _HAIR_MM:
            found.append((int(i), int(j), missing))
    return found


def _apart(a: Array, b: Array, c: Array, d: Array) -> float:
    """The least distance between two stretches a–b and c–d."""
    one, other, off = b - a, d - c, a - c
    aa, bb, ab = float(one @ one), float(other @ other), float(one @ other)
    ao, bo = float(one @ off), float(other @ off)
    spread = aa * bb - ab * ab
    s = min(1.0, max(0.0, (ab * bo - ao * bb) / spread)) if spread > 1e-9 * aa * bb else 0.0
    t = (ab * s + bo) / bb
    if not 0.0 <= t <= 1.0:
        t = min(1.0, max(0.0, t))
        s = min(1.0, max(0.0, (ab * t - ao) / aa))
    return float(numpy.linalg.norm(off + one * s - other * t))


def in_cut(one: Track, piece: Piece, axis: int, is_high: bool, deep: float, line: bool) -> bool:
    """Whether a fastener comes into what is taken off a face of a piece, or into a saw's line."""
    spans = [
        (max(begin, 0.0), min(end, one.axis.size.length_mm))
        for begin, end, other in one.spans
        if other.key == piece.key
    ]
    side = piece.box[axis + 3] if is_high else piece.box[axis]
    clear = BLADE_MM + one.axis.size.diameter_mm / 2
    for begin, end in spans:
        if end <= begin:
            continue
        ends = [moved(one.axis.head, one.axis.way, t)[axis] for t in (begin, end)]
        depths = sorted(abs(side - at) for at in ends)
        if line and depths[0] < deep + clear and depths[1] > deep - clear:
            return True
        if not line and depths[0] < deep + clear:
            return True
    return False


def all_wrong(tracks: Iterable[Track]) -> int:
    """How many faults there are."""
    return sum(len(one.faults) for one in tracks)
