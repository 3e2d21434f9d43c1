"""Grooves and notches: the cuts that do not go through the wood.

Imports ``shopstep.model``.
"""

from __future__ import annotations

from math import isqrt

from shopstep.milling.drafts import BLADE, ROUTER, SHORT, TABLE_SAW, Draft
from shopstep.milling.faces import (
    end_faces,
    extent_across,
    leading_end,
    opposite_face,
    say_face,
    side_name,
    true_face,
)
from shopstep.milling.marks import say_down, say_up
from shopstep.model.feature import Face, Groove, Notch
from shopstep.model.operation import Setting
from shopstep.model.part import Part
from shopstep.units import Length
from shopstep.words import say


def is_stopped(groove: Groove) -> bool:
    """Whether the groove ends inside the part at one end or at both."""
    return bool(groove.stop_start or groove.stop_end)


def needs_router(part: Part, groove: Groove) -> bool:
    """Whether it cannot be sawn: no open end to begin at, or stopped in a short part.

    At the saw the work would have to be lowered on to the turning blade.
    """
    return bool(groove.stop_start and groove.stop_end) or (
        is_stopped(groove) and part.length < SHORT
    )


def cut_groove(part: Part, groove: Groove, kerf: Length) -> Draft:
    """A groove along the grain, with the reference face to the fence if that can be.

    A stopped groove goes in with its open end first and halts at a stop block beyond the blade,
    so one of two hands has its opposite edge to the fence. The block stands as far from the near
    side of the cut, at table level, as the groove is long.
    """
    if needs_router(part, groove):
        return _rout_groove(part, groove)
    fence_face, fence = side_to_fence(part, groove)
    leading = leading_end(part, groove.face, fence_face)
    stop = part.length - groove.stop_start - groove.stop_end
    lying = say(
        "{down}; {face} to the fence",
        down=say_down(part, groove.face),
        face=say_face(part, fence_face),
    )
    first = (
        say("; {face} first", face=say_face(part, side_name(part, leading)))
        if is_stopped(groove)
        else ""
    )
    return Draft(
        kind="groove",
        tool=TABLE_SAW,
        name=groove.name,
        settings=(
            Setting("fence", fence),
            Setting("height", groove.depth),
            Setting("width", groove.width),
            *((Setting("stop", stop),) if is_stopped(groove) else ()),
            *_last_pass(fence, groove.width, kerf),
        ),
        note=lying + first,
        on_stick=not is_stopped(groove),
        leans_on=frozenset(_touched(part, groove, fence_face, leading)),
    )


def side_to_fence(part: Part, groove: Groove) -> tuple[Face, Length]:
    """The face that runs along the fence, and how far the groove lies from it."""
    reference = groove.reference
    closed = end_faces(part)[0] if groove.stop_start else end_faces(part)[1]
    leading = leading_end(part, groove.face, reference)
    if is_stopped(groove) and leading is true_face(closed, part.hand):
        across = extent_across(part, reference)
        return opposite_face(reference), across - groove.offset - groove.width
    return reference, groove.offset


def ramp_length(depth: Length) -> Length:
    """How much of a groove before its stop is not full depth, because the blade is round.

    Half the chord of the blade at table level: √(2·R·d - d²).
    """
    return Length(isqrt(BLADE.nm * depth.nm - depth.nm**2))


def _last_pass(fence: Length, width: Length, kerf: Length) -> tuple[Setting, ...]:
    """Where the fence stands for the last pass of a single blade, if one pass is not enough."""
    return (Setting("last pass", fence + width - kerf),) if kerf and width > kerf else ()


def _touched(part: Part, groove: Groove, fence_face: Face, leading: Face) -> tuple[Face, ...]:
    ends = (leading,) if is_stopped(groove) else ()
    return tuple(true_face(face, part.hand) for face in (groove.face, fence_face, *ends))


def _rout_groove(part: Part, groove: Groove) -> Draft:
    stops = (("stop start", groove.stop_start), ("stop end", groove.stop_end))
    note = say(
        "{up}; guide along the {face}; clamped",
        up=say_up(part, groove.face),
        face=say_face(part, groove.reference),
    )
    below = opposite_face(groove.face)
    return Draft(
        kind="rout",
        tool=ROUTER,
        name=groove.name,
        settings=(
            Setting("guide", groove.offset),
            Setting("width", groove.width),
            Setting("depth", groove.depth),
            *(Setting(name, stop) for name, stop in stops if stop),
        ),
        note=note,
        leans_on=frozenset(true_face(f, part.hand) for f in (below, groove.reference)),
    )


def cut_notch(part: Part, notch: Notch, _kerf: Length) -> Draft:
    """An opening in the middle of an edge: one stop block gives both of its sides."""
    note = say(
        "{face} down; clamped to a long face on the gauge", face=say_face(part, notch.reference)
    )
    return Draft(
        kind="notch",
        tool=TABLE_SAW,
        name=notch.name,
        settings=(
            Setting("stop", (part.length - notch.width).over(2)),
            Setting("height", notch.height),
            Setting("width", notch.width),
        ),
        note=note,
        leans_on=frozenset({true_face(notch.reference, part.hand), *end_faces(part)}),
    )
