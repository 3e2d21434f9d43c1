"""Boards that are cut up already: what lies on them stays there, and only the rest is laid anew.

Each rough length has its board's letter on it, so a part must not wander to another one. What no
longer fits into its own rough length is left over. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from shopstep.model.part import Hand
from shopstep.model.stock import REST, Cut, RackPiece, StockPiece
from shopstep.stock.items import Item
from shopstep.stock.lanes import SHORTEST_RIP, Region, Room
from shopstep.stock.pieces import Rules
from shopstep.units import ZERO, Length


@dataclass(frozen=True, slots=True)
class Standing:
    """The boards as they stand, and what has no place on them."""

    pieces: tuple[StockPiece, ...]
    left: list[Item]


@dataclass(slots=True)
class _Section:
    """One rough length, or a board that is ripped as it is, with the cuts that were laid on it."""

    region: Region
    at_length: Length
    """Where its first piece begins."""
    slots: list[Cut]


def stand_boards(
    pieces: Iterable[StockPiece], items: list[Item], rules: Rules, *, is_ripped: bool
) -> Standing:
    """Every item where one like it was laid, if it still fits there; the others are left.

    Before the first rip they may also lie on any other rough length that has room.
    """
    sections = [(piece, _sections(piece, rules)) for piece in pieces]
    slots = [(part, slot) for _, parts in sections for part in parts for slot in part.slots]
    slots.sort(key=lambda one: one[1].spare)
    takers, left = assign_slots([slot for _, slot in slots], items)
    given = [(part, slot, item) for (part, slot), item in zip(slots, takers, strict=True) if item]
    given.sort(key=lambda one: (one[2].length, one[2].width) != (one[1].length, one[1].width))
    left += [item for section, _, item in given if not section.region.place(item)]
    if not is_ripped:
        regions = [section.region for _, parts in sections for section in parts]
        left = [item for item in left if not any(region.place(item) for region in regions)]
    for (section, slot), taker in zip(slots, takers, strict=True):
        if slot.spare and taker is None:
            section.region.place(
                Item(slot.part, slot.hand, slot.length, slot.width, slot.across, spare=True)
            )
    stood = (replace(piece, cuts=_cuts_of(parts)) for piece, parts in sections)
    return Standing(tuple(piece for piece in stood if piece.cuts or not piece.from_rack), left)


def _cuts_of(sections: list[_Section]) -> tuple[Cut, ...]:
    return tuple(
        cut for part in sections if part.region.lanes for cut in part.region.cuts(part.at_length)
    )


def rests_of(pieces: Iterable[StockPiece]) -> list[RackPiece]:
    """What is left of boards that were cut into rough lengths, where it is long enough to rip."""
    standing = tuple(pieces)
    taken = {piece.id for piece in standing}
    rests = [
        RackPiece(
            f"{REST}{piece.id}",
            piece.material,
            piece.length - sum((s + piece.kerf for s in piece.sections), ZERO),
            piece.width,
        )
        for piece in standing
        if piece.sections and not piece.id.startswith(REST) and f"{REST}{piece.id}" not in taken
    ]
    return [rest for rest in rests if rest.length >= SHORTEST_RIP]


def _sections(piece: StockPiece, rules: Rules) -> list[_Section]:
    trim = ZERO if piece.from_rack and not piece.planed_from else rules.edge_trim
    extra = rules.rough_extra if piece.sections else ZERO
    found: list[_Section] = []
    start = ZERO
    for length in piece.sections or (piece.length,):
        room = Room(length - extra, piece.width, piece.kerf, length, trim)
        slots = [cut for cut in piece.cuts if start <= cut.at_length < start + length]
        found.append(_Section(Region(room), start + extra.over(2), slots))
        start += length + piece.kerf
    return found


def assign_slots(slots: list[Cut], items: list[Item]) -> tuple[list[Item | None], list[Item]]:
    """For each slot an item of its part, one of its size before all others; and the items left."""
    waiting: dict[tuple[str, Hand | None], list[Item]] = {}
    for item in items:
        waiting.setdefault((item.part, item.hand), []).append(item)

    def take(slot: Cut, *, is_alike: bool) -> Item | None:
        own = waiting.get((slot.part, slot.hand), [])
        size = (slot.length, slot.width)
        for number, item in enumerate(own):
            if not is_alike or (item.length, item.width) == size:
                return own.pop(number)
        return None

    alike = [take(slot, is_alike=True) for slot in slots]
    takers = [taker or take(slot, is_alike=False) for slot, taker in zip(slots, alike, strict=True)]
    return takers, [item for own in waiting.values() for item in own]
