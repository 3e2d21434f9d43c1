"""Boards that are cut up already: what lies on them stays, and what is new is cut as it may be."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from shopstep.model.operation import Blank
from shopstep.model.stock import REST, StockPiece
from shopstep.stock import plan_stock
from tests.sample_floor import KERF, MATERIALS, inch
from tests.stock_checker import (
    check_all_there,
    check_lanes,
    check_piece,
    check_rack,
    find_sections,
    oblong,
)
from tests.test_stock_layout import blank, board_blanks, sixteenths

RAIL, STICK = (
    blank("rail", inch("22 3/8"), inch("3 3/4"), 4),
    blank("stick", inch("14"), inch("2"), 6),
)


def check_standing(piece: StockPiece) -> None:
    """As a new board, but a rough length, or all of them, may have become empty."""
    if piece.cuts:
        check_piece(piece)
    blocks = [oblong(cut) for cut in piece.cuts]
    spare = inch("1/4").nm if piece.sections else 0
    for start, end in find_sections(piece):
        inside = [b for b in blocks if start <= b[0] < end]
        assert all(b[0] >= start + spare and b[1] <= end - spare for b in inside)
        if inside:
            check_lanes(inside, end - start, piece)


@given(
    board_blanks,
    st.lists(st.tuples(st.integers(-8, 8), st.integers(-4, 4), st.integers(-1, 2)), min_size=8),
    st.booleans(),
)
@settings(max_examples=80, deadline=None)
def test_every_piece_has_its_place_and_rough_lengths_stay(
    blanks: tuple[Blank, ...], changes: list[tuple[int, int, int]], is_ripped: bool
) -> None:
    first = plan_stock(blanks, MATERIALS, (), KERF)
    assume(not first.findings)
    changed = tuple(
        replace(
            each,
            rough_length=each.rough_length + sixteenths(longer),
            rough_width=max(each.rough_width + sixteenths(wider), sixteenths(3)),
            count=max(each.count + more, 1),
        )
        for each, (longer, wider, more) in zip(blanks, changes, strict=False)
    )
    ripped = frozenset(["board"]) if is_ripped else frozenset[str]()
    plan = plan_stock(changed, MATERIALS, (), KERF, standing=first.pieces, ripped=ripped)
    assume(not plan.findings)
    check_all_there(list(changed), list(plan.pieces), turned=False)
    for piece in plan.pieces:
        check_standing(piece)
    now = {piece.id: piece for piece in plan.pieces}
    assert len(now) == len(plan.pieces)
    assert [now[p.id].sections for p in first.pieces] == [p.sections for p in first.pieces]
    assert sum(line.quantity for line in plan.buy) == sum(not p.from_rack for p in plan.pieces)
    for piece in plan.pieces:
        if piece.id.startswith(REST):
            own = now[piece.id.removeprefix(REST)]
            used = sum(length.nm + own.kerf.nm for length in own.sections)
            assert piece.length.nm == own.length.nm - used


@given(board_blanks)
@settings(max_examples=30, deadline=None)
def test_nothing_moves_where_nothing_changed(blanks: tuple[Blank, ...]) -> None:
    first = plan_stock(blanks, MATERIALS, (), KERF)
    assume(not first.findings)
    again = plan_stock(blanks, MATERIALS, (), KERF, standing=first.pieces)
    assert again.buy == first.buy
    for was, now in zip(first.pieces, again.pieces, strict=True):
        assert Counter(was.cuts) == Counter(now.cuts)
        assert replace(was, cuts=()) == replace(now, cuts=())


def test_a_piece_that_is_made_again_marks_no_board_as_missing() -> None:
    first = plan_stock((RAIL, STICK), MATERIALS, (), KERF)
    more = replace(RAIL, count=1)
    plan = plan_stock(
        (RAIL, STICK), MATERIALS, (), KERF, "in", (more,), first.pieces, frozenset(["board"])
    )
    check_rack((), [piece for piece in plan.pieces if not piece.id.startswith(REST)])
    assert len(plan.pieces) == len(first.pieces) + 1
    assert not any(piece.is_added for piece in plan.pieces)
    longer = replace(RAIL, rough_length=inch("24"))
    plan = plan_stock((longer, STICK), MATERIALS, (), KERF, "in", (), first.pieces)
    assert any(piece.is_added for piece in plan.pieces)
