"""What remains of stock, held against the cuts by straight arithmetic; what the rack offers."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopstep.model.material import Form, Material
from shopstep.model.operation import Blank
from shopstep.model.rack import Stuff
from shopstep.model.stock import RackPiece
from shopstep.planner.racking import offer_rack
from shopstep.stock import plan_stock
from shopstep.stock.clear import clear_zones
from shopstep.stock.rests import rests_of_piece
from shopstep.units import ZERO, Length
from tests.sample_floor import BOARD, CLOTH, KERF, MATERIALS, PLY, inch
from tests.stock_checker import check_rests
from tests.test_stock_layout import (
    blank,
    board_blanks,
    check_plan,
    cloth_blanks,
    racks,
    sheet_blanks,
)

FORMS = {material.id: material.form for material in MATERIALS}


@given(board_blanks, racks)
@settings(max_examples=60, deadline=None)
def test_what_remains_of_boards_lies_beside_what_is_cut(
    blanks: tuple[Blank, ...], rack: tuple[RackPiece, ...]
) -> None:
    for piece in plan_stock(blanks, MATERIALS, rack, KERF).pieces:
        check_rests(piece, Form.BOARD)


@given(st.one_of(sheet_blanks, cloth_blanks))
@settings(max_examples=60, deadline=None)
def test_what_remains_of_sheets_and_cloth_lies_beside_what_is_cut(
    blanks: tuple[Blank, ...],
) -> None:
    for piece in plan_stock(blanks, MATERIALS, (), KERF).pieces:
        check_rests(piece, FORMS[piece.material])


def test_a_board_leaves_its_end_its_sides_and_the_ends_of_its_lanes() -> None:
    """96 in: a rough length of 40 1/2 in, a kerf of 1/8 in, and 55 3/8 in are left."""
    blanks = (blank("rail", inch("40"), inch("2"), 1), blank("stop", inch("20"), inch("1"), 1))
    (piece,) = plan_stock(blanks, MATERIALS, (), KERF).pieces
    assert piece.sections == (inch("40 1/2"),)
    rests = {rest.key: (rest.length, rest.width) for rest in rests_of_piece(piece, Form.BOARD)}
    # across: 1/8 in of edge, 2 in, a kerf, 1 in, a kerf; then 2 1/8 in of 5 1/2 in are left
    assert rests == {
        "end": (inch("55 3/8"), inch("5 1/2")),
        "side-1": (inch("40 1/2"), inch("2 1/8")),
        "lane-1-2": (inch("20 1/8"), inch("1")),
    }


@pytest.mark.parametrize(
    ("length", "kept"),
    [("83 1/2", []), ("83 3/8", [(inch("12"), inch("5 1/2"))])],
)
def test_a_board_end_shorter_than_a_foot_is_waste(
    length: str, kept: list[tuple[Length, Length]]
) -> None:
    """96 in less the rough length (half an inch more) and a kerf; 12 in is the least to rip."""
    (piece,) = plan_stock((blank("p", inch(length), inch("5 1/2"), 1),), MATERIALS, (), KERF).pieces
    assert [(r.length, r.width) for r in rests_of_piece(piece, Form.BOARD)] == kept


zones = st.lists(st.tuples(st.integers(0, 100), st.integers(1, 40)), max_size=5)


@given(st.integers(1, 200), zones)
def test_clear_lengths_and_defects_cover_a_piece_and_never_meet(
    length: int, pairs: list[tuple[int, int]]
) -> None:
    defects = tuple(
        (Length(start), Length(min(length, start + more)))
        for start, more in pairs
        if start < length
    )
    clear = clear_zones(Length(length), defects)
    bad = {n for begin, end in defects for n in range(begin.nm, end.nm)}
    good = {n for begin, end in clear for n in range(begin.nm, end.nm)}
    assert good == set(range(length)) - bad
    assert all(begin < end for begin, end in clear)


def on_rack(stuff: Stuff, thickness: str, **more: object) -> RackPiece:
    """A piece as the rack gives it to the planner."""
    piece = RackPiece("R1", stuff.value, inch("40"), inch("20"), inch(thickness))
    return replace(piece, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("piece", "offered"),
    [
        (on_rack(Stuff.WOOD, "3/4"), ["board"]),
        (on_rack(Stuff.WOOD, "49/64"), ["board"]),
        (on_rack(Stuff.WOOD, "25/32"), []),
        (on_rack(Stuff.PLYWOOD, "1/4"), ["ply"]),
        (on_rack(Stuff.PLYWOOD, "3/4"), []),
        (on_rack(Stuff.HARDBOARD, "1/4"), []),
        (on_rack(Stuff.CLOTH, "1/4"), ["cloth"]),
        (on_rack(Stuff.FOAM, "1"), []),
        (on_rack(Stuff.WOOD, "3/4", barred="damp"), []),
    ],
)
def test_a_piece_is_offered_for_what_it_is_made_of_and_as_thick_as(
    piece: RackPiece, offered: list[str]
) -> None:
    offer = offer_rack((piece,), MATERIALS, "in")
    assert [p.material for p in offer.pieces] == offered
    known = piece.material in ("wood", "plywood", "cloth")
    assert len(offer.findings) == (1 if known and not offered else 0)


def test_a_piece_that_serves_two_materials_is_cut_once() -> None:
    wide = Material("wide", "3/4 in pine board", Form.BOARD, BOARD.thickness, inch("7 1/4"),
                    inch("96"), "1×8, 8 ft")  # fmt: skip
    materials = (BOARD, wide)
    offer = offer_rack((on_rack(Stuff.WOOD, "3/4"),), materials, "in")
    assert [p.material for p in offer.pieces] == ["board", "wide"]
    blanks = (
        blank("a", inch("20"), inch("2"), 1),
        blank("b", inch("20"), inch("2"), 1, wide),
    )
    pieces = plan_stock(blanks, materials, offer.pieces, KERF).pieces
    assert [piece.id for piece in pieces] == ["R1", "buy-wide-1"]


@given(board_blanks, racks, st.data())
@settings(max_examples=40, deadline=None)
def test_nothing_is_cut_from_a_defect(
    blanks: tuple[Blank, ...], rack: tuple[RackPiece, ...], data: st.DataObject
) -> None:
    marked = []
    for lying in rack:
        begins = data.draw(st.integers(0, lying.length.nm - 2))
        ends = data.draw(st.integers(begins + 1, lying.length.nm - 1))
        zone = ((Length(begins), Length(ends)),)
        marked.append(replace(lying, material="wood", thickness=BOARD.thickness, defects=zone))
    offer = offer_rack(tuple(marked), (BOARD, PLY, CLOTH), "in")
    plan = plan_stock(blanks, MATERIALS, offer.pieces, KERF)
    by_id = {p.id: p for p in offer.pieces}
    whole = {p.id: p for p in marked}
    for piece in (p for p in plan.pieces if p.from_rack):
        assert piece.sections, "an end beside a defect is not square"
        own = by_id[piece.id]
        ((begin, end),) = whole[own.rack_id].defects
        for cut in piece.cuts:
            start = own.starts_at + cut.at_length
            assert start + cut.length <= begin or start >= end
            assert start >= ZERO
            assert start + cut.length <= whole[own.rack_id].length
    check_plan(blanks, plan, offer.pieces)
