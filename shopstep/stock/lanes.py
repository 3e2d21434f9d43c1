"""Lanes: strips of one width along a board or sheet, with pieces laid end to end in them.

A kerf lies between lanes and between the pieces of a lane. What is left at the end of a lane is
a smaller board, which can have narrower lanes of its own. So every layout can be cut with cuts
that go right through. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from shopstep.model.stock import Cut
from shopstep.stock.items import Item
from shopstep.units import Length

NARROW = Length.inches("3/4")
"""Lanes narrower than this are slices that fall off the edge of a board."""
BACKING = Length.inches("3/2")
"""What must be left of a board to hold it by while slices are ripped off (common practice)."""
SHORTEST_RIP = Length.inches(12)
"""No rip on a piece shorter than this (the "12 in long" rule: common practice)."""


@dataclass(slots=True)
class Lane:
    """One strip. Filled piece by piece, so it is not frozen."""

    at: Length
    width: Length
    cuts: list[Cut] = field(default_factory=list)
    rest: Region | None = None
    """What is left at its end, once narrower lanes have been begun there."""


@dataclass(slots=True)
class Region:
    """A board, or the rest of a lane: an oblong that is ripped into lanes; not frozen."""

    at_length: Length
    at_width: Length
    length: Length
    width: Length
    kerf: Length
    saw_limits: bool
    lanes: list[Lane] = field(default_factory=list)

    def place(self, item: Item) -> bool:
        """Lay the item in a lane of its width, in a new lane, or in the rest of a wider one."""
        return (
            any(self._extend(lane, item) for lane in self.lanes)
            or self._open_lane(item)
            or any(self._use_rest(lane, item) for lane in self.lanes)
        )

    def _extend(self, lane: Lane, item: Item) -> bool:
        start = self._end_of(lane)
        fits = start + item.length <= self.at_length + self.length
        if item.width != lane.width or lane.rest is not None or not fits:
            return False
        self._lay(lane, item, start)
        return True

    def _end_of(self, lane: Lane) -> Length:
        last = lane.cuts[-1]
        return last.at_length + last.length + self.kerf

    def _lay(self, lane: Lane, item: Item, start: Length) -> None:
        lane.cuts.append(Cut(item.part, item.hand, start, lane.at, item.length, item.width))

    def _open_lane(self, item: Item) -> bool:
        last = self.lanes[-1] if self.lanes else None
        lane = Lane(last.at + last.width + self.kerf if last else self.at_width, item.width)
        beyond = lane.at + lane.width - self.at_width
        if item.length > self.length or beyond > self.width or not self._can_rip(lane, beyond):
            return False
        self.lanes.append(lane)
        self._lay(lane, item, self.at_length)
        return True

    def _can_rip(self, lane: Lane, beyond: Length) -> bool:
        """Whether it is long enough to rip, and slices leave enough wood to hold it by."""
        if not self.saw_limits or lane.width == self.width:
            return True
        widths = [*(other.width for other in self.lanes), lane.width]
        held = max(*widths, self.width - beyond - self.kerf) >= BACKING
        return self.length >= SHORTEST_RIP and (held or min(widths) >= NARROW)

    def _use_rest(self, lane: Lane, item: Item) -> bool:
        if item.width >= lane.width:
            return False
        if lane.rest is None:
            rest = self._rest_of(lane)
            if not rest.place(item):
                return False
            lane.rest = rest
            return True
        return lane.rest.place(item)

    def _rest_of(self, lane: Lane) -> Region:
        start = self._end_of(lane)
        left = self.at_length + self.length - start
        return Region(start, lane.at, left, lane.width, self.kerf, self.saw_limits)

    def all_cuts(self) -> Iterator[Cut]:
        """All cuts, lane by lane."""
        for lane in self.lanes:
            yield from lane.cuts
            if lane.rest is not None:
                yield from lane.rest.all_cuts()
