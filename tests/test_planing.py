"""Boards that are thicker than their parts: which are planed, when, how, and why others are not.

Which boards a planer may take is common practice (no source) and its manual; all else is
arithmetic.
"""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopstep.milling import divide_long, plan_milling
from shopstep.milling.planing import passes
from shopstep.model.material import Form
from shopstep.model.operation import PLANE
from shopstep.model.plan import Plan
from shopstep.model.step import Number, StepKind
from shopstep.model.stock import RackPiece
from shopstep.planner import make_plan
from shopstep.planner.planing import Planing
from shopstep.planner.racking import named_on_rack, offer_rack
from shopstep.present.cut_drawing import cut_lines
from shopstep.present.cut_svg import cuts_svg
from shopstep.present.document import plan_document
from shopstep.present.plan_text import plan_lines
from shopstep.present.setup_count import setup_count_words
from shopstep.stock import plan_stock
from shopstep.units import Length
from tests.planing_shop import PLANER, board, check_plan, plan, planed, request, told, used
from tests.random_racks import make_rack
from tests.sample_floor import BOARD, KERF, MATERIALS, PARTS, inch
from tests.stock_checker import (
    check_all_there,
    check_board,
    check_piece,
    check_planed,
    check_rack,
    check_rests,
)

THICK = board("R1", "90", "7 1/4", "1")


def kind_of(made: Plan) -> StepKind:
    """The one step at the planer."""
    (kind,) = [kind for kind in made.kinds if kind.stage == PLANE]
    return kind


def numbers(kind: StepKind) -> dict[str, object]:
    """Its numbers by their labels."""
    return {number.label: number.value for number in kind.numbers}


def test_a_thick_board_saves_buying_one_and_is_planed_first() -> None:
    made = plan(THICK)
    assert planed(made) == ["R1"]
    assert not [line for line in made.buy if line.unit == "board"]
    kind = kind_of(made)
    assert kind.title == "Plane to 3/4 in"
    assert numbers(kind) == {
        "thickness": inch("3/4"), "passes": 5, "first pass to": inch("15/16"), "board": 1,
    }  # fmt: skip
    assert "R1 (1 in)" in kind.text
    assert "3 × 1/16 in, then 2 × 1/32 in" in kind.text
    (check,) = kind.checks
    assert (check.value, check.tolerance) == (inch("3/4"), inch("1/64"))
    assert [card.id for card in kind.cautions] == ["planer", "planer_jam", "planer_noise_dust"]


def test_without_a_planer_all_is_as_it_was_and_the_plan_says_why() -> None:
    made = plan(THICK, planer=None)
    assert used(made) == set()
    assert told(made, "rack_left_out") == (
        "not offered from the rack: R1 (1 in thick, not 3/4 in, and the shop's settings have no"
        " planer)"
    )
    bare = make_plan(request(planer=None))
    assert made.stock == bare.stock
    assert made.setups == bare.setups


@pytest.mark.parametrize(
    ("size", "said"),
    [
        (("11 7/8", "5 1/2", "1"), "the planer takes nothing shorter than 12 in"),
        (("90", "12 1/8", "1"), "the planer takes nothing wider than 12 in"),
        (("90", "5 1/2", "1 1/4"), "more than a third of it would be shavings"),
        (("17 7/8", "5 1/2", "1"), "less than 12 in of it would be left without the ends"),
    ],
)
def test_why_a_thick_board_is_not_planed(size: tuple[str, str, str], said: str) -> None:
    made = plan(board("R1", *size))
    assert used(made) == set()
    assert f"{said}" in told(made, "rack_left_out")


@pytest.mark.parametrize(
    ("size", "is_planed"),
    [
        (("90", "12", "1"), True),
        (("90", "7 1/4", "1 1/8"), True),
        (("90", "7 1/4", "25/32"), True),
        (("90", "7 1/4", "49/64"), False),
        (("90", "7 1/4", "23/32"), False),
    ],
)
def test_where_planing_begins_and_ends(size: tuple[str, str, str], *, is_planed: bool) -> None:
    """Within 1/64 in a board is used as it is, a third of its thickness is the most."""
    assert bool(planed(plan(board("R1", *size)))) == is_planed


def test_what_needs_no_planing_goes_first_and_the_plan_says_that_the_other_stays() -> None:
    ready = (board("R2", "90", "7 1/4", "3/4"), board("R3", "60", "7 1/4", "3/4"))
    made = plan(THICK, *ready)
    assert not planed(made)
    assert used(made) <= {"R2", "R3"}
    assert told(made, "not_planed").startswith("R1 could be planed to 3/4 in, and is left as it")


def test_the_one_that_loses_least_is_planed_and_no_more_than_are_needed() -> None:
    thin = board("R2", "90", "7 1/4", "7/8")
    made = plan(THICK, thin, replace(THICK, id="R3"))
    assert planed(made) == ["R2"]
    assert told(made, "not_planed").startswith("R1, R3 could be planed")


def test_boards_of_two_thicknesses_share_one_setup() -> None:
    made = plan(board("R1", "50", "7 1/4", "1"), board("R2", "50", "7 1/4", "7/8"))
    assert planed(made) == ["R1", "R2"]
    kind = kind_of(made)
    assert "R1 (1 in), then R2 (7/8 in), each as soon as the machine is set below it" in kind.text
    assert Number("boards", 2) in kind.numbers
    # 15/16, 7/8, 13/16, 25/32 and 3/4 in for the one, the last three for the other: 8 × 1 min
    assert kind.duration_s == 600 + 8 * 60


def test_the_planer_is_one_setup_more_and_that_is_proved_fewest() -> None:
    made, bare = plan(THICK), plan()
    assert made.setups[0].kind == PLANE
    assert len(made.setups) == made.least_setups
    assert "proved fewest" in setup_count_words(made)
    assert len([s for s in made.setups if s.kind == PLANE]) == 1
    assert not [s for s in bare.setups if s.kind == PLANE]


def test_a_defect_parts_the_board_and_the_ends_go_off_all_the_same() -> None:
    made = plan(board("R1", "90", "7 1/4", "1", ("40", "42")))
    names = {piece.id: piece for piece in made.stock if piece.planed_from}
    assert names
    assert set(names) <= {"R1 from 3 in", "R1 from 42 in"}
    assert all(piece.rack_id == "R1" for piece in names.values())
    assert Number("board", 1) in kind_of(made).numbers


def test_a_planed_board_is_given_a_straight_edge_and_loses_its_ends() -> None:
    made = plan(THICK)
    (piece,) = [piece for piece in made.stock if piece.planed_from]
    assert piece.length == inch("84")
    assert min(cut.at_width for cut in piece.cuts) >= inch("1/8")
    rough = next(kind for kind in made.kinds if kind.id == "rough_cut/board")
    assert "First take 3 in off each end of R1" in rough.text
    assert any(kind.id == "edge/board" for kind in made.kinds)


def test_boards_of_several_widths_get_their_edge_at_a_fence_each() -> None:
    """A bought 1×6 and a rough board: each 1/8 in less than it is wide."""
    made = plan(board("R1", "72", "7 1/4", "1"), units=2)
    assert planed(made) == ["R1"]
    edge = next(kind for kind in made.kinds if kind.id == "edge/board")
    shown = {number.label: number.value for number in edge.numbers}
    assert shown["fence for R1"] == inch("7 1/8")
    assert shown["fence for A"] == inch("5 3/8")
    assert "Fence 7 1/8 in for R1, 5 3/8 in for A" in edge.text
    assert edge.cautions[0].id == "saw_rip_narrow"


def test_a_machine_without_snipe_takes_nothing_off_the_ends() -> None:
    made = plan(THICK, planer=replace(PLANER, snipe=Length(0)))
    (piece,) = [piece for piece in made.stock if piece.planed_from]
    assert piece.length == THICK.length
    rough = next(kind for kind in made.kinds if kind.id == "rough_cut/board")
    assert "off each end" not in rough.text


def test_drawing_list_and_document_say_it() -> None:
    made = plan(THICK)
    said = "plane to 3/4 in first (it is 1 in thick), then 3 in off each end"
    assert said in " ".join(" ".join(cut_lines(made)).split())
    assert said in cuts_svg(made)
    text = " ".join(" ".join(plan_lines(made)).split())
    assert said in text
    assert "planer, plane board: thickness 3/4 in, deepest pass 1/16 in R1 (1 in)" in text
    stock = {entry["id"]: entry for entry in plan_document(made)["stock"]}  # type: ignore[attr-defined]
    entry = stock["R1"]["planed"]
    assert [entry[key]["text"] for key in ("from", "to", "snipe")] == ["1 in", "3/4 in", "3 in"]
    assert all(other["planed"] is None for name, other in stock.items() if name != "R1")


def test_the_title_of_a_planed_board_stays_inside_the_picture() -> None:
    """Bold letters are at most 0.62 of their height wide, by the fonts that are usual."""
    made = plan(board("R1", "90", "7 1/4", "1", ("40", "42")))
    titles = re.findall(r'font-size="([\d.]+)" font-weight="bold">([^<]+)<', cuts_svg(made))
    said = [(float(size), text) for size, text in titles if "plane to" in text]
    assert said
    assert all(size >= 9 and size * 0.62 * len(text) <= 1010 for size, text in said)


def test_long_planing_stands_in_lots_of_passes_and_the_last_one_has_the_steps_name() -> None:
    made = plan(board("R1", "50", "7 1/4", "1"), board("R2", "50", "7 1/4", "7/8"))
    kind = kind_of(made)
    (step,) = [step for step in made.steps if step.kind == kind.id]
    kinds, steps = divide_long((kind,), (step,), 30 * 60)
    assert [each.id for each in steps] == [f"{step.id}#1", step.id]
    assert [
        [(n.label, n.value) for n in each.numbers if n.label in ("from pass", "to pass")]
        for each in kinds
    ] == [[("from pass", 1), ("to pass", 4)], [("from pass", 5), ("to pass", 8)]]


def test_a_metric_plan_speaks_of_millimetres() -> None:
    asked = replace(request(board("R1", "90", "7 1/4", "1")), display="mm")
    kind = kind_of(make_plan(asked))
    assert kind.title == "Plane to 19.1 mm"
    assert "305 mm or longer" in kind.text or "304.8 mm or longer" in kind.text


@given(
    st.integers(1, 64).map(lambda n: Length.inches(1).times(n).over(64)),
    st.sampled_from(["1/32", "1/16", "1/8"]).map(inch),
)
def test_passes_take_all_off_none_too_deep_and_the_last_one_light(
    removed: Length, deepest: Length
) -> None:
    depths = passes(removed, deepest)
    assert sum(depth.nm for depth in depths) == removed.nm
    assert all(Length(0) < depth <= deepest for depth in depths)
    assert 2 * depths[-1].nm <= deepest.nm


def rough_rack(seed: int) -> tuple[RackPiece, ...]:
    """Forty offcuts, a third of the boards thicker by some 64ths."""
    return tuple(
        replace(piece, thickness=piece.thickness + inch(f"{1 + (n * 7 + seed) % 24}/64"))
        if piece.material == "wood" and n % 3 == 0
        else piece
        for n, piece in enumerate(make_rack(seed))
    )


def lay(seed: int, planing: Planing) -> tuple[int, int]:
    """Six floors from such a rack, judged by the checker: boards bought, and boards planed."""
    rack = rough_rack(seed)
    milling = plan_milling(PARTS, MATERIALS, 6, KERF)
    offer = offer_rack(rack, MATERIALS, "in", planing)
    laid = plan_stock(milling.blanks, MATERIALS, offer.pieces, KERF)
    pieces = [p for p in named_on_rack(laid.pieces, offer.pieces) if p.material == BOARD.id]
    check_rack(offer.pieces, pieces)
    wanted = [blank for blank in milling.blanks if blank.material == BOARD.id]
    check_all_there(wanted, pieces, turned=False)
    for piece in pieces:
        check_piece(piece)
        check_board(piece)
        check_rests(piece, Form.BOARD)
    count = check_planed(pieces, rack, PLANER, {BOARD.id: BOARD.thickness})
    return sum(not piece.from_rack for piece in pieces), count


@pytest.mark.parametrize("group", range(4))
def test_on_random_racks_boards_are_planed_where_that_saves_buying_and_only_there(
    group: int,
) -> None:
    for seed in range(group, 24, 4):
        bought, count = lay(seed, Planing(PLANER))
        without, none = lay(seed, Planing())
        assert none == 0
        assert bought < without if count else bought == without


@pytest.mark.parametrize("seed", [0, 9])
def test_on_random_racks_the_step_at_the_planer_comes_first(seed: int) -> None:
    rack = rough_rack(seed)
    made = make_plan(replace(request(*rack), units=6))
    assert check_plan(made, rack, PLANER) == len(planed(made)) > 0
