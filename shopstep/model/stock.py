"""What parts are cut from, and what has to be bought."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from shopstep.model.part import Hand
from shopstep.model.price import Price
from shopstep.units import ZERO, Length

REST = "rest of "
"""Begins the id of what is left of a board that was cut into rough lengths."""


@dataclass(frozen=True, slots=True)
class RackPiece:
    """A board, sheet, roll or offcut that the keeper already has."""

    id: str
    material: str
    """What it is (``model.rack.Stuff``); where ``thickness`` is zero, a build's own material."""
    length: Length
    width: Length
    thickness: Length = ZERO
    """As measured; zero: it is as thick as the build's material."""
    defects: tuple[tuple[Length, Length], ...] = ()
    """Zones along the length that are not to be used, begin and end."""
    barred: str = ""
    """Why it must not be cut for a plan; empty where it may."""
    squared: bool = True
    """Whether both ends are square, so that it can be ripped as it is."""
    rack_id: str = ""
    """The piece that this is the clear part of, where a defect parts it; else empty."""
    starts_at: Length = ZERO
    """Where it begins on that piece."""
    planed: bool = False
    """Whether it is thicker than the build's material and is planed to that first."""
    snipe: Length = ZERO
    """Of a planed one: what is cut off each end of the whole board."""


@dataclass(frozen=True, slots=True)
class Cut:
    """Where one blank lies on a piece of stock; corner nearest to its lower left end."""

    part: str
    hand: Hand | None
    at_length: Length
    at_width: Length
    length: Length
    width: Length
    across: bool = False
    """Of a sheet: cut to its length right across the sheet, before it is cut to its width."""
    spare: bool = False
    """One more than the batch needs: for the trial cut of a setup, and for what goes wrong."""


@dataclass(frozen=True, slots=True)
class Rest:
    """What remains of a piece of stock and is worth keeping."""

    key: str
    """Which one of its piece: ``end``, ``side-1``, ``lane-1-2``."""
    at_length: Length
    at_width: Length
    length: Length
    width: Length
    stage: str
    """What parts it from the piece: ``rough`` (the first cut of all), ``rip`` or ``crosscut``."""
    owners: tuple[str, ...]
    """Names of the parts that are cut beside it."""


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
    """Rough lengths that a board is cut into before it is ripped, or sections that a sheet is sawn
    into first, from its lower end on, a kerf between them; empty where it is cut as it is."""
    is_added: bool = False
    """Whether it was laid out for the batch after the boards of its material were cut up."""
    rack_id: str = ""
    """Its id on the rack that remembers; empty where it is bought, or off a rack given by hand."""
    starts_at: Length = ZERO
    """Where it begins on that piece, if only a clear part of it is used."""
    planed_from: Length = ZERO
    """How thick it is before it is planed to its material's thickness; zero: it is not planed."""
    snipe: Length = ZERO
    """Of a planed one: what is cut off each end of the whole board; not in its length here."""
    late: bool = False
    """Of a planed one: laid out after the batch had been at the planer; no card planes it."""


class Measure(StrEnum):
    """What is kept low where a material is bought."""

    COUNT = "count"
    """Boards or sheets of one size; of a roll, which has no pieces, nanometres of its length."""
    LENGTH = "length"
    """Nanometres of boards or sheets of several lengths and one width, so it is their area."""
    MONEY = "money"
    """Hundredths, where several lengths are sold and each has its price."""


@dataclass(frozen=True, slots=True)
class LeastBought:
    """How good the layout of one material is: what it buys, and what any layout buys at least."""

    material: str
    bought: int
    """In the measure's unit."""
    least: int
    measure: Measure = Measure.COUNT

    @property
    def is_proved(self) -> bool:
        """Whether no layout buys less."""
        return self.bought <= self.least

    @property
    def percent_over(self) -> int:
        """At most so much over the least, rounded up."""
        if self.is_proved:
            return 0
        return -(-100 * (self.bought - self.least) // self.least) if self.least else 100


@dataclass(frozen=True, slots=True)
class BuyLine:
    """One line of the shopping list."""

    item: str
    quantity: int
    unit: str
    """``board``, ``sheet``, ``ft``, ``box``…"""
    text: str
    """The whole line as a shop assistant could read it, with its price where that is known."""
    each: Price | None = None
    """As given: for one piece, or for a foot or a metre."""
    cost: Price | None = None
    """Of the whole line."""
