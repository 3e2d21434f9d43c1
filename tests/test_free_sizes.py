"""Widths that do not matter, and wood that is left on: cut size and finished size."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopstep.design.resolve import resolve_design
from shopstep.milling import as_cut
from shopstep.model.feature import Dado, Face, Groove, Rabbet, Recess
from shopstep.model.part import Allowance, Part
from shopstep.model.plan import BuildFileError, BuildText, Plan
from shopstep.model.stock import RackPiece
from shopstep.planner import make_plan
from shopstep.present.plan_text import plan_lines
from shopstep.units import ZERO, Length
from tests.floor import floor_request
from tests.sample_floor import X, Y, Z, inch, piece
from tests.shelf_builds import build_texts

CLEATS = (("holds", "cleats"),)


def plan(build: str, *rack: RackPiece, settings: tuple[tuple[str, str], ...] = ()) -> Plan:
    """Two units of a shipped build with something on the rack."""
    text, parents = build_texts(build)
    request = floor_request(*settings)
    return make_plan(replace(request, build=text, parents=parents, units=2, rack=rack))


def board(name: str, length: str, width: str) -> RackPiece:
    """An offcut of board."""
    return RackPiece(name, "board", inch(length), inch(width))


def part_of(made: Plan, name: str) -> Part:
    """One part by name."""
    return next(part for part in made.parts if part.name == name)


def setups_of(made: Plan, part: str) -> list[str]:
    """The kinds of machine work on a part."""
    owner = {op.id: op.part for op in made.operations}
    return [s.kind for s in made.setups if part in {owner[op] for op in s.operations}]


def test_an_offcut_of_any_width_in_the_range_is_used_without_a_rip() -> None:
    made = plan("hive-body", board("R7", "60", "1 7/8"), settings=CLEATS)
    cleat = part_of(made, "cleat")
    assert cleat.width == inch("1 7/8")
    assert cleat.free is not None
    assert cleat.free.piece == "R7"
    assert "rip" not in setups_of(made, "cleat")
    (used,) = [stock for stock in made.stock if stock.from_rack]
    assert [cut.part for cut in used.cuts] == ["cleat"] * 4
    assert {cut.width for cut in used.cuts} == {inch("1 7/8")}
    told = "\n".join(plan_lines(made))
    assert "cleat: any width from 1 1/4 in to 2 1/4 in will do, here as wide as R7 is" in told


@pytest.mark.parametrize(
    "rack",
    [(), (board("R1", "40", "1 7/8"),), (board("R1", "60", "3"),), (board("R1", "60", "1"),)],
)
def test_without_a_fitting_offcut_the_usual_width_is_cut(rack: tuple[RackPiece, ...]) -> None:
    made = plan("hive-body", *rack, settings=CLEATS)
    cleat = part_of(made, "cleat")
    assert cleat.width == inch("1 1/2")
    assert cleat.free is not None
    assert cleat.free.piece == ""
    assert "rip" in setups_of(made, "cleat")


def test_all_pieces_of_a_part_are_alike_even_from_several_offcuts() -> None:
    rack = (board("A", "32", "2"), board("B", "32", "2"), board("C", "32", "1 3/4"))
    made = plan("hive-body", *rack, settings=CLEATS)
    assert part_of(made, "cleat").width == inch("2")
    assert {piece.id for piece in made.stock if piece.from_rack} >= {"A", "B"}


def test_a_width_outside_its_own_range_is_refused_with_the_line() -> None:
    text, _ = build_texts("hive-body")
    wrong = text.text.replace(
        "least: 1 1/4 in, usual: 1 1/2 in", "least: 1 3/4 in, usual: 1 1/2 in"
    )
    with pytest.raises(BuildFileError) as caught:
        resolve_design(BuildText("b.yaml", wrong), (), CLEATS)
    assert "1 1/2 in does not lie from 1 3/4 in to 2 1/4 in" in caught.value.text
    assert "least: 1 3/4 in" in wrong.splitlines()[caught.value.where.line - 1]


def test_the_finished_size_stays_and_the_cut_one_is_larger() -> None:
    made = plan("inner-cover")
    side = part_of(made, "well_side")
    (cut,) = {cut.width for stock in made.stock for cut in stock.cuts if cut.part == "well_side"}
    assert cut - side.width == inch("1/32")
    rip = next(op for op in made.operations if op.part == "well_side" and op.kind == "rip")
    assert [s.value for s in rip.settings if s.name == "fence"] == [cut]
    step = next(kind for kind in made.kinds if kind.stage == "rip" and "well_side" in kind.parts)
    assert "1/32 in of it left on at the top edge" in step.text
    told = " ".join(" ".join(plan_lines(made)).split())
    assert "well side: cut 1/32 in larger at the top: planed level with the rims" in told


sixteenths = st.integers(1, 8).map(lambda n: Length.inches(1).times(n).over(16))


@settings(max_examples=60, deadline=None)
@given(top=sixteenths, end=sixteenths)
def test_every_cut_keeps_its_place_in_the_finished_part(top: Length, end: Length) -> None:
    """Place, seen from the edges that have no allowance, worked by hand."""
    features = (
        Groove("g", Face.BACK, Face.TOP, inch("1"), inch("1/4"), inch("1/4"), inch("2"), ZERO),
        Groove("h", Face.BACK, Face.BOTTOM, inch("1"), inch("1/4"), inch("1/4"), ZERO, ZERO),
        Rabbet("r", Face.BACK, Face.TOP, inch("3/8"), inch("3/8"), ZERO, ZERO),
        Dado("d", Face.BACK, Face.LEFT, inch("3"), inch("1/2"), inch("1/4")),
    )
    finished = replace(
        piece("wall", ("16", "9", "3/4"), (Y, Z, X), (("0", "0", "0"),), *features),
        allowances=(Allowance(Face.TOP, top, "planed"), Allowance(Face.LEFT, end, "trimmed")),
    )
    cut = as_cut(finished)
    assert (cut.length - finished.length, cut.width - finished.width) == (end, top)
    g, h, r, d = cut.features
    assert isinstance(g, Groove)
    assert isinstance(h, Groove)
    assert isinstance(r, Rabbet)
    assert isinstance(d, Dado)
    assert cut.width - g.offset == finished.width - inch("1")
    assert cut.length - g.stop_start == finished.length - inch("2")
    assert (h.offset, h.stop_start) == (inch("1"), ZERO)
    assert cut.width - r.width == finished.width - inch("3/8")
    assert cut.length - d.offset == finished.length - inch("3")


@pytest.mark.parametrize(
    ("wood", "words"),
    [
        ("{face: front, extra: 1/16 in, why: planed}", "that is its thickness"),
        ("{face: left, extra: 1/16 in, why: trimmed}", "'hold' would not come out in its place"),
        ("{face: top, extra: 0 in, why: planed}", "must be more than 0"),
    ],
)
def test_wood_where_it_cannot_be_left_is_refused(wood: str, words: str) -> None:
    text, _ = build_texts("hive-body")
    wrong = text.text.replace(
        "    width: body_depth\n", f"    width: body_depth\n    allowances:\n      - {wood}\n", 1
    )
    with pytest.raises(BuildFileError) as caught:
        resolve_design(BuildText("b.yaml", wrong), (), ())
    assert words in caught.value.text
    assert wood in wrong.splitlines()[caught.value.where.line - 1]


def test_a_recess_told_from_an_edge_with_wood_on_it_is_cut_deeper_in() -> None:
    hold = Recess("hold", Face.FRONT, Face.TOP, inch("3"), inch("4"), inch("7/8"), inch("3/8"))
    wall = piece("wall", ("16", "9", "3/4"), (Y, Z, X), (("0", "0", "0"),), hold)
    cut = as_cut(replace(wall, allowances=(Allowance(Face.TOP, inch("1/8"), "planed"),)))
    (moved,) = cut.features
    assert isinstance(moved, Recess)
    assert moved.offset == inch("3 1/8")
