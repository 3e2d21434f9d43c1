"""Sheets that are cut up already: what lies on them stays there, and what is more lies beside it.

What remains of a sheet can be cut however much of it is done, so what is made again is laid there
first; only into sections nothing more is sawn. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from shopstep.model.stock import Cut, StockPiece
from shopstep.stock.items import Item
from shopstep.stock.lanes import Region, Room
from shopstep.stock.open_sheets import Section, cuts_of, reach_of
from shopstep.stock.pieces import Rules, Stock
from shopstep.stock.standing import Standing, assign_slots
from shopstep.units import ZERO


def stand_sheets(pieces: Iterable[StockPiece], items: list[Item], rules: Rules) -> Standing:
    """Every item where one like it was laid, if it still fits there; the others where there is
    room on these sheets; what has none is left."""
    sheets = [(piece, _reopen(piece, rules)) for piece in pieces]
    slots = [slot for _, parts in sheets for part in parts for slot in part[1]]
    homes = [part[0] for _, parts in sheets for part in parts for _ in part[1]]
    order = sorted(range(len(slots)), key=lambda n: slots[n].spare)
    takers, left = assign_slots([slots[n] for n in order], items)
    taken = dict(zip(order, takers, strict=True))
    late: list[tuple[Section, Item]] = []
    for number, (home, slot) in enumerate(zip(homes, slots, strict=True)):
        item = taken[number] or (item_of(slot) if slot.spare else None)
        if item is None or item.size != item_of(slot).size or not home.place(item):
            late += [(home, item)] if item is not None else []
    left += [item for home, item in late if not home.place(item) and not item.spare]
    sections = [part[0] for _, parts in sheets for part in parts]
    left = [item for item in left if not any(section.place(item) for section in sections)]
    stood = tuple(
        replace(piece, cuts=cuts_of([part[0] for part in parts], piece.sections, rules))
        for piece, parts in sheets
    )
    return Standing(tuple(piece for piece in stood if piece.cuts or not piece.from_rack), left)


def item_of(slot: Cut) -> Item:
    """What was laid there."""
    return Item(slot.part, slot.hand, slot.length, slot.width, slot.across, slot.spare)


def _reopen(piece: StockPiece, rules: Rules) -> list[tuple[Section, list[Cut]]]:
    """Its sections (or the whole sheet as one), with the rows and lanes as they were, still empty,
    and what lay on each."""
    stock = Stock(piece.id, piece.material, piece.from_rack, piece.length, piece.width, piece.kerf)
    is_sawn = bool(piece.sections)
    extra = (rules.section_extra or ZERO) if is_sawn else ZERO
    found: list[tuple[Section, list[Cut]]] = []
    start = ZERO
    for length in piece.sections or (piece.length,):
        slots = [cut for cut in piece.cuts if start <= cut.at_length < start + length]
        section = Section(stock, length - extra, is_sawn)
        for row in dict.fromkeys(cut.at_length for cut in slots if cut.across):
            own = next(cut for cut in slots if cut.at_length == row)
            _add(section, Room(own.length, piece.width, piece.kerf, None, only_length=own.length))
        if any(not cut.across for cut in slots):
            left = section.length - section.taken
            _add(section, Room(left, piece.width, piece.kerf, None, widest=reach_of(left)))
        found.append((section, slots))
        start += length + piece.kerf
    return found


def _add(section: Section, room: Room) -> None:
    section.regions.append(Region(room, in_order=True))
    section.taken += room.length + section.stock.kerf
