"""How a part gets its size: rip, slice, crosscut or shear, and the blank it comes from.

A table by how the material is sold. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Callable

from shopstep.milling.drafts import NARROW, SHORT, SNIPS, TABLE_SAW, Draft
from shopstep.model.material import Form, Material
from shopstep.model.operation import Blank, Setting
from shopstep.model.part import Part
from shopstep.units import Length


def across_board(part: Part, board: Length) -> Length:
    """How wide the part lies across a board: its thickness where it is a slice off the edge."""
    if part.thickness != board and part.width == board:
        return part.thickness
    return part.width


def is_slice(part: Part, board: Length) -> bool:
    """Whether the part comes off the edge of a board of that thickness as a slice."""
    across = across_board(part, board)
    return across < NARROW or (part.thickness != board and part.width == board)


def needs_resaw(part: Part, board: Length) -> bool:
    """Whether the part is thinner than the board both ways and must be ripped on edge."""
    return part.thickness < board and part.width != board


def is_short(part: Part) -> bool:
    """Whether the part is too short to be ripped or grooved by itself."""
    return part.length < SHORT


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
        count=units * part.count_unit,
    )


def size_cuts(part: Part, material: Material, kerf: Length) -> tuple[Draft, ...]:
    """The cuts that bring the part to size, in order; the last one gives it its length."""
    return _BY_FORM[material.form](part, material.thickness, kerf)


def _cut_board(part: Part, board: Length, kerf: Length) -> tuple[Draft, ...]:
    size = across_board(part, board)
    first = _slice_off(size) if is_slice(part, board) else _rip(size, _stick_note(part))
    resaw = (_resaw(part, board, kerf),) if needs_resaw(part, board) else ()
    note = "clamp it to the mitre gauge" if is_short(part) else ""
    stop = (Setting("stop", part.length),)
    return (first, *resaw, Draft("crosscut", TABLE_SAW, "", stop, note))


def _stick_note(part: Part) -> str:
    return "in a stick at least 12 in (305 mm) long" if is_short(part) else ""


def _rip(size: Length, note: str) -> Draft:
    return Draft("rip", TABLE_SAW, "", (Setting("fence", size),), note)


def _slice_off(size: Length) -> Draft:
    if size < NARROW:
        note = "the slice falls off on the side away from the fence; set the fence anew each time"
        return Draft("rip_thin", TABLE_SAW, "", (Setting("stop", size),), note)
    note = "the slice runs between blade and fence, with a push block"
    return Draft("rip_thin", TABLE_SAW, "", (Setting("fence", size),), note)


def _resaw(part: Part, board: Length, kerf: Length) -> Draft:
    """Rip a stick on edge; the thicker of the two leaves runs against the fence."""
    rest = board - part.thickness - kerf
    keeps = part.thickness >= rest
    fence = part.thickness if keeps else rest
    wanted = "between blade and fence" if keeps else "away from the fence"
    note = f"on edge, tall fence and featherboard; the wanted piece is the one {wanted}"
    settings = (Setting("fence", fence), Setting("height", part.width))
    name = "thickness" if is_slice(part, board) else ""
    return Draft("rip_thin", TABLE_SAW, name, settings, note)


def _cut_sheet(part: Part, _sheet: Length, _kerf: Length) -> tuple[Draft, ...]:
    narrow = part.width < NARROW
    rip = _slice_off(part.width) if narrow else _rip(part.width, "good face up")
    note = "against the fence, without the mitre gauge"
    return rip, Draft("crosscut", TABLE_SAW, "", (Setting("fence", part.length),), note)


def _cut_roll(part: Part, _thickness: Length, _kerf: Length) -> tuple[Draft, ...]:
    settings = (Setting("length", part.length), Setting("width", part.width))
    return (Draft("shear", SNIPS, "", settings, "cut along a row of the mesh, fold sharp ends"),)


_BY_FORM: dict[Form, Callable[[Part, Length, Length], tuple[Draft, ...]]] = {
    Form.BOARD: _cut_board,
    Form.SHEET: _cut_sheet,
    Form.ROLL: _cut_roll,
}
