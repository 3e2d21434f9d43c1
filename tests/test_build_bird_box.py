"""The bird box for every bird and many boards, against arithmetic that does not use the file."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction as F
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopstep.design.resolve import Design, resolve_design
from shopstep.model.feature import Bevel, Groove, Holes
from shopstep.model.part import Hand, Part
from shopstep.model.plan import BuildText, Level, Plan
from shopstep.planner import make_plan
from shopstep.safety.tools import TOOLS
from shopstep.units import Length
from tests import schedule_checker
from tests.floor import BEGIN_S, SHOP, floor_request

IN = 25_400_000
NAME = "bird-box.yaml"
FILE = Path(__file__).resolve().parent.parent / "builds" / NAME

TABLE = {
    "wren": ((F(17, 4), F(11, 2)), (7, 9), F(1)),
    "chickadee": ((F(13, 4), F(4)), (7, 9), F(9, 8)),
    "nuthatch": ((F(15, 4), F(9, 2)), (8, 10), F(3, 2)),
    "swallow": ((F(4), F(11, 2)), (6, 8), F(11, 8)),
    "bluebird": ((F(4), F(5)), (8, 10), F(13, 8)),
    "flicker": ((F(13, 2), F(15, 2)), (12, 16), F(5, 2)),
    "owl": ((F(7), F(8)), (14, 16), F(13, 4)),
}
"""Inside width, depth below the hole, hole, in inches.

Source: Sawyer, Bird Houses, Baths and Feeding Shelters, Table I (public domain).
"""
CHOSEN = {
    "wren": (F(9, 2), 8),
    "chickadee": (F(4), 8),
    "nuthatch": (F(4), 9),
    "swallow": (F(5), 7),
    "bluebird": (F(5), 9),
    "flicker": (F(7), 14),
    "owl": (F(7), 14),
}
"""What this design takes from those ranges: inside width, depth below the hole's lower rim."""


@cache
def build() -> BuildText:
    """The shipped file."""
    return BuildText(NAME, FILE.read_text(encoding="utf-8"))


def design(**given_values: str) -> Design:
    """The box at the given measurements and choices."""
    return resolve_design(build(), (), tuple(given_values.items()))


@cache
def plan(bird: str = "bluebird") -> Plan:
    """The plan of two boxes for a bird."""
    return make_plan(replace(floor_request(("bird", bird)), build=build()))


def part(found: Design, name: str, hand: Hand | None = None) -> Part:
    """One part by name and hand."""
    return next(p for p in found.parts if p.name == name and p.hand is hand)


def inches(length: Length) -> F:
    """A length as exact inches."""
    return F(length.nm, IN)


def up_to(value: F, mark: F) -> F:
    """Rounded up to a mark."""
    return -((-value / mark) // 1) * mark


@pytest.mark.parametrize("bird", TABLE)
def test_floor_depth_and_hole_lie_in_the_published_ranges(bird: str) -> None:
    """Sawyer, Table I: inside width, depth below the hole, diameter of the hole."""
    (narrow, wide), (shallow, deep), hole = TABLE[bird]
    found = design(bird=bird, bluebird_hole="old")
    sizes = dict(found.sizes)
    front, floor = part(found, "front"), part(found, "floor")
    assert narrow <= inches(floor.length) <= wide
    floor_top = floor.places[0].bottom + floor.thickness - front.places[0].bottom
    assert shallow <= inches(sizes["hole_middle"] - sizes["hole"].over(2) - floor_top) <= deep
    assert shallow <= inches(sizes["hole_middle"] - floor_top) <= deep
    assert inches(sizes["hole"]) == hole
    assert found.findings == ()


def test_both_published_bluebird_holes_can_be_had_and_stand_in_the_fit() -> None:
    """1 5/8 in Sawyer; 1 1/2 in a national bird laboratory's species table, as restated."""
    for pick, hole in (("present", F(3, 2)), ("old", F(13, 8))):
        found = design(bluebird_hole=pick)
        assert inches(dict(found.sizes)["hole"]) == hole
        fit = next(f for f in found.fits if f.name == "hole_of_bluebird")
        assert fit.ok
        assert "1 5/8 in" in fit.text
        assert "1 1/2 in" in fit.text


def test_the_choice_of_hole_changes_no_other_bird() -> None:
    for bird in TABLE.keys() - {"bluebird"}:
        assert design(bird=bird).sizes == design(bird=bird, bluebird_hole="old").sizes


@settings(max_examples=40, deadline=None)
@given(
    bird=st.sampled_from(sorted(TABLE)),
    board=st.integers(44, 56),
    wide=st.integers(124, 244),
    pick=st.sampled_from(("old", "present")),
)
def test_every_part_is_right_by_independent_arithmetic_or_its_measure_is_refused(
    bird: str, board: int, wide: int, pick: str
) -> None:
    t, stock = F(board, 64), F(wide, 16)
    found = design(
        bird=bird,
        bluebird_hole=pick,
        board_thickness=f"{float(t)} in",
        board_width=f"{float(stock)} in",
    )
    inside, below = CHOSEN[bird]
    hole = F(3, 2) if (bird, pick) == ("bluebird", "present") else TABLE[bird][2]
    run = 2 + t + inside + t
    roof = F(math.ceil(math.hypot(run, run / 4) * 16 - 1e-9), 16)
    stops = [f for f in found.findings if f.level is Level.STOP]
    if stops:
        assert {f.where.name for f in stops} <= {"board_width", "roof_from_board"}
        assert stock < roof + F(1, 8)
        return
    assert stock >= roof + F(1, 8)
    front = up_to(F(1, 4) + t + below + hole + F(7, 4), F(1, 16))
    side = front + F(1, 4) + (t + inside) / 4
    wanted = {
        "side": (side, t + inside, t),
        "back": (F(5, 2) + side + t / 4, inside + 2 * t, t),
        "floor": (inside, inside - F(1, 8), t),
        "front": (front, inside - up_to(inside / 40, F(1, 16)), t),
        "roof": (inside + 2 * t + 2, roof, t),
    }
    assert {made.name for made in found.parts} == set(wanted)
    for made in found.parts:
        got = tuple(inches(x) for x in (made.length, made.width, made.thickness))
        assert all(abs(g - v) <= F(3, IN) for g, v in zip(got, wanted[made.name], strict=True)), (
            made.name
        )


def test_left_and_right_sides_are_mirror_images_and_as_many() -> None:
    found = design()
    left, right = (part(found, "side", hand) for hand in Hand)
    assert (left.length, left.width, left.features) == (right.length, right.width, right.features)
    assert left.count_unit == right.count_unit == 1
    (a,), (b,), (roof,) = left.places, right.places, part(found, "roof").places
    assert a.left + b.left + b.breadth == roof.left + roof.left + roof.breadth


@pytest.mark.parametrize("bird", TABLE)
def test_the_roof_lies_on_one_slope_from_the_sides_over_the_back(bird: str) -> None:
    found = design(bird=bird)
    side, back = part(found, "side", Hand.LEFT), part(found, "back")
    (fall,) = (f for f in side.features if isinstance(f, Bevel))
    (end,) = (f for f in back.features if isinstance(f, Bevel))
    assert fall.back == side.width
    assert end.back == back.thickness
    assert fall.angle == end.angle
    low_edge_of_back = back.length - end.drop + back.places[0].bottom
    assert low_edge_of_back == side.length + side.places[0].bottom


def test_the_front_turns_under_the_roof() -> None:
    """A corner at (1 in, t/2) from the pivot rises to hypot(1 in, t/2): circle geometry."""
    for thickness in (F(11, 16), F(3, 4), F(7, 8)):
        found = design(board_thickness=f"{float(thickness)} in")
        front, side = part(found, "front"), part(found, "side", Hand.LEFT)
        fall = next(f for f in side.features if isinstance(f, Bevel))
        way = inches(side.length - fall.drop - front.length)
        assert way - F(math.hypot(1, thickness / 2)) + 1 > F(1, 8)


def test_drain_holes_are_in_all_four_corners_and_no_screw_meets_them() -> None:
    found = design(bird="chickadee")
    floor = part(found, "floor")
    rows = [f for f in floor.features if isinstance(f, Holes)]
    assert sum(row.count for row in rows) == 4
    for row in rows:
        first = (inches(floor.length) - inches(row.pitch)) / 2
        assert first == inches(row.offset) == F(3, 4)
        assert F(3, 2) - inches(row.offset) - inches(row.diameter) / 2 >= F(3, 8)


def test_the_drip_groove_is_under_the_eaves_before_the_front() -> None:
    found = design()
    roof, front = part(found, "roof"), part(found, "front")
    (drip,) = (f for f in roof.features if isinstance(f, Groove))
    assert (drip.face, drip.reference) == ("bottom", "front")
    assert drip.offset + drip.width < front.places[0].front


def test_no_perch_is_made() -> None:
    assert {p.name for p in design().parts} == {"side", "back", "floor", "front", "roof"}


@pytest.mark.parametrize("bird", ["bluebird", "chickadee", "owl"])
def test_the_plan_holds_all_must_fits_and_breaks_no_rule_of_the_calendar(bird: str) -> None:
    made = plan(bird)
    assert all(fit.ok for fit in made.fits)
    assert not [f for f in made.findings if f.level is not Level.NOTE]
    wrong = schedule_checker.violations(
        made.steps, made.steps, made.waits, made.holds, SHOP, BEGIN_S
    )
    assert wrong == []


def test_sentences_are_short_and_power_tools_have_a_card_that_must_be_answered() -> None:
    for kind in plan().kinds:
        assert "{" not in kind.text + kind.why
        assert len(kind.text) <= 260, kind.id
        if kind.tool and TOOLS[kind.tool].is_power:
            assert any(card.must_ack for card in kind.cautions), kind.id


def test_the_front_is_hung_only_when_both_coats_of_both_are_dry_through() -> None:
    waits = {(w.after, w.before) for w in plan().waits if w.kind == "dry_through"}
    assert waits >= {
        ("u1/paint/second", "u1/hang/pivots"),
        ("u1/paint/front_second", "u1/hang/pivots"),
    }
