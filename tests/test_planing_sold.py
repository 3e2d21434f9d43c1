"""Boards that are sold rough: planed here, or where they are bought. Arithmetic; no source."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.model.operation import PLANE
from shopstep.model.plan import BuildFileError, Plan, PlanRequest
from shopstep.model.resources import Planer
from shopstep.planner import make_plan, revise
from shopstep.planner.racking import offer_rack
from shopstep.present.account import Prices, account_of
from shopstep.present.record import record
from shopstep.units import Length
from tests.floor import BEGIN_S, floor_text
from tests.planing_shop import PLANER, board, planed, request, told
from tests.sample_floor import inch
from tests.stock_checker import check_board, check_piece, check_planing_steps

LINE = "    thickness: board_thickness\n"


def rough(entry: str = "1 in", planer: Planer | None = PLANER) -> PlanRequest:
    """The shipped floor, its board sold rough."""
    text = floor_text()
    assert text.count(LINE) == 1
    asked = request(planer=planer)
    build = replace(asked.build, text=text.replace(LINE, f"{LINE}    sold_thickness: {entry}\n"))
    return replace(asked, build=build)


def boards(made: Plan) -> list[Length]:
    """How long the boards are that are bought, as they lie on the saw."""
    return [p.length for p in made.stock if p.material == "board" and not p.from_rack]


def test_a_rough_board_is_bought_as_long_as_it_is_sold_and_planed_first() -> None:
    made = make_plan(rough())
    assert boards(made)
    assert set(boards(made)) == {inch("90")}, "3 in go off each end of 8 ft"
    bought = [p for p in made.stock if p.material == "board"]
    for piece in bought:
        check_piece(piece)
        check_board(piece)
        assert (piece.planed_from, piece.snipe) == (inch("1"), inch("3"))
    assert check_planing_steps(made) == 1
    (kind,) = [kind for kind in made.kinds if kind.stage == PLANE]
    assert "A" in kind.text
    assert "(1 in)" in kind.text
    assert "A stand or a helper holds the long end" in kind.text
    line = next(line for line in made.buy if line.unit == "board")
    assert line.text == f"{len(bought)} × 3/4 in pine board, sound, kiln-dried, 1×6, 8 ft"
    assert line.quantity == len(bought)
    (least,) = [each for each in made.least_bought if each.material == "board"]
    assert least.bought == len(bought)


def test_the_ends_of_a_planed_board_are_waste() -> None:
    made = make_plan(rough())
    yields = account_of(record((), made), made, Prices(), BEGIN_S).yields
    wood = next(each for each in yields if each.title.startswith("3/4 in pine board"))
    assert wood.bought == len(boards(made)) * inch("96").nm * inch("5 1/2").nm
    assert wood.waste > len(boards(made)) * inch("6").nm * inch("5 1/2").nm


@pytest.mark.parametrize(
    ("planer", "entry", "why"),
    [
        (None, "1 in", "the shop's settings have no planer"),
        (replace(PLANER, widest=inch("5")), "1 in", "the planer takes nothing wider than 5 in"),
        (PLANER, "1 1/2 in", "more than a third of it would be shavings"),
    ],
)
def test_where_it_cannot_be_planed_here_it_is_bought_planed(
    planer: Planer | None, entry: str, why: str
) -> None:
    made = make_plan(rough(entry, planer))
    assert not [kind for kind in made.kinds if kind.tool == "planer"]
    assert set(boards(made)) == {inch("96")}
    line = next(line for line in made.buy if line.unit == "board")
    assert line.text.endswith("1×6, 8 ft, planed to 3/4 in")
    assert why in told(made, "buy_planed")


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        ("3/4 in", "'sold_thickness' of 'board' must be more than its thickness"),
        ("1/2 in", "'sold_thickness' of 'board' must be more than its thickness"),
    ],
)
def test_a_rough_thickness_that_cannot_be_is_refused_with_its_line(entry: str, said: str) -> None:
    asked = rough(entry)
    with pytest.raises(BuildFileError) as caught:
        make_plan(asked)
    assert said in caught.value.text
    line = asked.build.text.splitlines()[caught.value.where.line - 1]
    assert "sold_thickness" in line


def test_only_boards_of_one_length_are_sold_rough() -> None:
    asked = rough()
    text = asked.build.text.replace("    sold_length: 8 ft\n", "    sold_length: [6 ft, 8 ft]\n", 1)
    assert text != asked.build.text
    with pytest.raises(BuildFileError) as caught:
        make_plan(replace(asked, build=replace(asked.build, text=text)))
    assert "goes with one sold_length" in caught.value.text
    sheet = floor_text().replace(
        "    thickness: panel_thickness\n",
        "    thickness: panel_thickness\n    sold_thickness: 1 in\n",
    )
    with pytest.raises(BuildFileError) as caught:
        make_plan(replace(asked, build=replace(asked.build, text=sheet)))
    assert "is for boards of wood only" in caught.value.text


def test_a_board_of_the_rack_that_is_ready_goes_before_rough_ones() -> None:
    asked = rough()
    ready = replace(asked, rack=(board("R1", "110", "9 1/4", "3/4"),))
    made = make_plan(ready)
    assert not [kind for kind in made.kinds if kind.tool == "planer"]
    assert not planed(made)
    assert offer_rack(ready.rack, made.materials, "in").pieces


def test_a_rough_board_that_comes_after_the_planing_is_told() -> None:
    """Measured shorter at the bench, the parts want one board more: no step planes it."""
    asked = replace(rough(), units=2)
    before = make_plan(asked)
    done = {
        step.id: (step.start_s, step.end_s)
        for step in before.steps
        if step.kind.startswith((PLANE, "rough_cut"))
    }
    more = replace(asked, settings=(("box_length", "23 1/2 in"),))
    after = revise(more, before, done, max(end for _, end in done.values()) + 60)
    late = [piece for piece in after.stock if piece.late]
    assert late, "the sample must need another board"
    setups = [
        [(s.id, s.settings) for s in made.setups if s.kind == PLANE] for made in (before, after)
    ]
    assert setups[0] == setups[1]
    said = told(after, "done_otherwise")
    assert "comes 1 in thick, and the others are planed" in said
    assert "then take 3 in off each end; no step does it" in said
