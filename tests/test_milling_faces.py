"""Which end leads at the saw, held against turning the part about in all 24 ways."""

from __future__ import annotations

from itertools import permutations, product

import pytest

from shopstep.milling.faces import (
    end_faces,
    leading_end,
    opposite_face,
    say_face,
    side_name,
    true_face,
)
from shopstep.model.feature import Face
from shopstep.model.part import Axis, Hand, Part
from tests.sample_floor import PARTS, X, Y, Z, piece

Vector = tuple[int, int, int]
POINTS: dict[Face, Vector] = {
    Face.FRONT: (-1, 0, 0),
    Face.BACK: (1, 0, 0),
    Face.LEFT: (0, -1, 0),
    Face.RIGHT: (0, 1, 0),
    Face.BOTTOM: (0, 0, -1),
    Face.TOP: (0, 0, 1),
}


def turnings() -> list[tuple[Vector, Vector, Vector]]:
    """The 24 ways to turn a block: rows of rotation matrices with determinant +1."""
    found = []
    for order in permutations(range(3)):
        for signs in product((1, -1), repeat=3):
            rows = tuple(
                tuple(signs[r] if c == order[r] else 0 for c in range(3)) for r in range(3)
            )
            (a, b, c), (d, e, f), (g, h, i) = rows
            if a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g) == 1:
                found.append(((a, b, c), (d, e, f), (g, h, i)))
    return found


def turn(rows: tuple[Vector, Vector, Vector], v: Vector) -> Vector:
    """The vector after turning."""
    x, y, z = (sum(m * n for m, n in zip(row, v, strict=True)) for row in rows)
    return x, y, z


def end_that_leads(down: Face, fence: Face) -> Face:
    """Turn the block until both faces lie right, and look which face points away."""
    for rows in turnings():
        # at the saw: x to the right, y away from the person, z up
        if turn(rows, POINTS[down]) == (0, 0, -1) and turn(rows, POINTS[fence]) == (1, 0, 0):
            return next(f for f, v in POINTS.items() if turn(rows, v) == (0, 1, 0))
    raise AssertionError(f"{down} and {fence} cannot lie so")


def rail(hand: Hand) -> Part:
    """One of the side rails of the sample floor."""
    return next(part for part in PARTS if part.name == "side_rail" and part.hand is hand)


@pytest.mark.parametrize("hand", list(Hand))
@pytest.mark.parametrize("down", [Face.INSIDE, Face.OUTSIDE])
@pytest.mark.parametrize("fence", [Face.BOTTOM, Face.TOP])
def test_the_leading_end_is_the_one_that_points_away(hand: Hand, down: Face, fence: Face) -> None:
    assert leading_end(rail(hand), down, fence) is end_that_leads(true_face(down, hand), fence)


def test_a_left_and_a_right_rail_go_through_the_saw_from_opposite_ends() -> None:
    left = leading_end(rail(Hand.LEFT), Face.INSIDE, Face.BOTTOM)
    right = leading_end(rail(Hand.RIGHT), Face.INSIDE, Face.BOTTOM)
    assert (left, right) == (Face.BACK, Face.FRONT)


def test_inside_faces_of_a_pair_look_at_each_other() -> None:
    assert true_face(Face.INSIDE, Hand.LEFT) is Face.RIGHT
    assert true_face(Face.INSIDE, Hand.RIGHT) is Face.LEFT
    assert true_face(Face.OUTSIDE, Hand.LEFT) is Face.LEFT
    assert true_face(Face.TOP, Hand.LEFT) is Face.TOP


def test_people_hear_end_edge_and_face() -> None:
    left = rail(Hand.LEFT)
    assert say_face(left, Face.FRONT) == "front end"
    assert say_face(left, Face.TOP) == "top edge"
    assert say_face(left, Face.INSIDE) == "inside face"
    assert side_name(left, Face.RIGHT) is Face.INSIDE
    assert side_name(left, Face.TOP) is Face.TOP


@pytest.mark.parametrize(
    ("axis", "ends"),
    [(X, (Face.FRONT, Face.BACK)), (Y, (Face.LEFT, Face.RIGHT)), (Z, (Face.BOTTOM, Face.TOP))],
)
def test_the_first_end_faces_front_left_or_bottom(axis: Axis, ends: tuple[Face, Face]) -> None:
    others = [other for other in (X, Y, Z) if other is not axis]
    part = piece("post", ("20", "2", "3/4"), (axis, others[0], others[1]), ())
    assert end_faces(part) == ends
    assert opposite_face(ends[0]) is ends[1]
    assert opposite_face(Face.INSIDE) is Face.OUTSIDE
