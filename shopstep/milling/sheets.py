"""Sheets: which side is cut first, so that an edge long enough runs along the fence.

The edge on the fence must be at least as long as the distance to the fence, else the sheet turns
into the blade (common practice, no source). Imports ``shopstep.model``.
"""

from __future__ import annotations

from shopstep.milling.drafts import HAND_SAW, NARROW, SHORT, TABLE_SAW, Draft
from shopstep.milling.strips import crosscut_stick, slice_off
from shopstep.model.material import Material
from shopstep.model.operation import Setting
from shopstep.model.part import Part
from shopstep.units import Length
from shopstep.words import say, to_say

_ALONG = to_say(
    {True: "an end of the sheet to the fence", False: "a side of the sheet to the fence"}
)
"""Which edge of the sheet runs along the fence where the length (or not) is cut first."""


def is_length_first(part: Part, sheet: Material) -> bool:
    """Whether the sheet is cut across to the part's length first, and then to its width.

    Where the larger of the two can be guided by the sheet's own edge it goes first, and its edge
    guides the smaller one. Where not, the smaller goes first: that leaves a strip.
    """
    longer_is_length = part.length >= part.width
    larger_first = _larger(part) >= SHORT and _larger(part) <= _edge(sheet, longer_is_length)
    return larger_first is longer_is_length


def needs_straightedge(part: Part, sheet: Material) -> bool:
    """Whether no edge is long enough for the second cut, and the strip is too wide to crosscut."""
    return _second_size(part, sheet) > _first_size(part, sheet) >= SHORT


def cut_sheet(part: Part, sheet: Material) -> tuple[Draft, ...]:
    """Two cuts: across the whole sheet, then the strip that it leaves."""
    length_first = is_length_first(part, sheet)
    first, second = _first_size(part, sheet), _second_size(part, sheet)
    names = ("length", "width") if length_first else ("width", "length")
    note = say("good face up; {along}", along=say(_ALONG[length_first]))
    return _guide(first, names[0], note), _cut_strip(first, second, names[1])


def _cut_strip(strip: Length, size: Length, name: str) -> Draft:
    """The second cut: across the strip, whose width is ``strip``."""
    if strip < SHORT:
        return crosscut_stick(size)
    if size <= strip:
        return _guide(size, name, say("good face up; the longer edge to the fence"))
    setting = (Setting("length", size),)
    return Draft("straightedge", HAND_SAW, name, setting, say("good face down"))


def _guide(size: Length, name: str, note: str) -> Draft:
    """A cut along the fence; a narrow strip falls off outside."""
    if size < NARROW:
        return slice_off(size)
    return Draft("sheet_cut", TABLE_SAW, name, (Setting("fence", size),), note)


def _larger(part: Part) -> Length:
    return max(part.length, part.width)


def _edge(sheet: Material, across: bool) -> Length:
    """The sheet's edge that runs along the fence: across it for a length, along it for a width."""
    return sheet.sold_width if across else sheet.sold_length


def _first_size(part: Part, sheet: Material) -> Length:
    return part.length if is_length_first(part, sheet) else part.width


def _second_size(part: Part, sheet: Material) -> Length:
    return part.width if is_length_first(part, sheet) else part.length
