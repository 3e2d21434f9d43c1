"""What parts are cut from, and what has to be bought."""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.model.part import Hand
from shopstep.units import Length

REST = "rest of "
"""Begins the id of what is left of a board that was cut into rough lengths."""


@dataclass(frozen=True, slots=True)
class RackPiece:
    """A board, sheet, roll or offcut that the keeper already has."""

    id: str
    material: str
    length: Length
    width: Length


@dataclass(frozen=True, slots=True)
class Cut:
    """Where one blank lies on a piece of stock; corner nearest to its lower left end."""

    part: str
    hand: Hand | None
    at_length: Length
    at_width: Length
    length: Length
    width: Length


@dataclass(frozen=True, slots=True)
class StockPiece:
    """One board, sheet, roll or rack piece, with what is cut from it."""

    id: str
    """Rack id, or ``buy-board-1`` for a piece to be bought."""
    material: str
    from_rack: bool
    length: Length
    width: Length
    cuts: tuple[Cut, ...]
    kerf: Length
    sections: tuple[Length, ...] = ()
    """Rough lengths that a board is cut into before it is ripped, from its lower end on, a kerf
    between them; empty where it is ripped as it is, and for sheets and rolls."""
    is_added: bool = False
    """Whether it was laid out for the batch after the boards of its material were cut up."""


@dataclass(frozen=True, slots=True)
class BuyLine:
    """One line of the shopping list."""

    item: str
    quantity: int
    unit: str
    """``board``, ``sheet``, ``ft``, ``box``…"""
    text: str
    """The whole line as a shop assistant could read it."""
