"""What is cut out of placed pieces, as boxes; and what is left of a box when others are taken out.

A bevel counts as wood that is still there: the safe side. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from shopstep.model.feature import Bevel, Dado, Face, Fingers, Groove, Notch, Rabbet, Recess
from shopstep.model.part import Axis, Hand, Part
from shopstep.solids.boxes import AXES, Box, Span
from shopstep.units import Length

Spans = tuple[Span, Span, Span]
Side = tuple[int, bool]
"""An axis by its place in ``AXES``, and whether the side lies at its high end."""

_SIDES: dict[Face, Side] = {
    Face.FRONT: (0, False),
    Face.BACK: (0, True),
    Face.LEFT: (1, False),
    Face.RIGHT: (1, True),
    Face.BOTTOM: (2, False),
    Face.TOP: (2, True),
}
HAIR = Length(10)
"""Ten nanometres: what halving an odd length may leave."""


@dataclass(frozen=True, slots=True)
class Cut:
    """One box of air in a placed piece."""

    feature: str
    """Name of the feature; a joint's features begin with the joint's name."""
    kind: str
    spans: Spans


def side_of(face: Face, hand: Hand | None) -> Side:
    """Axis and end of a face; ``inside`` of a left piece is its right side."""
    if face in _SIDES:
        return _SIDES[face]
    return 1, (face is Face.INSIDE) is (hand is not Hand.RIGHT)


def cuts_of(box: Box, mitres: frozenset[str] = frozenset()) -> tuple[Cut, ...]:
    """Everything that is cut out of one placed piece.

    Of a bevelled corner (``mitres``: names of such joints) each part keeps half of the block that
    both reach into; here the whole block stands for its slope.
    """
    corners = tuple(
        Cut(feature.name, feature.kind, _bevel_block(box, feature))
        for feature in box.part.features
        if isinstance(feature, Bevel) and feature.name in mitres
    )
    found = corners + tuple(
        Cut(feature.name, feature.kind, spans)
        for feature in box.part.features
        for spans in _CUTS.get(feature.kind, _nothing)(box, feature)
    )
    if box.turned is None:
        return found
    return tuple(replace(cut, spans=_turned(box, cut.spans, box.turned)) for cut in found)


def _turned(box: Box, spans: Spans, about: Axis) -> Spans:
    """Where a cut lies in a piece that is turned by half a turn about its own middle."""
    x, y, z = (
        span if AXES[axis] is about else (own[0] + own[1] - span[1], own[0] + own[1] - span[0])
        for axis, (span, own) in enumerate(zip(spans, box.spans, strict=True))
    )
    return x, y, z


def _from_side(box: Box, face: Face, offset: Length, extent: Length) -> tuple[int, Span]:
    """The span that begins ``offset`` inside of a face and reaches ``extent`` further in."""
    axis, high = side_of(face, box.part.hand)
    low_end, high_end = box.spans[axis]
    if high:
        return axis, (high_end - offset - extent, high_end - offset)
    return axis, (low_end + offset, low_end + offset + extent)


def _bevel_block(box: Box, bevel: Bevel) -> Spans:
    back = _from_side(box, bevel.edge, Length(0), bevel.back)
    drop = _from_side(box, bevel.face, Length(0), bevel.drop)
    return _with_spans(box, back, drop)


def _with_spans(box: Box, *given: tuple[int, Span]) -> Spans:
    """The piece's own spans with some axes replaced."""
    spans = dict(enumerate(box.spans)) | dict(given)
    return spans[0], spans[1], spans[2]


def _along(part: Part) -> int:
    return AXES.index(part.runs[0])


def _nothing(_box: Box, _feature: Any) -> list[Spans]:
    return []


def _groove(box: Box, groove: Groove) -> list[Spans]:
    deep = _from_side(box, groove.face, Length(0), groove.depth)
    wide = _from_side(box, groove.reference, groove.offset, groove.width)
    run = _between_stops(box, _along(box.part), groove.stop_start, groove.stop_end)
    return [_with_spans(box, run, deep, wide)]


def _between_stops(box: Box, axis: int, start: Length, end: Length) -> tuple[int, Span]:
    low, high = box.spans[axis]
    return axis, (low + start, high - end)


def _rabbet(box: Box, rabbet: Rabbet) -> list[Spans]:
    deep = _from_side(box, rabbet.face, Length(0), rabbet.depth)
    wide = _from_side(box, rabbet.edge, Length(0), rabbet.width)
    (axis,) = {0, 1, 2} - {deep[0], wide[0]}
    run = _between_stops(box, axis, rabbet.stop_start, rabbet.stop_end)
    return [_with_spans(box, run, deep, wide)]


def _dado(box: Box, dado: Dado) -> list[Spans]:
    deep = _from_side(box, dado.face, Length(0), dado.depth)
    return [_with_spans(box, deep, _from_side(box, dado.reference, dado.offset, dado.width))]


def _fingers(box: Box, fingers: Fingers) -> list[Spans]:
    deep = _from_side(box, fingers.end, Length(0), fingers.depth)
    axis, _ = side_of(fingers.reference, box.part.hand)
    low, high = box.spans[axis]
    steps = -(-(high - low).nm // fingers.pitch.nm)
    first = 0 if fingers.starts_with == "slot" else 1
    slots = [
        _from_side(box, fingers.reference, fingers.pitch.times(n), fingers.pitch)
        for n in range(first, steps, 2)
    ]
    return [_with_spans(box, deep, (axis, _within(slot, (low, high)))) for _, slot in slots]


def _within(span: Span, room: Span) -> Span:
    return max(span[0], room[0]), min(span[1], room[1])


def _notch(box: Box, notch: Notch) -> list[Spans]:
    high = _from_side(box, notch.reference, Length(0), notch.height)
    return [_with_spans(box, _in_middle(box, notch.width), high)]


def _recess(box: Box, recess: Recess) -> list[Spans]:
    deep = _from_side(box, recess.face, Length(0), recess.depth)
    high = _from_side(box, recess.reference, recess.offset, recess.height)
    return [_with_spans(box, _in_middle(box, recess.length), deep, high)]


def _in_middle(box: Box, extent: Length) -> tuple[int, Span]:
    axis = _along(box.part)
    low, high = box.spans[axis]
    begin = low + (high - low - extent).over(2)
    return axis, (begin, begin + extent)


_CUTS: dict[str, Callable[[Box, Any], list[Spans]]] = {
    "groove": _groove,
    "rabbet": _rabbet,
    "dado": _dado,
    "fingers": _fingers,
    "notch": _notch,
    "recess": _recess,
}


def meet(a: Spans, b: Spans) -> Spans | None:
    """The box that both fill by more than a hair; None where there is none."""
    x, y, z = (_within(p, q) for p, q in zip(a, b, strict=True))
    return (x, y, z) if all(high - low > HAIR for low, high in (x, y, z)) else None


def take_out(solid: Spans, air: Spans) -> list[Spans]:
    """What is left of a box when another is taken out of it: at most six boxes."""
    shared = meet(solid, air)
    if shared is None:
        return [solid]
    left: list[Spans] = []
    rest = solid
    for axis in range(3):
        (low, high), (begin, end) = rest[axis], shared[axis]
        left += [_replaced(rest, axis, span) for span in ((low, begin), (end, high))
                 if span[1] - span[0] > HAIR]  # fmt: skip
        rest = _replaced(rest, axis, (begin, end))
    return left


def _replaced(spans: Spans, axis: int, span: Span) -> Spans:
    found = [*spans]
    found[axis] = span
    return found[0], found[1], found[2]
