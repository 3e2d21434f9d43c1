"""Pieces of stock while they are being laid out, and first fit over all of them.

A board is cut into rough lengths that are ripped each by itself; of sheets ``open_sheets`` has the
rules. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from shopstep.model.stock import Cut, StockPiece
from shopstep.stock.items import Item
from shopstep.stock.lanes import SHORTEST_RIP, Region, Room
from shopstep.units import ZERO, Length

LONG_SECTION = Length.inches(48)
"""A longer board than this is awkward at the mitre gauge (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Rules:
    """How a form of stock may be cut."""

    is_board: bool
    """Cut to rough lengths and ripped under the rules for solid wood; else a sheet."""
    rough_extra: Length = ZERO
    """What a rough length has more than its longest lane, half of it at either end."""
    edge_trim: Length = ZERO
    """Goes off one edge of a bought piece with the first cut, so that the edge is straight."""
    section_extra: Length | None = None
    """Of a sheet: what a section has more than its parts, half of it at either end, where it may be
    sawn into sections first; None: it is cut as it is."""


@dataclass(frozen=True, slots=True)
class Stock:
    """A piece as it lies there, before anything is laid on it."""

    id: str
    material: str
    from_rack: bool
    length: Length
    width: Length
    kerf: Length
    squared: bool = True
    """Whether both ends are square; of pieces off the rack only."""
    worth: int = 1
    """Of pieces that are bought: what is kept low (``sold``)."""
    planed_from: Length = ZERO
    """How thick it is before it is planed; zero: it is not. A rough one has no straight edge."""
    snipe: Length = ZERO
    """Of a planed one: what is cut off each end of the whole board."""


@dataclass(slots=True)
class OpenPiece:
    """A piece with what is laid on it so far; it fills up, so it is not frozen."""

    stock: Stock
    rules: Rules
    long: bool
    """Rough lengths for several pieces end to end, and not only for the first one."""
    regions: list[Region] = field(default_factory=list)
    taken: Length = ZERO
    """Length that the regions take up, a kerf after each."""
    whole: bool = False
    """A board off the rack that is ripped as it is, both of its ends being square."""
    refused: set[tuple[Length, Length, bool]] = field(default_factory=set)
    """What did not fit; the piece only gets fuller, so it is not tried again."""

    def place(self, item: Item) -> bool:
        """Lay the item on the piece; False if there is no room."""
        if item.size in self.refused:
            return False
        placed = any(region.place(item) for region in self.regions) or self._open_region(item)
        if not placed:
            self.refused.add(item.size)
        return placed

    def _open_region(self, item: Item) -> bool:
        left = self.stock.length - self.taken
        found = self._rough_length(item, left)
        if found is None:
            return False
        room, length = found
        region = Region(room)
        if length > left or not region.place(item):
            return False
        self.regions.append(region)
        self.whole = self._is_whole(length)
        self.taken += length + self.stock.kerf
        return True

    def _is_whole(self, length: Length) -> bool:
        stock = self.stock
        return stock.from_rack and stock.squared and length == stock.length

    def _rough_length(self, item: Item, left: Length) -> tuple[Room, Length] | None:
        """A rough length for the item, with what is added for square ends; or the whole piece."""
        extra = self.rules.rough_extra
        length = max(item.length + extra, SHORTEST_RIP)
        if self.long:
            length = max(length, min(left, LONG_SECTION))
        if self._goes_whole(length, left):
            length = left
        if length > left:
            return None
        usable = length if self._is_whole(length) else length - extra
        return Room(usable, self.stock.width, self.stock.kerf, length, self.edge_trim), length

    def open_length(self, usable: Length | None, items: Sequence[Item]) -> bool:
        """One more rough length of a board, with these items in it, lane after lane; False if they
        have no room. ``usable``: what they can take up of it; None: the whole board as it is."""
        length = self.stock.length
        if usable is not None:
            length = max(usable + self.rules.rough_extra, SHORTEST_RIP)
            usable = length - self.rules.rough_extra
        size = (usable or length, self.stock.width)
        region = Region(Room(*size, self.stock.kerf, length, self.edge_trim))
        left = self.stock.length - self.taken
        if length > left or not all(region.place(item) for item in items):
            return False
        self.regions.append(region)
        self.whole = usable is None
        self.taken += length + self.stock.kerf
        return True

    @property
    def edge_trim(self) -> Length:
        """What goes off one edge so that it is straight: nothing where it was jointed before."""
        is_straight = self.stock.from_rack and not self.stock.planed_from
        return ZERO if is_straight else self.rules.edge_trim

    @property
    def may_go_whole(self) -> bool:
        """Whether a board may be ripped as it is: its ends were cut square before."""
        return self.stock.from_rack and self.stock.squared

    def _goes_whole(self, length: Length, left: Length) -> bool:
        """Whether a board off the rack is ripped as it is: its ends were cut square before."""
        if not self.stock.from_rack or not self.stock.squared or self.regions:
            return False
        return length > left or (self.long and left <= LONG_SECTION)

    @property
    def items(self) -> list[Item]:
        """What lies on it, region by region and lane by lane."""
        return [i for region in self.regions for lane in region.lanes for i in lane.items]

    @property
    def is_sawn(self) -> bool:
        """Of a sheet: whether it is sawn into sections first."""
        return False

    def stop_sawing(self) -> None:
        """Of a sheet: no further section is sawn off it."""

    def close(self) -> StockPiece:
        """The finished layout of this piece."""
        kerf, extra = self.stock.kerf, ZERO if self.whole else self.rules.rough_extra
        cuts: list[Cut] = []
        sections: list[Length] = []
        start = ZERO
        for region in self.regions:
            cuts += region.cuts(start + extra.over(2))
            length = self._shrink(region)
            sections.append(length)
            start += length + kerf
        return StockPiece(
            id=self.stock.id,
            material=self.stock.material,
            from_rack=self.stock.from_rack,
            length=self.stock.length,
            width=self.stock.width,
            cuts=tuple(cuts),
            kerf=kerf,
            sections=() if self.whole else tuple(sections),
            planed_from=self.stock.planed_from,
            snipe=self.stock.snipe,
        )

    def _shrink(self, region: Region) -> Length:
        """No longer than its lanes need."""
        return max(region.used + self.rules.rough_extra, SHORTEST_RIP)


Buy = Callable[[int, Item], OpenPiece | None]
"""The piece of that number (1, 2, 3…) to be bought, with the item on it; None: it fits on none."""


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
    def spent(self) -> int:
        """What all bought pieces are worth together."""
        return sum(piece.stock.worth for piece in self.pieces if not piece.stock.from_rack)

    @property
    def is_sawn(self) -> bool:
        """Whether a sheet is sawn into sections first."""
        return any(piece.is_sawn for piece in self.pieces)

    @property
    def on_bought(self) -> list[Item]:
        """What is cut from bought pieces."""
        bought = (piece for piece in self.pieces if not piece.stock.from_rack)
        return [item for piece in bought for item in piece.items]

    @property
    def cost(self) -> tuple[int, int, int, int]:
        """The less the better: left out, spent, pieces in all, rough lengths in all."""
        lengths = sum(len(piece.regions) for piece in self.pieces)
        return len(self.misfits), self.spent, len(self.pieces), lengths


def lay_out(items: list[Item], rack: list[OpenPiece], buy: Buy) -> Laid:
    """First fit in the given order: rack pieces, then bought ones, then one more bought."""
    pieces = list(rack)
    misfits: list[Item] = []
    for item in items:
        if any(piece.place(item) for piece in pieces):
            continue
        fresh = buy(len(pieces) - len(rack) + 1, item)
        if fresh is not None:
            pieces.append(fresh)
        else:
            misfits.append(item)
    return Laid(tuple(piece for piece in pieces if piece.regions), tuple(misfits))
