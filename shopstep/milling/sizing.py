"""How a part gets its size: slice, rip, crosscut or shear, and the blank it comes from.

A table by how the material is sold. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Callable

from shopstep.milling.drafts import KNIFE, SHORT, SNIPS, TABLE_SAW, TINY, Draft
from shopstep.milling.sheets import cut_sheet, is_length_first
from shopstep.milling.strips import crosscut_stick, rip_strip
from shopstep.model.material import Form, Material
from shopstep.model.operation import Blank, Setting
from shopstep.model.part import Part
from shopstep.units import Length
from shopstep.words import say, to_say


def across_board(part: Part, board: Length) -> Length:
    """How wide the part lies across a board: its thickness where it is a slice off the edge."""
    if part.thickness != board and part.width == board:
        return part.thickness
    return part.width


def needs_resaw(part: Part, board: Length) -> bool:
    """Whether the part is thinner than the board both ways and must be ripped on edge."""
    return part.thickness < board and part.width != board


def is_short(part: Part) -> bool:
    """Whether the part is too short to be ripped or grooved by itself."""
    return part.length < SHORT


def is_tiny(part: Part) -> bool:
    """Whether the part is too short to be held at the table saw at all."""
    return part.length < TINY


def make_blank(part: Part, material: Material, units: int) -> Blank:
    """The rough piece for the part: ``rough_width`` is what it takes up across the stock."""
    board = material.form is Form.BOARD
    return Blank(
        part=part.name,
        hand=part.hand,
        material=material.id,
        rough_length=part.length,
        rough_width=across_board(part, material.thickness) if board else part.width,
        rough_thickness=material.thickness,
        count=part.count(units),
        length_first=material.form is Form.SHEET and is_length_first(part, material),
    )


def size_cuts(part: Part, material: Material, kerf: Length) -> tuple[Draft, ...]:
    """The cuts that bring the part to size, in order; the last one gives it its last side."""
    by_stuff = _BY_STUFF.get(material.stuff)
    if by_stuff is not None:
        kind, tool, note = by_stuff
        sizes = (Setting("length", part.length), Setting("width", part.width))
        return (Draft(kind, tool, "", sizes, note),)
    return _BY_FORM[material.form](part, material, kerf)


def _cut_board(part: Part, board: Material, kerf: Length) -> tuple[Draft, ...]:
    if part.free is not None and part.free.piece:
        return (crosscut_stick(part.length),)
    first = rip_strip(across_board(part, board.thickness))
    resaw = (_resaw(part, board.thickness, kerf),) if needs_resaw(part, board.thickness) else ()
    return (first, *resaw, crosscut_stick(part.length))


def resaw_leaf(thickness: Length, board: Length, kerf: Length) -> Length:
    """The leaf that runs against the fence when a board is ripped on edge: the thicker one."""
    return max(thickness, board - thickness - kerf)


def _resaw(part: Part, board: Length, kerf: Length) -> Draft:
    """Rip a stick on edge; the thicker of the two leaves runs against the fence."""
    fence = resaw_leaf(part.thickness, board, kerf)
    wanted = say("at the fence") if fence == part.thickness else say("away from the fence")
    note = say("on edge; push block behind it; the piece {wanted} is the wanted one", wanted=wanted)
    settings = (Setting("fence", fence), Setting("height", part.width))
    return Draft("rip_thin", TABLE_SAW, "", settings, note)


def _cut_roll(part: Part, _roll: Material, _kerf: Length) -> tuple[Draft, ...]:
    settings = (Setting("length", part.length), Setting("width", part.width))
    return (Draft("shear", SNIPS, "", settings, say("along a row of the mesh")),)


_BY_STUFF = {
    "foam": ("knife_cut", KNIFE, to_say("along a straightedge")),
    "metal": ("snip", SNIPS, to_say("along the scribed line")),
}
"""What is neither wood nor cloth: kind of work, tool, and how it is cut."""
_BY_FORM: dict[Form, Callable[[Part, Material, Length], tuple[Draft, ...]]] = {
    Form.BOARD: _cut_board,
    Form.SHEET: lambda part, sheet, _kerf: cut_sheet(part, sheet),
    Form.ROLL: _cut_roll,
}
