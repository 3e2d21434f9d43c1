"""What is cut out of parts, counted again in small cubes; and joints that meet or do not."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopstep.model.feature import Dado, Face, Feature, Fingers, Groove, Notch, Rabbet, Recess
from shopstep.model.joint import Joint
from shopstep.model.material import Form, Material
from shopstep.model.part import Hand, Part
from shopstep.solids import find_overlaps, overall_size
from shopstep.solids.boxes import all_boxes
from shopstep.solids.cuts import cuts_of
from shopstep.units import ZERO, Length
from tests.sample_floor import MATERIALS, X, Y, Z, inch, piece

Cube = tuple[int, int, int]
ROOT = ("0", "0", "0")
IN = 25_400_000
SIZE = (12, 6, 4)
"""Length front to back, width left to right, thickness bottom to top, in inches."""


def one(n: int) -> Length:
    """So many inches."""
    return Length.inches(n)


def slab(*features: Feature, hand: Hand | None = None) -> Part:
    """A slab of 12 × 6 × 4 in."""
    sizes = tuple(str(n) for n in SIZE)
    return piece("slab", (sizes[0], sizes[1], sizes[2]), (X, Y, Z), (ROOT,), *features, hand=hand)


def air_in(part: Part) -> set[Cube]:
    """The inch cubes that the program takes out of a slab."""
    (box,) = all_boxes((part,))
    return {
        (x, y, z)
        for cut in cuts_of(box)
        for x, y, z in product(*(range(a.nm // IN, b.nm // IN) for a, b in cut.spans))
    }


EVERY = set(product(range(12), range(6), range(4)))
CASES: list[tuple[Feature, set[Cube]]] = [
    (
        Groove("g", Face.TOP, Face.LEFT, one(1), one(2), one(1), one(3), ZERO),
        {c for c in EVERY if c[2] == 3 and c[1] in (1, 2) and c[0] >= 3},
    ),
    (
        Groove("g", Face.TOP, Face.RIGHT, one(1), one(2), one(1), ZERO, one(2)),
        {c for c in EVERY if c[2] == 3 and c[1] in (3, 4) and c[0] < 10},
    ),
    (
        Rabbet("r", Face.TOP, Face.RIGHT, one(2), one(1), one(1), one(1)),
        {c for c in EVERY if c[2] == 3 and c[1] >= 4 and 1 <= c[0] < 11},
    ),
    (
        Rabbet("r", Face.BOTTOM, Face.BACK, one(3), one(2), ZERO, ZERO),
        {c for c in EVERY if c[2] < 2 and c[0] >= 9},
    ),
    (
        Dado("d", Face.TOP, Face.BACK, one(2), one(1), one(2)),
        {c for c in EVERY if c[2] >= 2 and c[0] == 9},
    ),
    (
        Fingers("f", Face.FRONT, one(1), one(4), "finger", Face.LEFT),
        {c for c in EVERY if c[0] < 4 and c[1] in (1, 3, 5)},
    ),
    (
        Fingers("f", Face.BACK, one(4), one(2), "slot", Face.RIGHT),
        {c for c in EVERY if c[0] >= 10 and c[1] >= 2},
    ),
    (
        Notch("n", Face.TOP, Face.LEFT, one(4), one(2)),
        {c for c in EVERY if 4 <= c[0] < 8 and c[1] < 2},
    ),
    (
        Recess("h", Face.BOTTOM, Face.RIGHT, one(1), one(6), one(2), one(1)),
        {c for c in EVERY if c[2] == 0 and 3 <= c[0] < 9 and c[1] in (3, 4)},
    ),
]


@pytest.mark.parametrize(("feature", "air"), CASES)
def test_every_kind_of_cut_takes_out_what_the_drawing_says(
    feature: Feature, air: set[Cube]
) -> None:
    assert air_in(slab(feature)) == air


@pytest.mark.parametrize(("hand", "side"), [(Hand.LEFT, (4, 5)), (Hand.RIGHT, (0, 1))])
def test_the_inside_of_a_left_piece_is_its_right_side(hand: Hand, side: tuple[int, int]) -> None:
    step = Rabbet("r", Face.TOP, Face.INSIDE, one(2), one(1), ZERO, ZERO)
    assert {c[1] for c in air_in(slab(step, hand=hand))} == set(side)


numbers = st.integers(0, 4)


@given(numbers, numbers, st.integers(1, 3), st.integers(1, 4), st.integers(-6, 12), numbers)
def test_wood_is_shared_where_cubes_say_so(
    offset: int, stop: int, depth: int, width: int, front: int, left: int
) -> None:
    """A bar across a grooved slab, inch by inch."""
    groove = Groove("g", Face.TOP, Face.LEFT, one(offset), one(width), one(depth), one(stop), ZERO)
    a = slab(groove)
    bar = piece("bar", ("6", "3", "4"), (X, Y, Z), (ROOT,))
    b = replace(
        bar, places=(replace(bar.places[0], front=one(front), left=one(left), bottom=one(2)),)
    )
    cubes = {
        (x, y, z)
        for x in range(front, front + 6)
        for y in range(left, left + 3)
        for z in range(2, 6)
    }
    assert bool(find_overlaps((a, b), ())) is bool((EVERY - air_in(a)) & cubes)


def corner(lap: str = "3/8", lower: str = "0") -> tuple[tuple[Part, ...], Joint]:
    """A front with a rabbet at its left end, and a side whose end stands in it."""
    step = Rabbet("corner_left", Face.BACK, Face.LEFT, inch("3/4"), inch("3/8"), ZERO, ZERO)
    front = piece("front", ("16", "9", "3/4"), (Y, Z, X), (ROOT,), step)
    side = piece("side", ("19", "9", "3/4"), (X, Z, Y), ((lap, "0", lower),))
    joint = Joint("corner", "rabbet", "side", "front", None, inch("3/8"), ZERO, ZERO, inch("18"),
                  inch("19"), 2, 1)  # fmt: skip
    return (front, side), joint


def test_a_side_in_its_rabbet_meets_and_shares_no_wood() -> None:
    parts, joint = corner()
    assert find_overlaps(parts, (joint,)) == ()


def test_a_rabbet_too_shallow_is_told_with_its_amount() -> None:
    parts, joint = corner(lap="1/4")
    (found,) = find_overlaps(parts, (joint,))
    assert "their rabbet misses by 1/8 in at the front" in found.text


def test_a_member_that_only_touches_its_channel_is_apart() -> None:
    parts, joint = corner(lap="3/4")
    (found,) = find_overlaps(parts, (joint,))
    assert (found.rule, found.where.name) == ("joint_apart", "side")


@pytest.mark.parametrize("begin", ["finger", "slot"])
def test_fingers_of_both_parts_mesh_only_where_they_alternate(begin: str) -> None:
    def fingers(end: Face, first: str) -> Fingers:
        return Fingers("box", end, inch("3/4"), inch("3/4"), first, Face.BOTTOM)

    front = piece("front", ("16", "9", "3/4"), (Y, Z, X), (ROOT,), fingers(Face.LEFT, "finger"))
    side = piece("side", ("19", "9", "3/4"), (X, Z, Y), (ROOT,), fingers(Face.FRONT, begin))
    assert bool(find_overlaps((front, side), ())) is (begin == "finger")


def test_what_comes_off_a_roll_is_not_in_the_overall_size() -> None:
    metal = Material("metal", "sheet metal", Form.ROLL, inch("1/32"), inch("24"), inch("12"), "")
    cover = replace(piece("cover", ("30", "20", "1/32"), (X, Y, Z), (ROOT,)), material="metal")
    assert overall_size((slab(), cover), (*MATERIALS, metal)) == (one(12), one(6), one(4))
