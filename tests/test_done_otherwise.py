"""A changed build file, where what is done already is wanted otherwise: it is said."""

from __future__ import annotations

import re

import pytest

from shopstep.model.plan import Plan
from shopstep.present.change_text import change_lines
from shopstep.session import commands as c
from tests.floor import floor_request, floor_text
from tests.session_bench import new_id
from tests.test_following import do, finish, open_bench, walk
from tests.test_moving_over import TALLER, cut, moved

BEARERS = (
    "      - {front: inner_front, left: width - 2*board_thickness, bottom: sill + tray_space}\n"
)
THIRD = BEARERS + "      - {front: inner_front, left: width/2, bottom: sill + tray_space}\n"
GROOVE = "    face: inside\n    from: bottom\n    offset: foot"


def test_rough_lengths_that_became_too_short_are_named() -> None:
    bench, clock = open_bench(floor_request(units=2))
    walk(bench, clock, "all/rough_cut/board")
    text = floor_text().replace("  landing: 2 in\n", "  landing: 3 in\n")
    # by hand: two rails of 22 7/8 in end to end, a kerf of 1/8 in, half an inch for both ends
    said = "with the cautions of the saws, an edge straight on each: C: 2 × 46 3/8 in."
    assert said in moved(bench, text).card.notice
    again = do(bench, c.NoteConditions(id=new_id(), temperature_c=15.0, humidity_percent=50.0))
    assert "Take besides" not in again.card.notice
    assert any("C: 2 × 46 3/8 in" in finding.text for finding in bench.plan.findings)


def stiffener_boards(plan: Plan) -> str:
    """The letters of the boards that the four stiffeners are cut from: "A", "B, D"."""
    (text,) = (kind.text for kind in plan.kinds if kind.id == "slice/stiffener")
    found = re.search(r"From ([A-Z, ]+): 4 × stiffener", text)
    assert found, text
    return found[1]


def test_what_lies_on_a_board_that_is_cut_up_stays_there() -> None:
    bench, clock = open_bench(floor_request(units=4))
    walk(bench, clock, "all/rough_cut/board")
    was = {piece.id: piece for piece in bench.plan.stock if piece.sections}
    letters = stiffener_boards(bench.plan)
    moved(bench, floor_text().replace("  landing: 2 in\n", "  landing: 3 in\n"))
    now = {piece.id: piece for piece in bench.plan.stock if piece.sections}
    assert [now[name].sections for name in was] == [piece.sections for piece in was.values()]
    assert stiffener_boards(bench.plan) == letters
    assert not any(piece.is_added for piece in was.values())


def test_a_spoiled_piece_is_no_reason_to_cut_rough_lengths_anew() -> None:
    bench, clock = open_bench(floor_request(units=2))
    walk(bench, clock, "u1/fit/dry_fit")
    spoil = c.SpoilPart(id=new_id(), part="side_rail", hand="left", unit=1)
    notice = do(bench, spoil).card.notice
    assert "the left side rail of unit 1 is made again" in notice
    assert "rough lengths" not in notice


def test_rough_lengths_that_still_do_are_not_named() -> None:
    bench, clock = open_bench(floor_request(units=2))
    walk(bench, clock, "all/rough_cut/board")
    assert "rough lengths" not in moved(bench, floor_text() + "\n").card.notice


@pytest.mark.parametrize(
    ("part", "old", "new", "said"),
    [
        ("side_bearer", BEARERS, THIRD, "cut 2 times for each unit, and 3 are wanted"),
        (
            "tray",
            "    title: tray\n    material: hardboard",
            "    title: tray\n    material: plywood",
            "The tray is cut from hardboard, and plywood is wanted",
        ),
        (
            "side_rail",
            GROOVE,
            GROOVE.replace("bottom", "top"),
            "in the side rail is cut, and is wanted otherwise",
        ),
    ],
)
def test_a_cut_part_that_is_wanted_otherwise_is_named(
    part: str, old: str, new: str, said: str
) -> None:
    bench, clock = open_bench(floor_request(units=1))
    cut(bench, clock, part)
    text = floor_text().replace(old, new, 1)
    assert text != floor_text()
    shown = " ".join(
        " ".join(change_lines(bench.plan, bench.plan_moved((("floor.yaml", text),)))).split()
    )
    assert said in shown
    assert said in moved(bench, text).card.notice


def test_a_step_that_is_done_with_other_numbers_is_named() -> None:
    bench, _ = open_bench(floor_request(units=1))
    step = "all/jig/spacers"
    if bench.card().step_id != step:
        do(bench, c.TakeStep(id=new_id(), step=step))
    finish(bench, step)
    # by hand: the spacers are as high as the tray's space, 1 in before and 1 1/4 in after
    assert "would now take 1 1/4 in in place of 1 in" in moved(bench, TALLER).card.notice
    noted = do(bench, c.NoteConditions(id=new_id(), temperature_c=18.0, humidity_percent=50.0))
    assert "in place of" not in noted.card.notice


def test_the_next_lot_begins_after_the_last_piece_of_the_one_that_is_done() -> None:
    bench, clock = open_bench(floor_request(units=50))
    lot = "all/rough_cut/board#1"
    while lot not in bench.state.finished:
        if bench.card().step_id != lot and any(step.id == lot for step in bench.ready()):
            do(bench, c.TakeStep(id=new_id(), step=lot))
        step_id = bench.card().step_id
        assert step_id is not None
        finish(bench, step_id)
        clock.at_s += 60
    text = floor_text().replace("  landing: 2 in\n", "  landing: 3 1/2 in\n")
    assert "Take besides" in moved(bench, text).card.notice
    (next_lot,) = [kind for kind in bench.plan.kinds if kind.id == "rough_cut/board"]
    assert [n.value for n in next_lot.numbers if n.label == "from piece"] == [45]
