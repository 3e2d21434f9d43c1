"""Pieces that stand in the same place, and members that do not reach what should hold them.

Exact: the block that two pieces share, less all that is cut out of either of them.
Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import combinations, product
from math import prod

from shopstep.model.joint import Joint
from shopstep.model.part import Axis, Part
from shopstep.model.plan import Finding, Level, Where
from shopstep.solids.boxes import AXES, Box, Span, all_boxes
from shopstep.solids.cuts import Cut, Spans, cuts_of, meet, take_out
from shopstep.units import Length, format_length
from shopstep.words import say

_ENDS = {
    Axis.FRONT_BACK: ("front", "back"),
    Axis.LEFT_RIGHT: ("left", "right"),
    Axis.BOTTOM_TOP: ("bottom", "top"),
}
_CHANNELS = ("groove", "rabbet", "dado", "box", "lap")
"""Kinds of joint whose member stands in something that is cut into the other part."""
Placed = tuple[Box, tuple[Cut, ...]]


def find_overlaps(
    parts: tuple[Part, ...], joints: tuple[Joint, ...], display: str = "in"
) -> tuple[Finding, ...]:
    """A STOP for each two parts that fill the same space, and for a joint that does not meet.

    Touching is no overlap. Two parts are named once, however many pieces of them overlap.
    """
    mitres = frozenset(joint.name for joint in joints if joint.kind == "bevel")
    placed = tuple((box, cuts_of(box, mitres)) for box in all_boxes(parts))
    found: dict[tuple[str, str], Finding] = {}
    for a, b in combinations(placed, 2):
        names = (a[0].part.label, b[0].part.label)
        left = [] if names in found else _shared_wood(a, b)
        if left:
            found[names] = _make_finding(a, b, max(left, key=_volume), joints, display)
    return (*found.values(), *_find_apart(placed, joints))


def _shared_wood(a: Placed, b: Placed) -> list[Spans]:
    """What both pieces fill once all that is cut out of them is gone."""
    shared = meet(a[0].spans, b[0].spans)
    left = [shared] if shared else []
    for air in _air_between(a[1], b[1]):
        if not left:
            break
        left = [rest for solid in left for rest in take_out(solid, air)]
    return left


def _air_between(a: tuple[Cut, ...], b: tuple[Cut, ...]) -> Iterator[Spans]:
    """All that is cut out of either; of a bevelled corner only the block that both reach into."""
    yield from (cut.spans for cut in (*a, *b) if cut.kind != "bevel")
    for mine, other in product(a, b):
        if mine.kind == other.kind == "bevel" and mine.feature == other.feature:
            corner = meet(mine.spans, other.spans)
            if corner:
                yield corner


def _volume(spans: Spans) -> int:
    return prod((high - low).nm for low, high in spans)


def _find_apart(placed: tuple[Placed, ...], joints: tuple[Joint, ...]) -> Iterable[Finding]:
    """Joints none of whose pieces stands in what is cut for it."""
    for joint in joints:
        if joint.kind not in _CHANNELS:
            continue
        members = [box for box, _ in placed if box.part.name == joint.member]
        channels = [
            cut
            for box, cuts in placed
            if box.part.name == joint.into
            for cut in cuts
            if f"{cut.feature}_".startswith(f"{joint.name}_")
        ]
        if members and channels:
            yield from _say_apart(joint, members, channels)


def _say_apart(joint: Joint, members: list[Box], channels: list[Cut]) -> Iterable[Finding]:
    if any(meet(box.spans, cut.spans) for box in members for cut in channels):
        return
    member = members[0].part
    yield Finding(
        Level.STOP,
        "joint_apart",
        say(
            "{member_label} does not reach into the {kind} of joint {joint_name} at all",
            member_label=member.label,
            kind=channels[0].kind,
            joint_name=joint.name,
        ),
        Where(name=member.name, line=member.line),
        say("look at where the parts stand, and at the size that the joint gives the part"),
    )


def _make_finding(
    a: Placed, b: Placed, left: Spans, joints: tuple[Joint, ...], display: str
) -> Finding:
    mine, other = b[0].part, a[0].part
    where = ", ".join(_say_span(axis, span, display) for axis, span in zip(AXES, left, strict=True))
    between = _cuts_between(a, b, joints)
    cause = _say_cause(between, left, display)
    return Finding(
        level=Level.STOP,
        rule="overlap",
        text=say(
            "{other_label} and {mine_label} stand in the same place{cause}: {where}",
            other_label=other.label,
            mine_label=mine.label,
            cause=cause,
            where=where,
        ),
        where=Where(name=mine.name, line=mine.line),
        remedy=_say_remedy(a[0], b[0], between, display),
    )


def _cuts_between(a: Placed, b: Placed, joints: tuple[Joint, ...]) -> list[Cut]:
    """What joints of the two have cut into one for the other."""
    names = {a[0].part.name, b[0].part.name}
    own = [joint.name for joint in joints if {joint.member, joint.into} == names]
    return [
        cut
        for cut in (*a[1], *b[1])
        if any(f"{cut.feature}_".startswith(f"{name}_") for name in own)
    ]


def _say_cause(between: list[Cut], left: Spans, display: str) -> str:
    """By how much the nearest channel between the two misses what it should take."""
    misses = [miss for cut in between if (miss := _miss(cut, left)) is not None]
    if not misses:
        return ""
    kind, amount, side = min(misses, key=lambda miss: miss[1])
    return say(
        " (their {kind} misses by {amount} at the {side})",
        kind=kind,
        amount=format_length(amount, display),
        side=side,
    )


def _miss(cut: Cut, left: Spans) -> tuple[str, Length, str] | None:
    """How far the wood that is left stands out of a channel: the least of its sides."""
    out: list[tuple[str, Length, str]] = []
    for axis, (low, high), (begin, end) in zip(AXES, left, cut.spans, strict=True):
        before, after = _ENDS[axis]
        out += [(cut.kind, begin - low, before)] if low < begin else []
        out += [(cut.kind, high - end, after)] if high > end else []
    return max(out, key=lambda one: one[1]) if out else None


def _say_span(axis: Axis, span: Span, display: str) -> str:
    low, high = span
    begin, end = _ENDS[axis]
    return say(
        "{high} {begin} to {end}, from {low}",
        high=format_length(high - low, display),
        begin=begin,
        end=end,
        low=format_length(low, display),
    )


def _say_remedy(a: Box, b: Box, between: list[Cut], display: str) -> str:
    distance, direction = _shortest_way_out(a, b)
    if between:
        return say(
            "look at place, width and depth of the {kind}, and where the parts stand",
            kind=between[0].kind,
        )
    move = say(
        "move {part_label} {distance} to the {direction}",
        part_label=b.part.label,
        distance=format_length(distance, display),
        direction=direction,
    )
    return say("{move}, make one of them smaller, or join them with a groove", move=move)


def _shortest_way_out(a: Box, b: Box) -> tuple[Length, str]:
    """How far, and to which side, ``b`` has to move until it only touches ``a``."""
    ways: list[tuple[Length, str]] = []
    for axis, (mine, other) in zip(AXES, zip(b.spans, a.spans, strict=True), strict=True):
        begin, end = _ENDS[axis]
        ways += [(mine[1] - other[0], begin), (other[1] - mine[0], end)]
    return min(ways, key=lambda way: way[0])
