"""Racks of mixed offcuts, made from a seed, and the whole layout of a batch checked on one."""

from __future__ import annotations

from random import Random

from shopstep.milling import plan_milling
from shopstep.model.material import Form
from shopstep.model.rack import Stuff
from shopstep.model.stock import RackPiece
from shopstep.planner.racking import named_on_rack, offer_rack
from shopstep.stock import StockPlan, plan_stock
from shopstep.units import Length
from tests.sample_floor import BOARD, KERF, MATERIALS, PARTS, PLY
from tests.stock_checker import (
    check_all_there,
    check_board,
    check_piece,
    check_rack,
    check_rests,
    check_sheet,
)

PIECES = 40


def make_rack(seed: int) -> tuple[RackPiece, ...]:
    """Forty offcuts: boards of many sizes, sheets, cloth; defects, wrong thickness, barred."""
    chance = Random(seed)
    return tuple(_make_piece(chance, f"R{number}") for number in range(1, PIECES + 1))


def _make_piece(chance: Random, name: str) -> RackPiece:
    stuff = chance.choices((Stuff.WOOD, Stuff.PLYWOOD, Stuff.CLOTH), (30, 7, 3))[0]
    sixteenth = Length.inches("1/16")
    length = sixteenth.times(chance.randint(6 * 16, 90 * 16))
    width = sixteenth.times(chance.randint(16, 9 * 16 if stuff is Stuff.WOOD else 30 * 16))
    wanted = {Stuff.WOOD: BOARD.thickness, Stuff.PLYWOOD: PLY.thickness}
    thickness = wanted.get(stuff, sixteenth)
    if chance.random() < 0.1:
        thickness += Length.inches("1/8")
    defects: tuple[tuple[Length, Length], ...] = ()
    if chance.random() < 0.25:
        begin = length.nm * chance.randint(0, 900) // 1000
        end = min(length.nm, begin + 25_400_000 * chance.randint(1, 6))
        defects = ((Length(begin), Length(end)),) if end - begin < length.nm else ()
    barred = "damp" if chance.random() < 0.1 else ""
    return RackPiece(name, stuff.value, length, width, thickness, defects, barred)


def offered(rack: tuple[RackPiece, ...]) -> tuple[RackPiece, ...]:
    """What of a rack may be cut for the floors."""
    return offer_rack(rack, MATERIALS, "in").pieces


def lay_floors(seed: int, units: int = 6) -> StockPlan:
    """The floors' first layout on the rack of a seed, checked cut by cut."""
    rack = make_rack(seed)
    milling = plan_milling(PARTS, MATERIALS, units, KERF)
    offer = offer_rack(rack, MATERIALS, "in")
    plan = plan_stock(milling.blanks, MATERIALS, offer.pieces, KERF)
    assert plan.findings == ()
    check_rack(offer.pieces, plan.pieces)
    for material in MATERIALS:
        own = [piece for piece in plan.pieces if piece.material == material.id]
        wanted = [blank for blank in milling.blanks if blank.material == material.id]
        check_all_there(wanted, own, turned=material.form is Form.ROLL)
        for piece in own:
            check_piece(piece)
            check_rests(piece, material.form)
            if material.form is Form.BOARD:
                check_board(piece)
            if material.form is Form.SHEET:
                check_sheet(piece, {blank.part for blank in wanted if blank.length_first})
    _check_origin(rack, plan, offer.pieces)
    return plan


def _check_origin(
    rack: tuple[RackPiece, ...], plan: StockPlan, offered: tuple[RackPiece, ...]
) -> None:
    """Nothing comes from a defect, from what is barred, or from another thickness."""
    known = {piece.id: piece for piece in rack}
    for piece in named_on_rack(plan.pieces, offered):
        if not piece.from_rack:
            continue
        whole = known[piece.rack_id]
        assert not whole.barred
        assert whole.thickness - Length.inches("1/64") <= _thickness(piece.material, whole)
        for cut in piece.cuts:
            start = piece.starts_at + cut.at_length
            end = start + cut.length
            assert end <= whole.length
            assert all(end <= begin or start >= stop for begin, stop in whole.defects)


def _thickness(material: str, whole: RackPiece) -> Length:
    return {BOARD.id: BOARD.thickness, PLY.id: PLY.thickness}.get(material, whole.thickness)
