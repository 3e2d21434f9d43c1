"""Spare blanks for trial cuts: in the plan where something is left over, never bought."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from pathlib import Path
from random import Random

import pytest

from shopstep.desk import Wish
from shopstep.milling import plan_milling, spare_blanks
from shopstep.model.plan import Plan
from shopstep.model.stock import RackPiece
from shopstep.present.cut_drawing import cut_lines
from shopstep.session import commands as c
from shopstep.stock import plan_stock
from shopstep.wiring.desks import open_desk
from tests.floor import BEGIN_S
from tests.rack_bench import RackBench, fill_rack, new_id
from tests.random_racks import make_rack, offered
from tests.sample_floor import BOARD, KERF, MATERIALS, PARTS, PLY, inch
from tests.small_shelves import shelves_text, write_shelves
from tests.stock_checker import check_board, check_piece, check_rests, check_sheet
from tests.test_sheet_sections import FOUR
from tests.test_stock_layout import blank


def spares_in(plan: Plan) -> Counter[str]:
    """How many spare blanks of each part a plan has."""
    return Counter(cut.part for piece in plan.stock for cut in piece.cuts if cut.spare)


def test_one_is_wanted_for_each_handed_bevelled_or_tried_setup() -> None:
    """By hand: a mitre and a bevel at one setup each, two handed grooves, one of both rails."""
    milling = plan_milling(PARTS, MATERIALS, 6, KERF)
    known = {op.id: op for op in milling.operations}
    wanted = Counter({(b.part, b.hand): b.count for b in spare_blanks(milling)})
    for setup in milling.setups:
        own = [known[name] for name in setup.operations]
        if setup.kind in ("bevel_rip", "mitre", "groove"):
            wanted[own[0].part, own[0].hand] -= 1
    assert set(wanted.values()) == {0}


@pytest.mark.parametrize("group", range(3))
def test_nothing_more_is_bought_for_spares_and_they_can_be_cut(group: int) -> None:
    milling = plan_milling(PARTS, MATERIALS, 6, KERF)
    spares = spare_blanks(milling)
    laid = 0
    for seed in range(group, 24, 3):
        rack = offered(make_rack(seed))
        plain = plan_stock(milling.blanks, MATERIALS, rack, KERF)
        plan = plan_stock(milling.blanks, MATERIALS, rack, KERF, spares=spares)
        assert plan.buy == plain.buy
        assert [p.id for p in plan.pieces] == [p.id for p in plain.pieces]
        for piece, was in zip(plan.pieces, plain.pieces, strict=True):
            form = next(m.form for m in MATERIALS if m.id == piece.material)
            check_piece(piece)
            check_rests(piece, form)
            if form is BOARD.form:
                check_board(piece)
            needed = [cut for cut in piece.cuts if not cut.spare]
            assert Counter((x.part, x.hand, x.length, x.width) for x in needed) == Counter(
                (x.part, x.hand, x.length, x.width) for x in was.cuts
            )
            laid += len(piece.cuts) - len(needed)
        found = Counter(x.part for p in plan.pieces for x in p.cuts if x.spare)
        missing = sum(blank.count for blank in spares) - sum(found.values())
        told = [finding for finding in plan.findings if finding.rule == "no_spare"]
        assert bool(told) == bool(missing)
    assert laid > 5


def test_waste_is_taken_before_the_end_of_a_board() -> None:
    """Beside one rail of 3 1/2 in a 1×6 has a lane of 1 3/4 in: the strip lies there."""
    rack = (RackPiece("r", "board", inch("90"), inch("5 1/2")),)
    rail = blank("rail", inch("30"), inch("3 1/2"), 1)
    strip = blank("strip", inch("20"), inch("1 1/2"), 1)
    (piece,) = plan_stock((rail,), MATERIALS, rack, KERF, spares=(strip,)).pieces
    spare = next(cut for cut in piece.cuts if cut.spare)
    assert spare.at_length < inch("30")
    wide = replace(strip, rough_width=inch("5"))
    plan = plan_stock(
        (replace(rail, rough_length=inch("70")),), MATERIALS, rack, KERF, spares=(wide,)
    )
    assert not any(cut.spare for p in plan.pieces for cut in p.cuts)
    assert [f.rule for f in plan.findings] == ["no_spare"]
    assert "strip; none is bought for it" in plan.findings[0].text


def test_the_plan_draws_them_and_the_cards_count_them() -> None:
    plan = open_desk().plan(Wish("screened-floor"), BEGIN_S)
    found = spares_in(plan)
    assert found
    part = next(iter(found))
    text = "\n".join(cut_lines(plan, 160))
    assert "+: a spare blank, for trial cuts" in text
    counted = {
        kind.id.partition("/")[0]: number.value
        for kind in plan.kinds
        for number in kind.numbers
        if number.label == "and spare" and part in kind.parts
    }
    assert counted["rip"]
    assert counted["crosscut"]
    assert len(counted) >= 3, "and the setup that it is for"


def test_a_spare_stays_where_it_was_cut_when_the_plan_is_made_anew(tmp_path: Path) -> None:
    fill_rack()
    bench = RackBench(tmp_path / "a.session")
    bench.follow_past("rough_cut")
    before = spares_in(bench.opened.bench.plan)
    bench.do(c.NoteConditions(id=new_id(), temperature_c=14.0, humidity_percent=60.0))
    assert spares_in(bench.opened.bench.plan) == before
    assert before


@pytest.mark.parametrize("seed", range(20))
def test_of_sheets_too_nothing_more_is_bought_and_none_is_sawn_for_it(seed: int) -> None:
    chance = Random(seed)
    blanks = tuple(
        blank(f"p{n}", inch(str(chance.randint(6, 20))), inch(str(chance.randint(4, 14))),
              chance.randint(1, 5), PLY, length_first=n == 0)
        for n in range(4)
    )  # fmt: skip
    spares = tuple(replace(each, count=1) for each in blanks)
    rack = (RackPiece("r", "ply", inch(str(chance.randint(14, 40))), inch("20")),)
    plain = plan_stock(blanks, MATERIALS, rack, KERF)
    plan = plan_stock(blanks, MATERIALS, rack, KERF, spares=spares)
    assert plan.buy == plain.buy
    assert [(p.id, bool(p.sections)) for p in plan.pieces] == [
        (p.id, bool(p.sections)) for p in plain.pieces
    ]
    laid = Counter[str]()
    for piece, was in zip(plan.pieces, plain.pieces, strict=True):
        check_piece(piece)
        check_sheet(piece, {"p0"})
        check_rests(piece, PLY.form)
        needed = Counter((c.part, c.length, c.width) for c in piece.cuts if not c.spare)
        assert needed == Counter((c.part, c.length, c.width) for c in was.cuts)
        laid.update(c.part for c in piece.cuts if c.spare)
    missing = {each.part for each in spares} - set(laid)
    told = [f.text for f in plan.findings if f.rule == "no_spare"]
    assert bool(told) == bool(missing)
    assert all(part in told[0] for part in missing)
    assert max(laid.values(), default=1) == 1


def test_a_spare_lies_where_a_lane_of_its_width_has_room() -> None:
    """Two of 11 in fill 22 1/8 in of a lane that is 48 in long; sawn, no section has room."""
    spare = replace(FOUR[3], count=1)
    (piece,) = plan_stock(FOUR[2:], MATERIALS, (), KERF, spares=(spare,)).pieces
    (own,) = [cut for cut in piece.cuts if cut.spare]
    lane = {cut.at_width for cut in piece.cuts if cut.part == own.part}
    assert lane == {own.at_width}
    assert own.at_length == inch("22 1/4")
    plan = plan_stock(FOUR, MATERIALS, (), KERF, spares=(spare,))
    assert plan.pieces[0].sections
    assert not any(cut.spare for cut in plan.pieces[0].cuts)
    assert [f.rule for f in plan.findings] == ["no_spare"]


def test_a_spare_of_a_sheet_is_drawn_and_counted_on_the_cards(tmp_path: Path) -> None:
    text = shelves_text({"lid": "11 in", "tray": "8 in"})
    plan = open_desk().plan(Wish(write_shelves(tmp_path, text)), BEGIN_S)
    assert spares_in(plan) == Counter(tray=1)
    lines = "\n".join(cut_lines(plan, 160))
    assert "+ T 11 in" in lines
    assert "+: a spare blank, for trial cuts" in lines
    counted = [
        kind.id for kind in plan.kinds for n in kind.numbers if n.label == "and spare" and n.value
    ]
    assert counted == ["sheet_cut/tray", "crosscut/lid", "groove/tray"]


def test_a_spare_of_a_sheet_takes_the_place_of_a_spoiled_piece(tmp_path: Path) -> None:
    fill_rack()
    text = shelves_text({"lid": "11 in", "tray": "8 in"})
    bench = RackBench(tmp_path / "a.session", build=write_shelves(tmp_path, text))
    (sheet,) = bench.opened.bench.plan.stock
    bench.follow_past("groove")
    bench.do(c.SpoilPart(id=new_id(), part="tray", unit=1, reason="split"))
    (again,) = bench.opened.bench.plan.stock
    places = {(x.part, x.at_length, x.at_width) for x in sheet.cuts}
    assert {(x.part, x.at_length, x.at_width) for x in again.cuts} == places
    assert not any(x.spare for x in again.cuts)
    bench.follow_all()
