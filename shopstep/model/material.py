"""Stock as bought: boards, sheets and rolls."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from shopstep.units import Length


class Form(StrEnum):
    """How a material is sold."""

    BOARD = "board"
    SHEET = "sheet"
    ROLL = "roll"


@dataclass(frozen=True, slots=True)
class Material:
    """One kind of stock, with the size it is sold in."""

    id: str
    """Key in the build file, for example ``board``."""
    title: str
    """What a shop assistant would read, for example ``3/4 in pine board``."""
    form: Form
    thickness: Length
    """Measured thickness where the build asks for it."""
    sold_width: Length
    sold_length: Length
    """Length along the grain (board, sheet) or of the least roll that is sold."""
    sold_as: str
    """Words for the buy list, for example ``1×6 board, 8 ft``."""
    stuff: str = ""
    """``foam`` or ``metal``; empty for wood, and for cloth off a roll."""
