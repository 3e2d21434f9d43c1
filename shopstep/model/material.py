"""Stock as bought: boards, sheets and rolls. Imports ``shopstep.model.price``."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from shopstep.model.price import Price
from shopstep.units import ZERO, Length


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
    other_lengths: tuple[Length, ...] = ()
    """Shorter lengths that it is sold in as well, the longest first; never of a roll."""
    prices: tuple[Price | None, ...] = ()
    """Of each length that it is sold in, ``sold_length`` first; None or empty: nobody says."""
    sold_thickness: Length = ZERO
    """How thick a board is sold that is planed to ``thickness``; zero: as thick as it is used."""
    snipe: Length = ZERO
    """Of one that is planed: what is cut off each end of a board then."""

    @property
    def lengths(self) -> tuple[Length, ...]:
        """All lengths that it is sold in, the longest first."""
        return (self.sold_length, *self.other_lengths)
