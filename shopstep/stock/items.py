"""Blanks taken apart into single pieces to be laid out. Imports ``shopstep.model``."""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.model.operation import Blank
from shopstep.model.part import Hand
from shopstep.units import Length


@dataclass(frozen=True, slots=True)
class Item:
    """One piece that has to be cut out of stock."""

    part: str
    hand: Hand | None
    length: Length
    """Along the grain."""
    width: Length
    length_first: bool = False
    """Of a sheet: cut to its length right across the sheet, then to its width."""
    spare: bool = False
    """One more than the batch needs; only laid where something is left over."""

    def turned(self) -> Item:
        """The same piece with length and width in each other's place (cloth only)."""
        return Item(self.part, self.hand, self.width, self.length)

    @property
    def size(self) -> tuple[Length, Length, bool]:
        """All that matters for where it fits."""
        return self.length, self.width, self.length_first


def take_apart(blanks: tuple[Blank, ...], *, spare: bool = False) -> list[Item]:
    """One item for each piece of each blank."""
    return [
        Item(b.part, b.hand, b.rough_length, b.rough_width, b.length_first, spare)
        for b in blanks
        for _ in range(b.count)
    ]
