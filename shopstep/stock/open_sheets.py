"""Sheets while they are being laid out: as they are, or sawn into sections first.

A section is a smaller sheet: cut right across for what needs its length first, and what is left of
it lengthwise. Sawing it off takes a straightedge (a step of its own), so a sheet is only sawn where
less has to be bought for it. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from shopstep.model.stock import Cut, StockPiece
from shopstep.stock.items import Item
from shopstep.stock.lanes import SHORTEST_RIP, Region, Room
from shopstep.stock.pieces import OpenPiece, Rules, Stock
from shopstep.units import ZERO, Length

MOST_SECTIONS = 3
"""A sheet is sawn into so many at most: each is a long cut by hand (common practice, no source)."""


@dataclass(slots=True)
class Section:
    """What of a sheet is laid out by itself; it fills up, so it is not frozen."""

    stock: Stock
    length: Length
    """What its parts can take up of it."""
    is_sawn: bool
    """Off a sheet; else it is the whole sheet."""
    regions: list[Region] = field(default_factory=list)
    """Rows right across first, then at most one that is cut lengthwise."""
    taken: Length = ZERO
    """Length that the regions take up, a kerf after each."""

    def place(self, item: Item) -> bool:
        """Lay the item into a row or lane that is there, or open one; False if it has no room."""
        if any(region.place(item) for region in self.regions):
            return True
        return self.open_region(item) is not None

    def open_region(self, item: Item) -> Region | None:
        """A new row or the lengthwise part, with the item in it; None if there is no room."""
        room = self._room(item, self.length - self.taken)
        if room is None:
            return None
        region = Region(room)
        if not region.place(item):
            return None
        self.regions.append(region)
        self.taken += room.length + self.stock.kerf
        return region

    def _room(self, item: Item, left: Length) -> Room | None:
        """All across for the length of the item, or lengthwise all that is left."""
        if left <= ZERO:
            return None
        width, kerf = self.stock.width, self.stock.kerf
        if not item.length_first:
            return Room(left, width, kerf, None, widest=reach_of(left))
        needs_cut = self.is_sawn or item.length < left
        if item.length > left or (item.length > reach_of(width) and needs_cut):
            return None
        return Room(item.length, width, kerf, None, only_length=item.length)

    @property
    def used(self) -> Length:
        """How long it has to be at least, without its ends: also for what guides its lanes."""
        if not self.regions:
            return ZERO
        last = self.regions[-1]
        before = self.taken - self.stock.kerf - last.room.length
        if last.room.only_length is not None:
            return before + last.room.length
        widths = [lane.width for lane in last.lanes]
        guide = ZERO if widths == [self.stock.width] else max(*widths, SHORTEST_RIP)
        return before + max(last.used, guide)


@dataclass(slots=True)
class OpenSheet(OpenPiece):
    """A sheet with what is laid on it so far."""

    fold: int = 0
    """A section is as long as so many of its first part end to end; 0: nothing is sawn off."""
    sections: list[Section] = field(default_factory=list)

    def _open_region(self, item: Item) -> bool:
        for section in self.sections:
            region = section.open_region(item)
            if region is not None:
                self.regions.append(region)
                return True
        return any(self.open_section(item, self._section_length(item, n)) for n in self._folds)

    @property
    def _folds(self) -> tuple[int, ...]:
        """The long one first, and the shortest that holds the item."""
        return tuple(dict.fromkeys((self.fold, min(self.fold, 1))))

    @property
    def extra(self) -> Length:
        """What a section has more than its parts."""
        return self.rules.section_extra or ZERO

    def _section_length(self, item: Item, fold: int) -> Length:
        """How long a section for the item is, its ends and all."""
        stock, left = self.stock, self.stock.length - self.taken
        if not fold or len(self.sections) + 1 == MOST_SECTIONS:
            return left
        need = item.length.times(fold) + stock.kerf.times(fold - 1)
        if not item.length_first and item.width < stock.width:
            need = max(need, item.width, SHORTEST_RIP)
        length = max(need + self.extra, SHORTEST_RIP)
        return left if left < length + stock.kerf + SHORTEST_RIP else length

    def stop_sawing(self) -> None:
        """No further section, whatever is laid on it from now on."""
        self.fold = 0

    def open_section(self, item: Item, length: Length) -> bool:
        """Saw off a section of that length, ends and all, for the item; False if it has no room."""
        left = self.stock.length - self.taken
        is_sawn = length != self.stock.length
        if length > left or len(self.sections) == MOST_SECTIONS:
            return False
        if is_sawn and (not self.fold or length < SHORTEST_RIP):
            return False
        section = Section(self.stock, length - self.extra if is_sawn else length, is_sawn)
        region = section.open_region(item)
        if region is None:
            return False
        self.sections.append(section)
        self.regions.append(region)
        self.taken += length + self.stock.kerf
        return True

    @property
    def is_sawn(self) -> bool:
        """Whether it is sawn into sections; what one alone would be is left as it is."""
        return len(self.sections) > 1

    def close(self) -> StockPiece:
        """The finished layout, its sections no longer than need be."""
        lengths: list[Length] = []
        if self.is_sawn:
            needs = (section.used + self.extra for section in self.sections)
            lengths = [max(need, SHORTEST_RIP) for need in needs]
            behind = self.stock.length - sum((n + self.stock.kerf for n in lengths), ZERO)
            if behind < SHORTEST_RIP:
                lengths[-1] += behind + self.stock.kerf
        stock = self.stock
        return StockPiece(
            id=stock.id,
            material=stock.material,
            from_rack=stock.from_rack,
            length=stock.length,
            width=stock.width,
            cuts=cuts_of(self.sections, lengths, self.rules),
            kerf=stock.kerf,
            sections=tuple(lengths),
        )


def cuts_of(
    sections: Sequence[Section], lengths: Sequence[Length], rules: Rules
) -> tuple[Cut, ...]:
    """All that is cut from a sheet, section by section; ``lengths``: of its sections as they are
    sawn, nothing where it is cut as it is."""
    cuts: list[Cut] = []
    start = ZERO
    for number, section in enumerate(sections):
        at = start + (rules.section_extra or ZERO).over(2) if lengths else ZERO
        for region in section.regions:
            if region.lanes:
                cuts += region.cuts(at)
            at += region.room.length + section.stock.kerf
        start += lengths[number] + section.stock.kerf if lengths else ZERO
    return tuple(cuts)


def reach_of(edge: Length) -> Length:
    """How far from the fence that edge of a sheet guides a cut: no further than it is long; an edge
    that is too short guides nothing."""
    return ZERO if edge < SHORTEST_RIP else edge
