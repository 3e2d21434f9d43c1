"""Pieces that stand in the same place, where no groove takes one into the other.

Pieces are judged as whole boxes; what is cut out of them counts only as a groove joint.
Imports ``shopstep.model``.
"""

from __future__ import annotations

from itertools import combinations

from shopstep.model.feature import Face, Groove
from shopstep.model.joint import Joint
from shopstep.model.part import Axis, Part
from shopstep.model.plan import Finding, Level, Where
from shopstep.solids.boxes import AXES, Box, Span, all_boxes, shared_spans
from shopstep.units import ZERO, Length, format_length

_ACROSS: dict[Face, Axis] = {
    Face.FRONT: Axis.FRONT_BACK,
    Face.BACK: Axis.FRONT_BACK,
    Face.LEFT: Axis.LEFT_RIGHT,
    Face.RIGHT: Axis.LEFT_RIGHT,
    Face.INSIDE: Axis.LEFT_RIGHT,
    Face.OUTSIDE: Axis.LEFT_RIGHT,
    Face.BOTTOM: Axis.BOTTOM_TOP,
    Face.TOP: Axis.BOTTOM_TOP,
}
_ENDS = {
    Axis.FRONT_BACK: ("front", "back"),
    Axis.LEFT_RIGHT: ("left", "right"),
    Axis.BOTTOM_TOP: ("bottom", "top"),
}


def find_overlaps(
    parts: tuple[Part, ...], joints: tuple[Joint, ...], display: str = "in"
) -> tuple[Finding, ...]:
    """A STOP for each two parts that share space, unless a groove joint is deep enough.

    Touching is no overlap. Two parts are named once, however many pieces of them overlap.
    """
    found: dict[tuple[str, str], Finding] = {}
    for a, b in combinations(all_boxes(parts), 2):
        shared = shared_spans(a, b)
        names = (a.part.label, b.part.label)
        if shared and names not in found and not _is_grooved(a, b, shared, joints):
            found[names] = _make_finding(a, b, shared, joints, display)
    return tuple(found.values())


def _grooves_between(a: Box, b: Box, joints: tuple[Joint, ...]) -> list[tuple[Joint, Part]]:
    """Groove joints of the two, each with the part that has the channel."""
    names = {a.part.name: a.part, b.part.name: b.part}
    return [
        (joint, names[joint.into])
        for joint in joints
        if joint.kind == "groove" and {joint.member, joint.into} == set(names)
    ]


def _is_grooved(a: Box, b: Box, shared: tuple[Span, Span, Span], joints: tuple[Joint, ...]) -> bool:
    """Whether some groove between them is as deep as the overlap, in the groove's direction."""
    deep = [hi - lo for lo, hi in shared]
    return any(
        deep[axis] <= joint.depth
        for joint, channelled in _grooves_between(a, b, joints)
        for axis in _groove_axes(channelled)
    )


def _groove_axes(part: Part) -> list[int]:
    """The directions in which the part's grooves go in; all three where it shows none."""
    axes = {
        AXES.index(_ACROSS[feature.face])
        for feature in part.features
        if isinstance(feature, Groove)
    }
    return sorted(axes) or [0, 1, 2]


def _make_finding(
    a: Box,
    b: Box,
    shared: tuple[Span, Span, Span],
    joints: tuple[Joint, ...],
    display: str,
) -> Finding:
    deepest = max((joint.depth for joint, _ in _grooves_between(a, b, joints)), default=ZERO)
    groove = f" (their groove is {format_length(deepest, display)} deep)" if deepest else ""
    where = ", ".join(
        _say_span(axis, span, display) for axis, span in zip(AXES, shared, strict=True)
    )
    return Finding(
        level=Level.STOP,
        rule="overlap",
        text=f"{a.part.label} and {b.part.label} stand in the same place{groove}: {where}",
        where=Where(name=b.part.name, line=b.part.line),
        remedy=_say_remedy(a, b, bool(deepest), display),
    )


def _say_span(axis: Axis, span: Span, display: str) -> str:
    low, high = span
    begin, end = _ENDS[axis]
    return (
        f"{format_length(high - low, display)} {begin} to {end}, from {format_length(low, display)}"
    )


def _say_remedy(a: Box, b: Box, grooved: bool, display: str) -> str:
    distance, direction = _shortest_way_out(a, b)
    move = f"move {b.part.label} {format_length(distance, display)} to the {direction}"
    joint = "make the groove deeper" if grooved else "join them with a groove"
    return f"{move}, make one of them smaller, or {joint}"


def _shortest_way_out(a: Box, b: Box) -> tuple[Length, str]:
    """How far, and to which side, ``b`` has to move until it only touches ``a``."""
    ways: list[tuple[Length, str]] = []
    for axis, (mine, other) in zip(AXES, zip(b.spans, a.spans, strict=True), strict=True):
        begin, end = _ENDS[axis]
        ways += [(mine[1] - other[0], begin), (other[1] - mine[0], end)]
    return min(ways, key=lambda way: way[0])
