"""Hidden lines: what a viewer sees of bodies, by lengths that are worked out by hand."""

from __future__ import annotations

from math import hypot

import pytest
from manifold3d import Manifold

from shopstep.solids.lines import Stretch, View, draw_edges, flat_edges
from shopstep.solids.views import corner_view

FRONT = View((0.0, -1.0, 0.0), (0.0, 0.0, 1.0), (-1.0, 0.0, 0.0))
"""Square onto the front: right is the thing's left."""


def cube(corner: tuple[float, float, float], size: tuple[float, float, float]) -> Manifold:
    """A block with one corner at a place."""
    return Manifold.cube(size).translate(corner)


def length(stretches: list[Stretch], body: int, seen: bool = True) -> float:
    """How long the lines of one body are in all."""
    chosen = [s for s in stretches if s.body == body and s.is_seen is seen]
    return sum(hypot(s.end[0] - s.start[0], s.end[1] - s.start[1]) for s in chosen)


def test_of_a_block_nine_edges_are_seen_from_a_corner_and_three_are_hidden() -> None:
    block = cube((0, 0, 0), (100, 60, 30))
    assert len(flat_edges(block, corner_view())) == 12
    drawn = draw_edges([block], corner_view(), keep_hidden=True)
    assert sum(s.is_seen for s in drawn) == 9
    assert sum(not s.is_seen for s in drawn) == 3


@pytest.mark.parametrize("behind", [True, False])
@pytest.mark.parametrize("right", [True, False])
@pytest.mark.parametrize("above", [True, False])
def test_every_corner_shows_nine_edges_of_a_block(behind: bool, right: bool, above: bool) -> None:
    block = cube((0, 0, 0), (100, 60, 30))
    assert len(draw_edges([block], corner_view(behind, right, above))) == 9


def test_what_stands_behind_is_not_drawn_where_it_is_covered() -> None:
    near, far = cube((0, 0, 0), (10, 100, 100)), cube((20, 20, 20), (10, 60, 60))
    assert length(draw_edges([near, far], FRONT), 1) == 0.0
    # a block behind that is broader: of its 2 × 300 mm across 100 each are covered
    broad = cube((20, -100, 20), (10, 300, 60))
    drawn = draw_edges([near, broad], FRONT)
    # its four edges that are seen square on: two of 300 mm less 100, two of 60; each is drawn
    # once for its near end and hidden at its far end, which lies in the same place
    assert length(drawn, 1) == pytest.approx(2 * (300 - 100) + 2 * 60, abs=0.01)


def test_what_is_in_front_is_drawn_whole_whatever_is_behind_it() -> None:
    near, far = cube((0, 20, 20), (10, 60, 60)), cube((20, 0, 0), (10, 100, 100))
    alone = length(draw_edges([near], FRONT), 0)
    assert length(draw_edges([near, far], FRONT), 0) == pytest.approx(alone)


def test_a_round_hole_is_drawn_as_two_rims_and_not_as_facets() -> None:
    plate = cube((0, 0, 0), (100, 10, 100))
    bore = Manifold.cylinder(30, 20, -1, 32).rotate((-90, 0, 0)).translate((50, -10, 50))
    side = View((1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0))
    drawn = draw_edges([plate - bore], side)
    girth = 32 * 2 * 20 * 0.09801714032956060  # sin(π/32)
    assert length(drawn, 0) == pytest.approx(400 + girth, rel=1e-3)
