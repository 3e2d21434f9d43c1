"""Pieces of stock while they are being laid out, and first fit over all of them.

A piece is ripped into lanes over its whole length, or crosscut into sections that are ripped
each by itself. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from shopstep.model.stock import StockPiece
from shopstep.stock.items import Item
from shopstep.stock.lanes import SHORTEST_RIP, Region
from shopstep.units import ZERO, Length


@dataclass(frozen=True, slots=True)
class Rules:
    """How a form of stock may be cut."""

    saw_limits: bool
    """Whether the rules for ripping solid wood hold: shortest rip and backing for slices."""
    end_trim: Length
    """Taken off one end of a bought piece to get a square end."""


@dataclass(frozen=True, slots=True)
class Stock:
    """A piece as it lies there, before anything is laid on it."""

    id: str
    material: str
    from_rack: bool
    length: Length
    width: Length
    kerf: Length


@dataclass(slots=True)
class OpenPiece:
    """A piece with what is laid on it so far; it fills up, so it is not frozen."""

    stock: Stock
    rules: Rules
    sectioned: bool
    """Crosscut into sections first, instead of ripping it over its whole length."""
    regions: list[Region] = field(default_factory=list)
    refused: set[Item] = field(default_factory=set)
    """What did not fit; the piece only gets fuller, so it is not tried again."""

    def place(self, item: Item) -> bool:
        """Lay the item on the piece; False if there is no room."""
        size = Item("", None, item.length, item.width)
        if size in self.refused:
            return False
        placed = any(region.place(item) for region in self.regions) or self._open_region(item)
        if not placed:
            self.refused.add(size)
        return placed

    def _open_region(self, item: Item) -> bool:
        start = self._next_start()
        left = self.stock.length - start
        if self.regions and not self.sectioned:
            return False
        length = min(left, self._section_length(item)) if self.sectioned else left
        region = Region(
            start, ZERO, length, self.stock.width, self.stock.kerf, self.rules.saw_limits
        )
        if length < item.length or not region.place(item):
            return False
        self.regions.append(region)
        return True

    def _next_start(self) -> Length:
        if self.regions:
            last = self.regions[-1]
            return last.at_length + last.length + self.stock.kerf
        return ZERO if self.stock.from_rack else self.rules.end_trim

    def _section_length(self, item: Item) -> Length:
        return max(item.length, SHORTEST_RIP) if self.rules.saw_limits else item.length

    def close(self) -> StockPiece:
        """The finished layout of this piece."""
        return StockPiece(
            id=self.stock.id,
            material=self.stock.material,
            from_rack=self.stock.from_rack,
            length=self.stock.length,
            width=self.stock.width,
            cuts=tuple(cut for region in self.regions for cut in region.all_cuts()),
            kerf=self.stock.kerf,
        )


Opener = Callable[[int], OpenPiece]
"""Makes the piece of that number (1, 2, 3…) that has to be bought."""


@dataclass(frozen=True, slots=True)
class Laid:
    """One way of laying everything out."""

    pieces: tuple[OpenPiece, ...]
    """Only those that something lies on, rack pieces first."""
    misfits: tuple[Item, ...]
    """What fits on no piece."""

    @property
    def bought(self) -> int:
        """How many pieces have to be bought."""
        return sum(not piece.stock.from_rack for piece in self.pieces)

    @property
    def cost(self) -> tuple[int, int, int]:
        """The less the better: left out, bought, pieces in all."""
        return len(self.misfits), self.bought, len(self.pieces)


def lay_out(items: list[Item], rack: list[OpenPiece], buy: Opener) -> Laid:
    """First fit in the given order: rack pieces, then bought ones, then one more bought."""
    pieces = list(rack)
    misfits: list[Item] = []
    for item in items:
        if any(piece.place(item) for piece in pieces):
            continue
        fresh = buy(len(pieces) - len(rack) + 1)
        if fresh.place(item):
            pieces.append(fresh)
        else:
            misfits.append(item)
    return Laid(tuple(piece for piece in pieces if piece.regions), tuple(misfits))
