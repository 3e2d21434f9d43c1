"""The way in: swept soundly, whatever is in it, and told by the side that it comes from."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.model.feature import Face, Groove
from shopstep.model.part import Part
from shopstep.solids.bodies import Piece, make_pieces
from shopstep.solids.ways import WAYS, find_way, sweep
from shopstep.units import ZERO
from tests.sample_floor import X, Y, Z, bevel, inch, piece

MM = 25.4


def rail(wall: str, name: str = "rail", left: str = "0") -> Part:
    """A rail with a groove in its right face and a wall of some thickness above and below it."""
    groove = Groove("g", Face.RIGHT, Face.BOTTOM, inch(wall), inch("1/2"), inch("1/4"), ZERO, ZERO)
    corner = (("0", left, "0"),)
    return replace(piece(name, ("20", "4", "3/4"), (X, Z, Y), corner), features=(groove,))


def solids(*parts: Part) -> tuple[Piece, ...]:
    """Pieces of parts with one place each."""
    return make_pieces(parts)


def panel(bottom: str) -> Part:
    """A panel that stands 1/4 in deep in the groove of a rail at its left."""
    return piece("panel", ("20", "10", "1/2"), (X, Y, Z), (("0", "1/2", bottom),))


@pytest.mark.parametrize("wall", ["1/2", "1/16", "1/64", "1/1000"])
def test_the_thinnest_lip_is_never_jumped_over(wall: str) -> None:
    held, moved = solids(rail(wall), panel(wall))
    for face in (Face.TOP, Face.BOTTOM, Face.LEFT):
        blocked = find_way((moved,), (held,), face).blocked_by
        assert blocked is held, face
    for face in (Face.RIGHT, Face.FRONT, Face.BACK):
        assert find_way((moved,), (held,), face).blocked_by is None, face


def test_a_thin_thing_far_off_in_the_way_is_found() -> None:
    held = piece("leaf", ("20", "10", "1/1000"), (X, Y, Z), (("0", "0", "60"),))
    moved = piece("block", ("4", "4", "4"), (X, Y, Z), (("1", "1", "0"),))
    block, leaf = solids(moved, held)
    assert find_way((block,), (leaf,), Face.TOP).blocked_by is leaf
    assert find_way((block,), (leaf,), Face.RIGHT).blocked_by is None


def test_a_panel_between_two_grooved_rails_has_no_way_in_but_along_them() -> None:
    right = rail("1/2", "other", "10 1/4")
    left_groove = replace(right.features[0], face=Face.LEFT)  # type: ignore[arg-type]
    left, moved, far = solids(rail("1/2"), panel("1/2"), replace(right, features=(left_groove,)))
    assert find_way((moved,), (left, far)).comes_from in (Face.FRONT, Face.BACK)
    for face in (Face.TOP, Face.BOTTOM, Face.LEFT, Face.RIGHT):
        assert find_way((moved,), (left, far), face).blocked_by is not None


def test_what_comes_is_seated_against_what_holds_it() -> None:
    held, moved = solids(rail("1/2"), panel("1/2"))
    way = find_way((moved,), (held,))
    assert (way.comes_from, way.direction) == (Face.RIGHT, WAYS[Face.RIGHT])


def test_sliding_flush_along_a_face_is_free() -> None:
    floor = piece("floor", ("20", "20", "1"), (X, Y, Z), (("0", "0", "0"),))
    moved = piece("block", ("4", "4", "4"), (X, Y, Z), (("8", "8", "1"),))
    base, block = solids(floor, moved)
    assert find_way((block,), (base,), Face.BACK).blocked_by is None
    assert find_way((block,), (base,), Face.BOTTOM).blocked_by is base


def test_a_sweep_fills_what_the_faces_ahead_pass() -> None:
    (grooved,) = solids(rail("1/2"))
    # to the right: the groove's floor fills the groove on the way; at the far end it is open again
    swept = sweep(grooved.body, 1, 10 * MM)
    whole = swept[0]
    for solid in swept[1:]:
        whole = whole + solid
    assert whole.volume() / MM**3 == pytest.approx(20 * 4 * 10.75 - 20 * 0.5 * 0.25, rel=1e-9)
    sloped = piece("s", ("20", "4", "3/4"), (X, Z, Y), (("0", "0", "0"),),
                   bevel("b", Face.TOP, Face.FRONT, "3", "1"))  # fmt: skip
    (ramp,) = solids(sloped)
    swept = sweep(ramp.body, 2, 2 * MM)
    whole = swept[0]
    for solid in swept[1:]:
        whole = whole + solid
    assert whole.volume() / MM**3 == pytest.approx(58.875 + 20 * 0.75 * 2, rel=1e-9)
