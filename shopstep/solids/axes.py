"""Fasteners as axes in space: where the heads lie, which way they go. No solids are loaded.

Millimetres; x from front to back, y from left to right, z up. A piece that leans is laid level
first. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import product
from math import atan2, cos, radians, sin

from shopstep.model.fastener import FastenerSize
from shopstep.model.feature import Face
from shopstep.model.joint import FastenerRow, Joint, Spots
from shopstep.model.part import Lean, Part, Placement
from shopstep.model.step import Fastener, StepKind
from shopstep.solids.boxes import AXES, make_box
from shopstep.solids.cuts import side_of

Vector = tuple[float, float, float]
Key = tuple[str, str, int]
"""Part, hand and index of a piece, as ``Piece.key``."""
REACH_MM = 3.2
"""Pieces no further apart than this, 1/8 in, meet: a front hangs with play between the sides."""
_SIDES: dict[str, Vector] = {
    "front": (-1.0, 0.0, 0.0), "back": (1.0, 0.0, 0.0), "left": (0.0, -1.0, 0.0),
    "right": (0.0, 1.0, 0.0), "bottom": (0.0, 0.0, -1.0), "top": (0.0, 0.0, 1.0),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Stand:
    """One piece as the box that it fills, before it leans."""

    part: Part
    index: int
    place: Placement
    low: Vector
    """Front, left, bottom corner."""
    high: Vector
    """Back, right, top corner."""

    @property
    def key(self) -> Key:
        """Name of the part, hand, and index."""
        return self.part.name, self.part.hand or "", self.index

    @property
    def label(self) -> str:
        """How people call it."""
        several = len(self.part.places) > 1
        return f"{self.part.label} {self.index + 1}" if several else self.part.label


@dataclass(frozen=True, slots=True)
class Axis:
    """One fastener (of a staple: one leg) where it goes in."""

    step: str
    row: FastenerRow
    fastener: Fastener
    size: FastenerSize
    number: int
    """Counted through the step, from 1; both legs of a staple have one number."""
    through: Key
    into: Key | None
    head: Vector
    way: Vector
    """Unit vector, from the head to the point."""
    across: Vector
    """Unit vector along the face, the longer way of where the pieces meet."""
    is_guessed: bool = False
    """The build does not say where; it was spread over where parts meet."""

    @property
    def tip(self) -> Vector:
        """Where its point comes to."""
        return moved(self.head, self.way, self.size.length_mm)


def moved(point: Vector, way: Vector, by: float) -> Vector:
    """A point moved along a direction."""
    return point[0] + way[0] * by, point[1] + way[1] * by, point[2] + way[2] * by


def stands_of(parts: Iterable[Part]) -> tuple[Stand, ...]:
    """Every piece of every part."""
    return tuple(
        _stand(part, index, place) for part in parts for index, place in enumerate(part.places)
    )


def _stand(part: Part, index: int, place: Placement) -> Stand:
    x, y, z = ((low.in_mm, high.in_mm) for low, high in make_box(part, place).spans)
    return Stand(part, index, place, (x[0], y[0], z[0]), (x[1], y[1], z[1]))


def axes_of(
    kinds: Iterable[StepKind],
    stands: tuple[Stand, ...],
    sizes: Mapping[str, FastenerSize],
    joints: Iterable[Joint] = (),
) -> tuple[Axis, ...]:
    """All fasteners whose size is known, step by step. ``sizes``: by title.

    ``joints``: where a build does not say where fasteners go, they are guessed to hold these.
    """
    joined = frozenset(frozenset((joint.member, joint.into)) for joint in joints)
    found: list[Axis] = []
    for kind in kinds:
        number = 0
        for fastener in kind.fasteners:
            if fastener.title not in sizes:
                continue
            rows, guessed = fastener.rows, False
            if not rows:
                rows, guessed = guess_rows(kind, fastener, stands, joined), True
            for row in rows:
                for axis in _axes_of_row(kind, fastener, row, stands, sizes[fastener.title]):
                    number += 1
                    found += _legs(replace(axis, number=number, is_guessed=guessed))
    return tuple(found)


def guess_rows(
    kind: StepKind,
    fastener: Fastener,
    stands: tuple[Stand, ...],
    joined: frozenset[frozenset[str]],
) -> tuple[FastenerRow, ...]:
    """Where a build says nothing: spread alike over the joints of the step's parts, or, where it
    has none, over all places where they meet.

    The thinner piece lies under the head. Empty where the count cannot be shared out alike, and
    where the thinnest part of all meets none of the others: sheet metal is folded round them.
    """
    names = list(kind.parts)
    pairs: dict[tuple[str, str], int] = {}
    known = {pair for pair in joined if pair.issubset(names)}
    for one, other in product(names, names):
        if known and frozenset((one, other)) not in known:
            continue
        if one != other and _is_under_head(one, other, stands):
            row = FastenerRow(one, other)
            met = sum(1 for a, b in _pairs(row, stands) if b and meeting(a, b))
            pairs |= {(one, other): met} if met else {}
    places = sum(pairs.values())
    own = [stand.part for stand in stands if stand.part.name in names]
    thinnest = min(own, key=lambda part: part.thickness).name if own else ""
    if not any(thinnest in pair for pair in pairs):
        return ()
    if not places or fastener.count % places:
        return ()
    each = fastener.count // places
    return tuple(_spread_row(one, other, each, stands) for one, other in pairs)


def _is_under_head(one: str, other: str, stands: tuple[Stand, ...]) -> bool:
    """Of two parts that meet: the one whose thickness lies along the way in."""
    for a, b in _pairs(FastenerRow(one, other), stands):
        met = meeting(a, b) if b else None
        if b and met:
            thin = [AXES.index(piece.part.runs[2]) == met[0] for piece in (a, b)]
            if thin == [True, True]:
                return (a.part.thickness, one) < (b.part.thickness, other)
            return thin[0]
    return False


def _spread_row(one: str, other: str, each: int, stands: tuple[Stand, ...]) -> FastenerRow:
    for a, b in _pairs(FastenerRow(one, other), stands):
        met = meeting(a, b) if b else None
        if b and met and each > 1:
            low, high = _patch(a, b)
            axis = max((n for n in range(3) if n != met[0]), key=lambda n: high[n] - low[n])
            face = ("front", "left", "bottom")[axis]
            ends = (a if a.part.length >= b.part.length else b).part.thickness
            return FastenerRow(one, other, spots=(Spots(face, ends, each, last=ends),))
    return FastenerRow(one, other)


def _pairs(
    row: FastenerRow, stands: tuple[Stand, ...]
) -> Iterator[tuple[Stand, Stand | None]]:  # fmt: skip
    for one in stands:
        if not is_named(one, row.through):
            continue
        if not row.into:
            yield one, None
            continue
        yield from ((one, other) for other in stands if is_named(other, row.into))


def is_named(stand: Stand, name: str) -> bool:
    """Whether a name such as ``left side_rail`` means this piece."""
    hand, _, part = name.rpartition(" ")
    return stand.part.name == part and (not hand or stand.part.hand == hand)


def meeting(one: Stand, other: Stand) -> tuple[int, bool] | None:
    """The axis along which two pieces stand beside each other, and whether the other is beyond.

    None where they do not meet. A piece that stands in a rabbet of the other counts.
    """
    low, high, low2, high2 = one.low, one.high, other.low, other.high
    gaps = [max(low2[n] - high[n], low[n] - high2[n]) for n in range(3)]
    axis = max(range(3), key=lambda n: gaps[n])
    if gaps[axis] > REACH_MM or any(gaps[n] >= 0.0 for n in range(3) if n != axis):
        return None
    return axis, low2[axis] + high2[axis] > low[axis] + high[axis]


def _patch(one: Stand, other: Stand | None) -> tuple[Vector, Vector]:
    """The block that both reach into; all of the one where there is no other."""
    if other is None:
        return one.low, one.high
    low = tuple(max(a, b) for a, b in zip(one.low, other.low, strict=True))
    high = tuple(min(a, b) for a, b in zip(one.high, other.high, strict=True))
    return (low[0], low[1], low[2]), (high[0], high[1], high[2])


def _axes_of_row(
    kind: StepKind,
    fastener: Fastener,
    row: FastenerRow,
    stands: tuple[Stand, ...],
    size: FastenerSize,
) -> Iterator[Axis]:
    for one, other in _pairs(row, stands):
        met = meeting(one, other) if other else None
        if other is not None and met is None:
            continue
        if row.face:
            axis, is_high = side_of(Face(row.face), one.part.hand)
        else:
            assert met is not None
            axis, is_high = met[0], not met[1]
        low, high = _patch(one, other)
        spans = [
            _places(row, n, low[n], high[n], one.part) if n != axis else [_side(one, axis, is_high)]
            for n in range(3)
        ]  # fmt: skip
        way = _way(row, axis, is_high)
        longer = max((n for n in range(3) if n != axis), key=lambda n: high[n] - low[n])
        across = _unit(longer)
        lean = one.place.lean
        for x, y, z in product(*spans):
            head: Vector = (x, y, z)
            yield Axis(
                kind.id, row, fastener, size, 0, one.key, other.key if other else None,
                _leaned(head, one, lean), _sent(row, _turned(way, lean)), _turned(across, lean),
            )  # fmt: skip


def _side(one: Stand, axis: int, is_high: bool) -> float:
    return one.high[axis] if is_high else one.low[axis]


def _places(row: FastenerRow, axis: int, low: float, high: float, part: Part) -> list[float]:
    found: list[float] = []
    for spots in row.spots:
        own, is_high = side_of(Face(spots.face), part.hand)
        if own != axis:
            continue
        for n in range(spots.count):
            off = spots.first.in_mm + n * _gap(spots, high - low)
            found.append(high - off if is_high else low + off)
    return found or [(low + high) / 2]


def _gap(spots: Spots, room: float) -> float:
    if spots.gap.nm or spots.count < 2:
        return spots.gap.in_mm
    return (room - spots.first.in_mm - spots.last.in_mm) / (spots.count - 1)


def _way(row: FastenerRow, axis: int, is_high: bool) -> Vector:
    x, y, z = _unit(axis)
    sign = -1.0 if is_high else 1.0
    way = (x * sign, y * sign, z * sign)
    if not row.towards:
        return way
    return tilted(way, _SIDES[row.towards], row.tilt.microdeg / 1e6)


def tilted(way: Vector, side: Vector, degrees: float) -> Vector:
    """A direction leaned towards a side that is square to it."""
    c, s = cos(radians(degrees)), sin(radians(degrees))
    return way[0] * c + side[0] * s, way[1] * c + side[1] * s, way[2] * c + side[2] * s


def _sent(row: FastenerRow, way: Vector) -> Vector:
    return _SIDES[row.straight] if row.straight else way


def _unit(axis: int) -> Vector:
    return (1.0, 0.0, 0.0) if axis == 0 else (0.0, 1.0, 0.0) if axis == 1 else (0.0, 0.0, 1.0)


def _turned(way: Vector, lean: Lean | None) -> Vector:
    if lean is None:
        return way
    angle = atan2(lean.rise.nm, lean.run.nm)
    c, s = cos(angle), sin(angle)
    return way[0] * c - way[2] * s, way[1], way[0] * s + way[2] * c


def _leaned(point: Vector, one: Stand, lean: Lean | None) -> Vector:
    if lean is None:
        return point
    x, y, z = _turned((point[0] - one.high[0], point[1], point[2] - one.low[2]), lean)
    return x + lean.back.in_mm, y, z + lean.bottom.in_mm


def _legs(axis: Axis) -> list[Axis]:
    half = axis.size.crown_mm / 2
    if not half:
        return [axis]
    return [replace(axis, head=moved(axis.head, axis.across, side * half)) for side in (-1, 1)]
