"""Fingers of a box joint: slots across an end, spaced by a key. Imports ``shopstep.model``."""

from __future__ import annotations

from shopstep.milling.drafts import TABLE_SAW, Draft
from shopstep.milling.faces import end_faces, extent_across, say_face, true_face
from shopstep.model.feature import Fingers
from shopstep.model.operation import Setting
from shopstep.model.part import Part
from shopstep.units import ZERO, Length
from shopstep.words import say, to_say

SLOT_FIRST = to_say("spacer at the key")


def cut_fingers(part: Part, fingers: Fingers, _kerf: Length) -> Draft:
    """Slots cut end down in a jig on the gauge; each slot goes over the key for the next cut.

    The part that begins with a finger has its edge against the key for the first cut; the one
    that begins with a slot has a spacer as wide as the key there, so that it comes half a step
    later.
    """
    edge = say("{face} to the key", face=say_face(part, fingers.reference))
    first = say(SLOT_FIRST) if fingers.starts_with == "slot" else edge
    return Draft(
        kind="fingers",
        tool=TABLE_SAW,
        name=fingers.name,
        settings=(Setting("width", fingers.pitch), Setting("height", fingers.depth)),
        note=first,
        leans_on=frozenset({*end_faces(part), true_face(fingers.reference, part.hand)}),
    )


def count_cuts(part: Part, fingers: Fingers) -> int:
    """How many slots one end gets; what is left at the far edge counts as a whole one."""
    steps = _count_steps(part, fingers)
    return (steps + 1) // 2 if fingers.starts_with == "slot" else steps // 2


def _count_steps(part: Part, fingers: Fingers) -> int:
    across = extent_across(part, fingers.reference)
    return -(-across.nm // fingers.pitch.nm)


def last_finger(part: Part, fingers: Fingers) -> Length:
    """Width of the last finger or slot where the row does not come out; zero where it does."""
    across = extent_across(part, fingers.reference)
    rest = across.nm % fingers.pitch.nm
    return Length(rest) if rest else ZERO


def whole_widths(part: Part, fingers: Fingers) -> tuple[Length, Length]:
    """The two widths next to the part's own at which the row comes out whole."""
    across = extent_across(part, fingers.reference)
    below = fingers.pitch.times(across.nm // fingers.pitch.nm)
    return below, below + fingers.pitch
