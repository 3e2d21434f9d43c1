"""Bevels: from tilt, gauge, fence and stop back to the two lines that the build draws."""

from __future__ import annotations

import math

import pytest

from shopstep.milling.bevels import cut_bevel, turn_to_end
from shopstep.milling.drafts import Draft
from shopstep.model.feature import Bevel, Face
from shopstep.model.part import Hand, Part
from shopstep.units import Angle, Length
from tests.sample_floor import KERF, PARTS, X, Y, Z, bevel, inch, piece
from tests.test_milling_faces import POINTS, turn, turnings

NEAR_MM = 0.01


def setting(draft: Draft, name: str) -> float:
    """A setting as millimetres or radians."""
    value = next(s.value for s in draft.settings if s.name == name)
    return math.radians(value.microdeg / 1e6) if isinstance(value, Angle) else value.in_mm


def board(cut: Bevel) -> Part:
    """A landing board, its length from left to right, lying flat."""
    return piece("landing", ("14", "3 1/2", "3/4"), (Y, X, Z), (), cut)


@pytest.mark.parametrize(("back", "drop"), [("1/4", "1/2"), ("3/4", "3/4"), ("1/2", "5/8")])
def test_a_steep_bevel_lies_flat_and_the_tilted_blade_meets_both_lines(
    back: str, drop: str
) -> None:
    draft = cut_bevel(board(cut := bevel("b", Face.TOP, Face.FRONT, back, drop)), cut, KERF)
    assert draft.kind == "bevel_rip"
    assert "top face down" in draft.note
    # at table level the blade stands at the fence setting; it leans out as it goes up
    at_table, tilt = setting(draft, "fence"), setting(draft, "tilt")
    assert at_table == pytest.approx(inch("3 1/2").in_mm - inch(back).in_mm)
    reached = at_table + inch(drop).in_mm * math.tan(tilt)
    assert reached == pytest.approx(inch("3 1/2").in_mm, abs=NEAR_MM)
    assert tilt <= math.radians(45) + 1e-6


@pytest.mark.parametrize(("back", "drop"), [("1", "1/4"), ("2", "1/2")])
def test_a_flat_bevel_stands_on_edge_so_that_the_blade_tilts_less_than_half_square(
    back: str, drop: str
) -> None:
    draft = cut_bevel(board(cut := bevel("b", Face.TOP, Face.FRONT, back, drop)), cut, KERF)
    assert "front edge down" in draft.note
    assert "bottom face to the tall fence" in draft.note
    at_table, tilt = setting(draft, "fence"), setting(draft, "tilt")
    assert at_table == pytest.approx(inch("3/4").in_mm - inch(drop).in_mm)
    reached = at_table + inch(back).in_mm * math.tan(tilt)
    assert reached == pytest.approx(inch("3/4").in_mm, abs=NEAR_MM)
    assert tilt < math.radians(45)


def test_a_bevel_told_from_its_edge_is_the_same_cut() -> None:
    one = bevel("b", Face.TOP, Face.FRONT, "1/4", "1/2")
    other = bevel("b", Face.FRONT, Face.TOP, "1/2", "1/4")
    first, second = cut_bevel(board(one), one, KERF), cut_bevel(board(other), other, KERF)
    assert setting(first, "fence") == setting(second, "fence")
    assert setting(first, "tilt") == pytest.approx(setting(second, "tilt"), abs=1e-7)


@pytest.mark.parametrize("hand", list(Hand))
def test_the_gauge_and_the_stop_give_the_sloped_end(hand: Hand) -> None:
    part = next(p for p in PARTS if p.name == "side_rail" and p.hand is hand)
    slope = next(f for f in part.features if isinstance(f, Bevel))
    draft = cut_bevel(part, slope, KERF)
    assert draft.kind == "mitre"
    # along the top the piece is as long as the stop says; going down it grows by the gauge angle
    grown = slope.drop.in_mm * math.tan(setting(draft, "angle"))
    assert setting(draft, "stop") + grown == pytest.approx(part.length.in_mm, abs=NEAR_MM)


@pytest.mark.parametrize(("hand", "way"), [(Hand.LEFT, "up"), (Hand.RIGHT, "down")])
def test_left_and_right_lie_the_other_way_up_at_the_mitre_gauge(hand: Hand, way: str) -> None:
    part = next(p for p in PARTS if p.name == "side_rail" and p.hand is hand)
    slope = next(f for f in part.features if isinstance(f, Bevel))
    assert f"marked face {way}" in cut_bevel(part, slope, KERF).note
    # at the saw: front end to the right (at the blade), bottom edge towards the person (gauge)
    rows = next(
        rows
        for rows in turnings()
        if turn(rows, POINTS[Face.FRONT]) == (1, 0, 0)
        and turn(rows, POINTS[Face.BOTTOM]) == (0, -1, 0)
    )
    on_top = next(face for face, v in POINTS.items() if turn(rows, v) == (0, 0, 1))
    inside = Face.RIGHT if hand is Hand.LEFT else Face.LEFT
    assert (on_top is inside) is (way == "up")


@pytest.mark.parametrize("hand", list(Hand))
def test_the_gauge_swings_so_that_the_blade_leaves_the_far_edge_shorter(hand: Hand) -> None:
    """The part lies with its front end to the right; x to the right, y away, inches."""
    part = next(p for p in PARTS if p.name == "side_rail" and p.hand is hand)
    slope = next(f for f in part.features if isinstance(f, Bevel))
    draft = cut_bevel(part, slope, KERF)
    assert "back end pointing away from you" in draft.note
    assert "bottom edge to the gauge" in draft.note
    # the pencil line runs from the front end (drop below the top) to the top edge (back of it)
    end, top = (0.0, 3.5 - slope.drop.in_inches), (-slope.back.in_inches, 3.5)
    turned = -setting(draft, "angle")  # the back end away from the person: clockwise from above
    xs = [x * math.cos(turned) - y * math.sin(turned) for x, y in (end, top)]
    assert xs[0] == pytest.approx(xs[1], abs=1e-4)  # straight away from the person, as the blade
    back = (-22.5 * math.cos(turned), -22.5 * math.sin(turned))
    assert back[0] < 0 < back[1]


def test_an_end_bevelled_across_the_broad_face_tilts_the_blade() -> None:
    cut = bevel("b", Face.TOP, Face.LEFT, "1/2", "3/4")
    draft = cut_bevel(board(cut), cut, KERF)
    assert draft.kind == "mitre"
    assert [s.name for s in draft.settings] == ["tilt", "stop"]
    reached = setting(draft, "stop") + inch("3/4").in_mm * math.tan(setting(draft, "tilt"))
    assert reached == pytest.approx(inch("14").in_mm, abs=NEAR_MM)


def test_a_bevel_is_turned_so_that_its_edge_is_the_end() -> None:
    part = piece("rail", ("20", "3", "3/4"), (X, Z, Y), ())
    turned = turn_to_end(part, bevel("b", Face.FRONT, Face.TOP, "2", "1"))
    assert (turned.face, turned.edge) == (Face.TOP, Face.FRONT)
    assert (turned.back, turned.drop) == (inch("1"), inch("2"))
    assert turned.angle.microdeg == pytest.approx(
        Angle.from_rise(Length.inches(2), Length.inches(1)).microdeg, abs=1
    )
