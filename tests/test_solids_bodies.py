"""Solid bodies: volumes, areas and centres against closed forms, and against a second library."""

from __future__ import annotations

from dataclasses import replace
from math import pi, prod, sin
from typing import TYPE_CHECKING

import numpy
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st

from shopstep.model.feature import (
    Dado,
    Face,
    Feature,
    Fingers,
    Groove,
    Holes,
    Notch,
    Rabbet,
    Recess,
)
from shopstep.model.part import Axis, Hand, Lean, Part
from shopstep.solids.bodies import HOLE_SIDES, make_body, make_pieces
from shopstep.solids.boxes import make_box
from shopstep.solids.cuts import cuts_of, take_out
from shopstep.solids.measures import met_mm2
from shopstep.solids.mesh import mesh_of
from shopstep.units import ZERO, Length
from tests.sample_floor import X, Y, Z, bevel, inch, piece
from tests.shelf_builds import BUILDS, shelf_design
from tests.solid_centres import centre_of

if TYPE_CHECKING:
    from manifold3d import Manifold

MM = 25.4
NEAR = 1e-9


def block(*features: Feature, hand: Hand | None = None) -> Part:
    """20 in front to back, 4 in high, 3/4 in thick from left to right; one corner in the origin."""
    return piece("block", ("20", "4", "3/4"), (X, Z, Y), (("0", "0", "0"),), *features, hand=hand)


def body_of(part: Part) -> Manifold:
    """The only piece of a part."""
    return make_body(part, part.places[0])


def in3(body: Manifold) -> float:
    """Volume in cubic inches."""
    return float(body.volume()) / MM**3


def in2(body: Manifold) -> float:
    """Surface in square inches."""
    return float(body.surface_area()) / MM**2


GROOVE = Groove("g", Face.RIGHT, Face.BOTTOM, inch("1/2"), inch("1/2"), inch("1/4"), ZERO, ZERO)
STOPPED = replace(GROOVE, stop_start=inch("2"), stop_end=inch("3"))
CASES: list[tuple[Feature | None, float, float]] = [
    # feature, volume in³, surface in², both by hand
    (None, 60.0, 2 * (80 + 15 + 3)),
    (GROOVE, 60 - 20 * 0.125, 196 + 2 * 20 * 0.25 - 2 * 0.125),
    (STOPPED, 60 - 15 * 0.125, 196 + 2 * 15 * 0.25 + 2 * 0.5 * 0.25),
    (
        Rabbet("r", Face.RIGHT, Face.TOP, inch("1/2"), inch("3/8"), ZERO, ZERO),
        60 - 20 * 0.1875,
        196 - 2 * 0.1875,
    ),
    (
        Dado("d", Face.RIGHT, Face.FRONT, inch("5"), inch("3/4"), inch("1/4")),
        60 - 4 * 0.1875,
        196 + 2 * 4 * 0.25 - 2 * 0.1875,
    ),
    (
        Notch("n", Face.RIGHT, Face.BOTTOM, inch("4"), inch("1")),
        60 - 4 * 0.75,
        196 - 2 * 4 + 2 * 1 * 0.75,
    ),
    (
        Recess("h", Face.RIGHT, Face.TOP, inch("1"), inch("4"), inch("1"), inch("1/2")),
        60 - 2.0,
        196 + 2 * 5 * 0.5,
    ),
    (
        Fingers("f", Face.FRONT, inch("1"), inch("3/4"), "finger", Face.BOTTOM),
        60 - 2 * 0.75 * 0.75,
        196 - 2 * 2 * 0.75 - 0.5625 + 3 * 0.5625,
    ),
    (
        bevel("b", Face.TOP, Face.FRONT, "3", "1"),
        60 - 1.5 * 0.75,
        196 - 2 * 1.5 - 4 * 0.75 + (10**0.5) * 0.75,
    ),
]


@pytest.mark.parametrize(("feature", "volume", "surface"), CASES)
def test_a_block_with_a_feature_has_its_volume_and_surface(
    feature: Feature | None, volume: float, surface: float
) -> None:
    body = body_of(block(*([feature] if feature else [])))
    assert in3(body) == pytest.approx(volume, rel=NEAR)
    assert in2(body) == pytest.approx(surface, rel=NEAR)


def test_round_holes_count_as_their_polygons() -> None:
    holes = Holes("h", Face.RIGHT, Face.BOTTOM, inch("2"), inch("1"), 3, inch("2"))
    polygon = HOLE_SIDES / 2 * 0.25 * sin(2 * pi / HOLE_SIDES)
    girth = HOLE_SIDES * 2 * 0.5 * sin(pi / HOLE_SIDES)
    body = body_of(block(holes))
    assert in3(body) == pytest.approx(60 - 3 * polygon * 0.75, rel=NEAR)
    assert in2(body) == pytest.approx(196 - 6 * polygon + 3 * girth * 0.75, rel=NEAR)
    assert int(body.genus()) == 3


def test_centres_are_those_of_closed_forms() -> None:
    plain = tuple(value / MM for value in centre_of(body_of(block())))
    assert plain == pytest.approx((10.0, 0.375, 2.0), rel=NEAR)
    # the groove's own centre is at x 10, y 5/8, z 3/4; 2.5 in³ of 60
    x, y, z = (value / MM for value in centre_of(body_of(block(GROOVE))))
    assert (x, y, z) == pytest.approx(
        (10.0, (60 * 0.375 - 2.5 * 0.625) / 57.5, (60 * 2 - 2.5 * 0.75) / 57.5), rel=NEAR
    )
    # a bevel takes a wedge whose centre is a third of each leg in from its corner
    x, y, z = (value / MM for value in centre_of(body_of(block(bevel("b", Face.TOP, Face.FRONT,
                                                                     "3", "1")))))  # fmt: skip
    assert x == pytest.approx((60 * 10 - 1.125 * 1.0) / 58.875, rel=NEAR)
    assert z == pytest.approx((60 * 2 - 1.125 * (4 - 1 / 3)) / 58.875, rel=NEAR)
    assert y == pytest.approx(0.375, rel=NEAR)


def lengths(least: int, most: int) -> st.SearchStrategy[Length]:
    """Lengths in 64ths of an inch."""
    return st.integers(least, most).map(lambda n: Length(n * 396_875))


@st.composite
def cut_blocks(draw: st.DrawFn) -> Part:
    """A block with up to five channels, steps, notches and pockets that may run into each other."""
    sides = st.sampled_from((Face.LEFT, Face.RIGHT))
    edges = st.sampled_from((Face.BOTTOM, Face.TOP))
    ends = st.sampled_from((Face.FRONT, Face.BACK))
    zero = st.just(ZERO)
    stop = st.one_of(zero, lengths(1, 300))
    one = st.one_of(
        st.builds(Groove, st.just("g"), sides, edges, lengths(0, 150), lengths(1, 100),
                  lengths(1, 40), stop, stop),
        st.builds(Rabbet, st.just("r"), sides, edges, lengths(1, 120), lengths(1, 40), zero, zero),
        st.builds(Rabbet, st.just("e"), sides, ends, lengths(1, 120), lengths(1, 40), zero, zero),
        st.builds(Dado, st.just("d"), sides, ends, lengths(0, 1000), lengths(1, 100),
                  lengths(1, 40)),
        st.builds(Notch, st.just("n"), sides, edges, lengths(1, 900), lengths(1, 200)),
        st.builds(Recess, st.just("h"), sides, edges, lengths(1, 100), lengths(1, 600),
                  lengths(1, 100), lengths(1, 40)),
    )  # fmt: skip
    return block(*draw(st.lists(one, max_size=5)))


@settings(deadline=None, max_examples=150)
@given(cut_blocks())
def test_any_cut_block_has_the_volume_that_whole_numbers_give(part: Part) -> None:
    """The same cuts taken out of the box in whole nanometres, one after the other."""
    box = make_box(part, part.places[0])
    left = [box.spans]
    for cut in cuts_of(box):
        left = [rest for solid in left for rest in take_out(solid, cut.spans)]
    exact = sum(prod((high - low).nm for low, high in spans) for spans in left)
    assert float(body_of(part).volume()) == pytest.approx(exact / 1e18, rel=NEAR)


@pytest.mark.parametrize("build", BUILDS)
def test_an_independent_library_agrees_on_every_piece_of_the_shelf(build: str) -> None:
    for item in make_pieces(shelf_design(build).parts):
        mesh = mesh_of(item.body)
        other = trimesh.Trimesh(mesh.points, mesh.triangles, process=True, validate=False)
        assert other.is_watertight, item.label
        assert other.volume == pytest.approx(item.body.volume(), rel=NEAR), item.label
        assert other.area == pytest.approx(item.body.surface_area(), rel=NEAR), item.label
        found = numpy.array(centre_of(item.body))
        assert other.center_mass == pytest.approx(found, abs=1e-6), item.label


@pytest.mark.parametrize("build", BUILDS)
def test_the_hands_of_every_part_are_true_mirrors(build: str) -> None:
    pieces = make_pieces(shelf_design(build).parts)
    for left in pieces:
        if left.part.hand is not Hand.LEFT:
            continue
        (right,) = (
            p for p in pieces if p.part.name == left.part.name and p.part.hand is Hand.RIGHT
        )
        mirrored = left.body.mirror((0.0, 1.0, 0.0))
        shift = right.body.bounding_box()[1] - mirrored.bounding_box()[1]
        moved = mirrored.translate((0.0, shift, 0.0))
        assert (moved ^ right.body).volume() == pytest.approx(left.body.volume(), rel=NEAR)
        assert right.body.volume() == pytest.approx(left.body.volume(), rel=NEAR)


def test_a_piece_that_is_turned_about_has_its_slope_on_the_other_side() -> None:
    sloped = block(bevel("b", Face.TOP, Face.FRONT, "3", "1"))
    about = replace(sloped, places=(replace(sloped.places[0], turned=Axis.BOTTOM_TOP),))
    plain, turned = centre_of(body_of(sloped)), centre_of(body_of(about))
    assert turned[0] == pytest.approx(20 * MM - plain[0], rel=NEAR)
    assert turned[2] == pytest.approx(plain[2], rel=NEAR)
    assert in3(body_of(about)) == pytest.approx(in3(body_of(sloped)), rel=NEAR)


def test_a_piece_that_leans_turns_about_its_lower_back_edge() -> None:
    lean = Lean(inch("3"), inch("4"), inch("20"), Length(0))
    flat = block()
    leaning = replace(flat, places=(replace(flat.places[0], lean=lean),))
    x, _, z = (value / MM for value in centre_of(body_of(leaning)))
    # 10 in before and 2 in above the edge; the front end goes down on a 3-4-5 triangle
    assert x == pytest.approx(20 - 10 * 0.8 - 2 * 0.6, rel=NEAR)
    assert z == pytest.approx(-10 * 0.6 + 2 * 0.8, rel=NEAR)


def test_a_butt_meets_on_its_end_and_a_groove_on_its_walls_within_the_play() -> None:
    lower = body_of(block())
    upper = body_of(piece("top", ("20", "1", "3/4"), (X, Z, Y), (("0", "0", "4"),)))
    assert met_mm2(upper, lower) / MM**2 == pytest.approx(15.0, rel=1e-6)
    grooved = body_of(block(GROOVE))
    # a strip in the groove, 1/64 in short of its floor and of its upper wall
    member = piece("strip", ("20", "2", "31/64"), (X, Y, Z), (("0", "33/64", "1/2"),))
    tight, loose = met_mm2(body_of(member), grooved), met_mm2(body_of(member), grooved, 25.4 / 63)
    assert tight / MM**2 == pytest.approx(20 * (0.75 - 33 / 64), rel=1e-6)
    assert loose / MM**2 == pytest.approx(20 * (2 * (0.75 - 33 / 64) + 0.5), rel=0.05)
