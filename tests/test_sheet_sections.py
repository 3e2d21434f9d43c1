"""Sheets that are sawn into sections: only where less is bought, by the rules, and all the way."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopstep.desk import Wish
from shopstep.model.material import Form
from shopstep.model.operation import Blank
from shopstep.model.plan import Plan
from shopstep.model.stock import RackPiece, StockPiece
from shopstep.planner.done_otherwise import tell_rough_lengths
from shopstep.present.cut_drawing import cut_lines, draw_cuts
from shopstep.present.cut_svg import cuts_svg
from shopstep.stock import StockPlan, plan_stock
from shopstep.stock.items import Item
from shopstep.stock.pieces import Rules
from shopstep.stock.search import search_layout
from shopstep.units import ZERO, Length
from shopstep.wiring.desks import open_desk
from tests.floor import BEGIN_S
from tests.sample_floor import KERF, MATERIALS, PLY, inch
from tests.small_shelves import shelves_text, write_shelves
from tests.stock_checker import check_piece, check_rests, check_sheet, find_sections
from tests.test_stock_layout import blank, check_plan, sixteenths

FOUR = tuple(blank(f"p{n}", inch("11"), inch(str(n)), 2, PLY) for n in (11, 10, 9, 8))
"""Two of each fill a sheet that is sawn in two; see ``small_shelves``."""
small_blanks = st.lists(
    st.builds(
        lambda n, length, width, count, first: blank(
            f"{'first' if first else 'p'}{n}", sixteenths(length), sixteenths(width), count,
            PLY, first,
        ),
        st.integers(0, 9),
        st.integers(3 * 16, 20 * 16),
        st.integers(2 * 16, 15 * 16),
        st.integers(1, 4),
        st.booleans(),
    ),
    min_size=1,
    max_size=6,
).map(tuple)  # fmt: skip
sheet_racks = st.lists(st.tuples(st.integers(8, 48), st.integers(4, 24)), max_size=3).map(
    lambda sizes: tuple(
        RackPiece(f"r{n}", "ply", inch(str(length)), inch(str(width)))
        for n, (length, width) in enumerate(sizes)
    )
)


def test_a_sheet_is_sawn_where_that_spares_one() -> None:
    plan = plan_stock(FOUR, MATERIALS, (), KERF)
    check_plan(FOUR, plan)
    (piece,) = plan.pieces
    # what is left behind the second section, 2 1/2 in, is not sawn off
    assert piece.sections == (inch("22 5/8"), inch("25 1/4"))
    assert [least.is_proved for least in plan.least] == [True]
    check_rests(piece, Form.SHEET)


def test_a_sheet_is_not_sawn_where_it_spares_none() -> None:
    """Two widths lie side by side on the sheet as it is; a second sheet holds the other two."""
    (piece,) = plan_stock(FOUR[:2], MATERIALS, (), KERF).pieces
    assert piece.sections == ()
    thrice = tuple(replace(each, count=4) for each in FOUR)
    plan = plan_stock(thrice, MATERIALS, (), KERF)
    assert [p.sections for p in plan.pieces] == [(), ()]
    assert plan.least[0].is_proved


def test_foam_is_not_sawn() -> None:
    """A knife cuts it, in long strokes over the whole board."""
    foam = replace(PLY, id="foam", stuff="foam")
    plan = plan_stock(tuple(replace(b, material="foam") for b in FOUR), (foam,), (), KERF)
    assert [piece.sections for piece in plan.pieces] == [(), ()]


@given(small_blanks, sheet_racks, st.sampled_from([KERF, Length.mm("2.4"), ZERO]))
@settings(max_examples=80, deadline=None)
def test_sections_can_be_cut_and_what_remains_lies_beside(
    blanks: tuple[Blank, ...], rack: tuple[RackPiece, ...], kerf: Length
) -> None:
    plan = plan_stock(blanks, MATERIALS, rack, kerf)
    check_plan(blanks, plan, rack)
    for piece in plan.pieces:
        check_rests(piece, Form.SHEET)


def sheet_as_it_is(items: list[Item], rack: list[RackPiece]) -> int:
    """How many are bought where none is sawn."""
    return search_layout(items, PLY, rack, KERF, Rules(is_board=False)).laid.bought


@pytest.mark.parametrize("group", range(4))
def test_sawn_sheets_are_fewer_and_are_checked_cut_by_cut(group: int) -> None:
    """Random racks and pieces that lie in lanes: whatever is sawn buys less than it would else."""
    sawn = 0
    for seed in range(group, 40, 4):
        chance = Random(seed)
        blanks = tuple(
            blank(f"p{n}", inch(str(chance.randint(6, 16))), inch(str(chance.randint(5, 11))),
                  chance.randint(1, 4), PLY)
            for n in range(chance.randint(3, 6))
        )  # fmt: skip
        rack = tuple(
            RackPiece(f"r{n}", "ply", inch(str(chance.randint(10, 40))),
                      inch(str(chance.randint(6, 24))))
            for n in range(chance.randint(0, 2))
        )  # fmt: skip
        plan = plan_stock(blanks, MATERIALS, rack, KERF)
        check_plan(blanks, plan, rack)
        bought = sum(not piece.from_rack for piece in plan.pieces)
        items = [
            Item(b.part, None, b.rough_length, b.rough_width)
            for b in blanks
            for _ in range(b.count)
        ]
        plain = sheet_as_it_is(items, list(rack))
        is_sawn = any(piece.sections for piece in plan.pieces)
        assert bought < plain if is_sawn else bought <= plain
        assert plan.least[0].least <= bought
        sawn += is_sawn
    assert sawn


def cut_at_random(chance: Random, sizes: list[tuple[int, int, bool]]) -> list[Item]:
    """Pieces off one sheet: sections, rows of what is cut to its length first, lanes."""
    items: list[Item] = []
    left, width, foot, extra = PLY.sold_length.nm, PLY.sold_width.nm, inch("12").nm, inch("1/2").nm
    count = chance.randint(1, 3)
    for number in range(count, 0, -1):
        if left < foot:
            break
        section = left if number == 1 else chance.randint(foot, left)
        ends = extra if count > 1 else 0
        items += cut_section(chance, section - ends, width, sizes)
        left -= section + KERF.nm
    return items


def cut_section(
    chance: Random, length: int, width: int, sizes: list[tuple[int, int, bool]]
) -> list[Item]:
    """Rows first, then lanes where the edge that is left guides them."""
    items: list[Item] = []
    rows = [long for long, _, is_first in sizes if is_first]
    while rows and chance.random() < 0.6 and (long := chance.choice(rows)) <= length:
        at = 0
        while fit := [s for s in sizes if s[2] and s[0] == long and at + s[1] <= width]:
            size = chance.choice(fit)
            items.append(Item("first", None, Length(size[0]), Length(size[1]), True))
            at += size[1] + KERF.nm
        length -= long + KERF.nm
    at = 0
    while lanes := [
        wide for _, wide, is_first in sizes
        if not is_first and at + wide <= width and max(wide, inch("12").nm) <= length
    ]:  # fmt: skip
        wide, end = chance.choice(lanes), 0
        at += wide + KERF.nm
        while fit := [s for s in sizes if not s[2] and s[1] == wide and end + s[0] <= length]:
            size = chance.choice(fit)
            items.append(Item("p", None, Length(size[0]), Length(wide)))
            end += size[0] + KERF.nm
    return items


@pytest.mark.parametrize("seed", range(60))
def test_what_was_cut_from_so_many_sheets_is_never_said_to_need_more(seed: int) -> None:
    """The proof of the least, held against layouts that were drawn by the rules at random."""
    chance = Random(seed)
    sizes = [
        (chance.randint(40, 200) * inch("1/10").nm, chance.randint(30, 110) * inch("1/10").nm,
         chance.random() < 0.3)
        for _ in range(chance.randint(2, 4))
    ]  # fmt: skip
    count = chance.randint(1, 2)
    items = [item for _ in range(count) for item in cut_at_random(chance, sizes)]
    if not items:
        items = [Item("p", None, inch("10"), inch("10"))]
    found = search_layout(items, PLY, [], KERF, Rules(is_board=False, section_extra=inch("1/2")))
    assert found.least <= count


@pytest.fixture
def plan(tmp_path: Path) -> Plan:
    """The shelves' plan."""
    return open_desk().plan(Wish(write_shelves(tmp_path)), BEGIN_S)


def test_the_card_says_the_sections_and_comes_before_every_cut_of_the_sheet(plan: Plan) -> None:
    kind = next(kind for kind in plan.kinds if kind.id == "rough_cut/plywood")
    assert "straightedge" in kind.text
    assert "A: 25 1/4 in, 22 5/8 in." in kind.text
    assert kind.tool == "hand_saw"
    assert "hand_saw_board" in {caution.id for caution in kind.cautions}
    assert [check.name for check in kind.checks] == ["lettered", "square"]
    cut = [step for step in plan.steps if step.kind.startswith("sheet_cut/")]
    assert cut
    assert all("all/rough_cut/plywood" in step.needs for step in cut)
    assert not any(kind.id.startswith("edge/") for kind in plan.kinds)
    texts = [kind.text for kind in plan.kinds if kind.id.startswith("sheet_cut/")]
    assert all("rom A: " in text for text in texts)


def test_a_sheet_that_stays_whole_is_named_beside_those_that_are_sawn(tmp_path: Path) -> None:
    wide = {"floor": "10 in", "lid": "11 in", "shelf": "9 in", "tray": "8 in", "wall": "23 in"}
    text = shelves_text(wide)
    before, behind = text.split("  wall:\n")
    text = f"{before}  wall:\n{behind.replace('length: 11 in', 'length: 46 in')}"
    plan = open_desk().plan(Wish(write_shelves(tmp_path, text)), BEGIN_S)
    assert [bool(piece.sections) for piece in plan.stock] == [True, False, False]
    kind = next(kind for kind in plan.kinds if kind.id == "rough_cut/plywood")
    assert "A: 25 1/4 in, 22 5/8 in; B, C stay whole. Write" in kind.text


def test_the_drawing_shows_where_it_is_sawn_and_each_part_in_its_section(plan: Plan) -> None:
    (drawing,) = draw_cuts(plan)
    assert drawing.sawn_at == (inch("22 5/8"), inch("48"))
    for each in drawing.cuts:
        homes = [s for s in drawing.sections if s[0] <= each.cut.at_length < s[1]]
        assert len(homes) == 1
    lines = "\n".join(cut_lines(plan, 78))
    assert "sawn first\n    into 22 5/8 in, 25 1/4 in" in lines
    for number in range(1, len(drawing.cuts) + 1):
        assert f"|{number} " in lines.replace("+ ", "")
    assert 'stroke-width="4.00"' in cuts_svg(plan)


def stand(
    first: tuple[StockPiece, ...], blanks: tuple[Blank, ...], again: tuple[Blank, ...] = ()
) -> StockPlan:
    """The plan once the sheets are cut up."""
    return plan_stock(
        blanks, MATERIALS, (), KERF, "in", again, standing=first, ripped=frozenset(["ply"])
    )


def check_standing(piece: StockPiece, first: set[str]) -> None:
    """As a new one, but a section may have become empty."""
    if not piece.cuts:
        return
    check_piece(piece)
    if not piece.sections:
        check_sheet(piece, first)
        return
    for start, end in find_sections(piece):
        own = [cut for cut in piece.cuts if start <= cut.at_length.nm < end]
        assert all(cut.at_length.nm + cut.length.nm <= end - inch("1/4").nm for cut in own)


@given(small_blanks)
@settings(max_examples=40, deadline=None)
def test_nothing_moves_on_sheets_that_are_cut_up(blanks: tuple[Blank, ...]) -> None:
    first = plan_stock(blanks, MATERIALS, (), KERF)
    again = stand(first.pieces, blanks)
    assert again.buy == first.buy
    for was, now in zip(first.pieces, again.pieces, strict=True):
        assert Counter(was.cuts) == Counter(now.cuts)
        assert was.sections == now.sections


@given(small_blanks, st.integers(0, 5))
@settings(max_examples=60, deadline=None)
def test_what_is_made_again_lies_beside_what_is_cut(blanks: tuple[Blank, ...], which: int) -> None:
    first = plan_stock(blanks, MATERIALS, (), KERF)
    more = replace(blanks[which % len(blanks)], count=1)
    plan = stand(first.pieces, blanks, (more,))
    assert not plan.findings
    lengths_first = {b.part for b in blanks if b.length_first}
    now = {piece.id: piece for piece in plan.pieces}
    for was in first.pieces:
        assert not Counter(was.cuts) - Counter(now[was.id].cuts), "what is cut stays"
        assert now[was.id].sections == was.sections
    added = sum(len(p.cuts) for p in plan.pieces) - sum(len(p.cuts) for p in first.pieces)
    assert added == 1
    for piece in plan.pieces:
        check_standing(piece, lengths_first)
        check_rests(piece, Form.SHEET)
        if piece.id not in {p.id for p in first.pieces}:
            assert piece.sections == (), "no card would tell to saw it"


def test_a_sheet_that_is_wanted_since_the_sawing_is_told() -> None:
    (sawn,) = plan_stock(FOUR, MATERIALS, (), KERF).pieces
    more = replace(sawn, id="buy-ply-2", sections=(), is_added=True)
    done = frozenset(["all/rough_cut/ply"])
    (told,) = tell_rough_lengths((sawn, more), done, "in", frozenset(["ply"]))
    assert told.text.startswith("The sections of ply are cut, and not all parts")
    assert told.text.endswith("Take besides, with the cautions of the saws: B as it is.")
