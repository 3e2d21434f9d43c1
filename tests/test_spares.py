"""Spare blanks for trial cuts: in the plan where something is left over, never bought."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from pathlib import Path

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
from tests.sample_floor import BOARD, KERF, MATERIALS, PARTS, inch
from tests.stock_checker import check_board, check_piece, check_rests
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
