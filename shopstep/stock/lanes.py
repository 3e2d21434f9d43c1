"""Lanes: strips of one width along a rough length or a sheet, with pieces laid end to end.

A kerf lies between lanes and between the pieces of a lane. A lane is never ripped again at its
end: so all rips can be done before the first crosscut. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from shopstep.model.stock import Cut
from shopstep.stock.items import Item
from shopstep.units import ZERO, Length

NARROW = Length.inches("3/4")
"""Lanes narrower than this are slices that fall off the edge of a board."""
BACKING = Length.inches("3/2")
"""What must be left of a board to hold it by while slices are ripped off (common practice)."""
SHORTEST_RIP = Length.inches(12)
"""No rip on a piece shorter than this (the "12 in long" rule: common practice)."""


@dataclass(slots=True)
class Lane:
    """One strip. Filled piece by piece, so it is not frozen."""

    width: Length
    items: list[Item]
    end: Length
    """Where its last piece ends, from where its first one begins."""


@dataclass(frozen=True, slots=True)
class Room:
    """An oblong that is ripped into lanes, and what rules hold for it."""

    length: Length
    """What pieces can take up of it."""
    width: Length
    kerf: Length
    rip_length: Length | None
    """How long it really is when it is ripped; None where no rule for solid wood holds."""
    trim: Length = ZERO
    """Goes off one edge with the first cut, so that the edge is straight."""
    only_length: Length | None = None
    """Only pieces of this length lie here, side by side; None: of any length."""
    widest: Length | None = None
    """For a lane wider than this no edge is long enough to run along the fence; None: any."""


@dataclass(slots=True)
class Region:
    """A room with the lanes that are laid into it; it fills up, so it is not frozen."""

    room: Room
    lanes: list[Lane] = field(default_factory=list)
    in_order: bool = False
    """The lanes lie as they were laid, some of them being cut."""

    def place(self, item: Item) -> bool:
        """Lay the item in a lane of its width or in a new lane; False if there is no room."""
        only = self.room.only_length
        if item.length_first != (only is not None) or only not in (None, item.length):
            return False
        return any(self._extend(lane, item) for lane in self.lanes) or self._open_lane(item)

    def _extend(self, lane: Lane, item: Item) -> bool:
        end = lane.end + self.room.kerf + item.length
        if item.width != lane.width or end > self.room.length:
            return False
        lane.items.append(item)
        lane.end = end
        return True

    def _open_lane(self, item: Item) -> bool:
        widths = [*(lane.width for lane in self.lanes), item.width]
        if item.length > self.room.length or not self._can_rip(widths):
            return False
        if self.room.widest is not None and self.room.widest < item.width < self.room.width:
            return False
        self.lanes.append(Lane(item.width, [item], item.length))
        return True

    def _can_rip(self, widths: list[Length]) -> bool:
        """Whether the lanes fit, it is long enough to rip, and slices leave wood to hold it by.

        Slices come off first, while all else of the board is still there to hold it by.
        """
        room = self.room
        start = _first_edge(room, widths)
        if start + _across(widths, room.kerf) > room.width:
            return False
        if room.rip_length is None or widths == [room.width]:
            return True
        slices = [width for width in widths if width < NARROW]
        backing = room.width - start - _across(slices, room.kerf) - room.kerf
        return room.rip_length >= SHORTEST_RIP and (not slices or backing >= BACKING)

    @property
    def used(self) -> Length:
        """How far the longest lane reaches."""
        return max(lane.end for lane in self.lanes)

    @property
    def starts_at(self) -> Length:
        """How much the first cut along the edge takes off."""
        return _first_edge(self.room, [lane.width for lane in self.lanes])

    def cuts(self, at_length: Length) -> Iterator[Cut]:
        """All cuts, lane by lane: slices first, then the widest, as they are ripped."""
        at_width = self.starts_at
        lanes = sorted(self.lanes, key=lambda lane: (lane.width >= NARROW, -lane.width.nm))
        for lane in self.lanes if self.in_order else lanes:
            start = at_length
            for item in lane.items:
                size = (item.length, item.width, item.length_first)
                yield Cut(item.part, item.hand, start, at_width, *size, item.spare)
                start += item.length + self.room.kerf
            at_width += lane.width + self.room.kerf


def _first_edge(room: Room, widths: list[Length]) -> Length:
    """The trim; nothing where one lane needs all of the width."""
    return room.trim if len(widths) > 1 or widths[0] + room.trim <= room.width else ZERO


def _across(widths: list[Length], kerf: Length) -> Length:
    return Length(sum(width.nm for width in widths) + kerf.nm * max(0, len(widths) - 1))
