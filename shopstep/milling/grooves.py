"""Grooves and notches: the cuts that do not go through the wood.

Imports ``shopstep.model``.
"""

from __future__ import annotations

from shopstep.milling.drafts import TABLE_SAW, Draft
from shopstep.milling.faces import (
    end_faces,
    leading_end,
    opposite_face,
    say_face,
    side_name,
    true_face,
)
from shopstep.model.feature import Face, Groove, Notch
from shopstep.model.operation import Setting
from shopstep.model.part import Part
from shopstep.units import ZERO, Length


def cut_groove(part: Part, groove: Groove, kerf: Length) -> Draft:
    """A groove along the grain: reference face to the fence, so both hands use one setup.

    A stop block stands as far from the blade as the groove is long. Beyond the blade that is
    measured from where the blade comes up, before the blade from where it goes down again.
    """
    leading = leading_end(part, groove.face, groove.reference)
    ahead, behind = _stops(part, groove, leading)
    note = (
        f"{say_face(part, groove.face)} down; {say_face(part, groove.reference)} to the fence; "
        f"{say_face(part, side_name(part, leading))} first{_stop_words(ahead, behind)}"
        f"{_pass_words(groove.width, kerf)}"
    )
    return Draft(
        kind="groove",
        tool=TABLE_SAW,
        name=groove.name,
        settings=(
            Setting("fence", groove.offset),
            Setting("height", groove.depth),
            Setting("width", groove.width),
            *_stop_settings(ahead, behind),
        ),
        note=note,
        on_stick=not (groove.stop_start or groove.stop_end),
        leans_on=frozenset(_touched(part, groove, leading, ahead, behind)),
    )


def _stops(part: Part, groove: Groove, leading: Face) -> tuple[Length, Length]:
    """Distances of the stop block beyond and before the blade; 0 where there is none."""
    uncut_first, uncut_last = groove.stop_start, groove.stop_end
    if leading is not end_faces(part)[0]:
        uncut_first, uncut_last = uncut_last, uncut_first
    ahead = part.length - uncut_last if uncut_last else ZERO
    behind = part.length - uncut_first if uncut_first else ZERO
    return ahead, behind


def _stop_settings(ahead: Length, behind: Length) -> tuple[Setting, ...]:
    """One stop where one distance tells all; two named ones where they differ."""
    if ahead and behind and ahead != behind:
        return Setting("stop ahead", ahead), Setting("stop behind", behind)
    distance = ahead or behind
    return (Setting("stop", distance),) if distance else ()


def _stop_words(ahead: Length, behind: Length) -> str:
    """How the work meets its stop blocks. Lowering on to the blade: common practice."""
    start = "; block before the blade: trailing end to it, lower on, feed"
    halt = "; block beyond the blade: halt there, saw off, lift when the blade stands"
    if behind and ahead:
        return f"{start}{halt}"
    if behind:
        return f"{start} right through"
    return halt if ahead else ""


def _pass_words(width: Length, kerf: Length) -> str:
    passes = -(-width.nm // kerf.nm) if kerf else 1
    return f"; {passes} passes, or a dado set" if passes > 1 else ""


def _touched(
    part: Part, groove: Groove, leading: Face, ahead: Length, behind: Length
) -> tuple[Face, ...]:
    ends = ((leading,) if ahead else ()) + ((opposite_face(leading),) if behind else ())
    return (
        true_face(groove.face, part.hand),
        true_face(groove.reference, part.hand),
        *(true_face(end, part.hand) for end in ends),
    )


def cut_notch(part: Part, notch: Notch, _kerf: Length) -> Draft:
    """An opening in the middle of an edge: one stop block gives both of its sides."""
    note = (
        f"{say_face(part, notch.reference)} down; held to a tall mitre gauge; stop block to the "
        "near side of the blade; cut, turn end for end, cut, then clear the wood between"
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
