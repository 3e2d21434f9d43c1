"""Strips and sticks: a strip along the grain, and pieces of their length cut from it.

Imports ``shopstep.model``.
"""

from __future__ import annotations

from shopstep.milling.drafts import HAND_SAW, NARROW, SHORT, TABLE_SAW, TINY, Draft
from shopstep.model.operation import Setting
from shopstep.units import Length
from shopstep.words import say


def rip_strip(width: Length) -> Draft:
    """A strip of that width: a slice that falls off outside where it is narrow."""
    if width < NARROW:
        return slice_off(width)
    return Draft("rip", TABLE_SAW, "", (Setting("fence", width),), "")


def slice_off(width: Length) -> Draft:
    """A narrow strip, measured from a block on the far side of the blade from the fence."""
    return Draft("slice", TABLE_SAW, "", (Setting("stop", width),), "")


def crosscut_stick(length: Length) -> Draft:
    """Pieces from a stick: at the mitre gauge, clamped if short, by hand if tiny."""
    stop = (Setting("stop", length),)
    if length < TINY:
        return Draft("crosscut_hand", HAND_SAW, "", stop, "")
    note = say("clamped to the mitre gauge") if length < SHORT else ""
    return Draft("crosscut", TABLE_SAW, "", stop, note)
