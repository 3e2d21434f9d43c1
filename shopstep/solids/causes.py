"""Why two pieces share a place: what is tried on them until it goes away. Loads manifold3d.

Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from shopstep.model.joint import Joint
from shopstep.model.part import Axis
from shopstep.model.plan import Finding, Level, Where
from shopstep.solids.bodies import Piece, make_body
from shopstep.solids.boxes import AXES
from shopstep.solids.ways import WAYS, is_wood
from shopstep.units import Length, format_length
from shopstep.words import figure, say, to_say

if TYPE_CHECKING:
    from manifold3d import Manifold

_SIDES = (("front", "back"), ("left", "right"), ("bottom", "top"))
_MM3_PER_IN3 = 25.4**3


def explain_overlap(
    one: Piece, other: Piece, shared: Manifold, joints: tuple[Joint, ...], display: str
) -> Finding:
    """Both pieces, where and how much they share, the likely cause and what to do."""
    cause, remedy = _likely_cause(one, other, shared, joints, display)
    return Finding(
        level=Level.STOP,
        rule="shared_space",
        text=(
            say(
                "{one_label} and {other_label} share {volume} of space, {place}{cause}",
                one_label=one.label,
                other_label=other.label,
                volume=_say_volume(shared, display),
                place=_say_place(shared, display),
                cause=cause,
            )
        ),
        where=Where(name=other.part.name, line=other.part.line),
        remedy=remedy,
    )


def _say_volume(shared: Manifold, display: str) -> str:
    volume = float(shared.volume())
    if display == "mm":
        return say("{volume} cm³", volume=figure(volume / 1000, ".2g"))
    return say("{volume} in³", volume=figure(volume / _MM3_PER_IN3, ".2g"))


def _say_place(shared: Manifold, display: str) -> str:
    box = shared.bounding_box()
    spans = [
        say(
            "{box} {low} to {high} from {box_2}",
            box=_say(box[n + 3] - box[n], display),
            low=low,
            high=high,
            box_2=_say(box[n], display),
        )
        for n, (low, high) in enumerate(_SIDES)
    ]
    return ", ".join(spans)


def _say(length_mm: float, display: str) -> str:
    return format_length(Length(round(length_mm * 1e6)), display)


def _likely_cause(
    one: Piece, other: Piece, shared: Manifold, joints: tuple[Joint, ...], display: str
) -> tuple[str, str]:
    """A cause in brackets, and what to do."""
    for piece, still in ((one, other), (other, one)):
        for try_it, cause, remedy in _TRIES:
            if piece.part.features and not _meet(try_it(piece), still.body):
                return say(
                    " (most likely {piece_label}: {cause})", piece_label=piece.label, cause=cause
                ), say("in {part}, {remedy}", part=piece.label, remedy=say(remedy))
    names = {one.part.name, other.part.name}
    joint = next((j for j in joints if {j.member, j.into} == names), None)
    if joint is None or joint.kind == "butt":
        distance, side = _shortest_way_out(one, other, shared, None)
        move = say(
            "move {other_label} {distance} to the {side}",
            other_label=other.label,
            distance=_say(distance, display),
            side=side,
        )
        return "", say("{move}, or make one of the two that much smaller", move=move)
    cut = say("the {kind} of joint {joint_name}", kind=joint.kind, joint_name=joint.name)
    member = one if one.part.name == joint.member else other
    still = other if member is one else one
    distance, side = _shortest_way_out(still, member, shared, member.part.runs[2])
    move = say(
        "move {member_label} {distance} to the {side}",
        member_label=member.label,
        distance=_say(distance, display),
        side=side,
    )
    return (
        say(
            " (most likely {cut}: it misses by {distance})",
            cut=cut,
            distance=_say(distance, display),
        ),
        say("look at the place, width and depth of {cut}, or {move}", cut=cut, move=move),
    )


def _meet(body: Manifold, other: Manifold) -> bool:
    return is_wood(body ^ other)


def _mirrored(piece: Piece) -> Manifold:
    """Mirrored through its thickness: the same cuts in the other face."""
    return _mirror(piece, AXES.index(piece.part.runs[2]))


def _upside_down(piece: Piece) -> Manifold:
    """Mirrored through its width: the same cuts from the other edge."""
    return _mirror(piece, AXES.index(piece.part.runs[1]))


def _end_for_end(piece: Piece) -> Manifold:
    """Mirrored through its length: the same cuts from the other end."""
    return _mirror(piece, AXES.index(piece.part.runs[0]))


def _turned_round(piece: Piece) -> Manifold:
    """Half a turn about the upright axis."""
    place = replace(piece.place, turned=None if piece.place.turned else Axis.BOTTOM_TOP)
    return make_body(piece.part, place)


def _mirror(piece: Piece, axis: int) -> Manifold:
    box = piece.body.bounding_box()
    normal = [0.0, 0.0, 0.0]
    normal[axis] = 1.0
    shift = [0.0, 0.0, 0.0]
    shift[axis] = box[axis] + box[axis + 3]
    mirrored = piece.body.mirror((normal[0], normal[1], normal[2]))
    return mirrored.translate((shift[0], shift[1], shift[2]))


_TRIES: tuple[tuple[Callable[[Piece], Manifold], str, str], ...] = (
    (
        _mirrored,
        to_say("its cuts lie on the wrong side"),
        to_say("change the face that it is cut into, or swap left and right"),
    ),
    (
        _upside_down,
        to_say("it is cut from the wrong edge"),
        to_say("change the edge that its cuts are measured from"),
    ),
    (
        _end_for_end,
        to_say("it is cut from the wrong end"),
        to_say("change the end that its cuts are measured from"),
    ),
    (_turned_round, to_say("it stands the wrong way round"), to_say("say that it is turned")),
)
"""What may have been meant, why it came out otherwise, and what to change."""


def _shortest_way_out(
    still: Piece, moved: Piece, shared: Manifold, first: Axis | None
) -> tuple[float, str]:
    """How far, and to which side, a piece has to move until both share no wood any more.

    ``first``: the axis that is tried before the others.
    """
    box = shared.bounding_box()
    axes = {face: max(range(3), key=lambda n: abs(way[n])) for face, way in WAYS.items()}
    tries = sorted(
        (first is not None and AXES[n] is not first, distance, face)
        for face, n in axes.items()
        for distance in (box[n + 3] - box[n], _box_way_out(still, moved, n, sum(WAYS[face]) > 0))
    )
    for _, distance, face in tries:
        way = WAYS[face]
        shift = (way[0] * distance, way[1] * distance, way[2] * distance)
        if not _meet(still.body, moved.body.translate(shift)):
            return distance, face
    return tries[0][1:]


def _box_way_out(still: Piece, moved: Piece, axis: int, up: bool) -> float:
    """How far until the boxes round both only touch."""
    if up:
        return still.box[axis + 3] - moved.box[axis]
    return moved.box[axis + 3] - still.box[axis]
