"""Boxes of parts: overall size, and which pieces stand in the same place."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopstep.model.feature import Face, Groove
from shopstep.model.joint import Joint
from shopstep.model.part import Part
from shopstep.model.plan import Level
from shopstep.solids import find_overlaps, overall_size
from shopstep.units import ZERO, Length
from tests.sample_floor import JOINTS, PARTS, X, Y, Z, inch, piece

Corner = tuple[str, str, str]


def block(name: str, corner: Corner, size: Corner = ("4", "4", "4")) -> Part:
    """A block with its length front to back."""
    return piece(name, size, (X, Y, Z), (corner,))


def grooved(name: str, corner: Corner, face: Face) -> Part:
    """A block with a groove in one face."""
    groove = Groove("slot", face, Face.BOTTOM, inch("1"), inch("1"), inch("3/8"), ZERO, ZERO)
    return piece(name, ("4", "4", "4"), (X, Y, Z), (corner,), groove)


def joint(member: str, into: str, kind: str = "groove", depth: str = "3/8") -> Joint:
    """A joint of two blocks."""
    return Joint(
        "slot", kind, member, into, None, inch(depth), ZERO, ZERO, inch("4"), inch("4"), 1, 1
    )


def test_the_sample_floor_has_its_overall_size_and_no_overlap() -> None:
    rails = tuple(part for part in PARTS if part.name.endswith("rail"))
    assert overall_size(rails) == (inch("22 1/2"), inch("16 1/4"), inch("3 1/2"))
    assert find_overlaps(PARTS, JOINTS) == ()


def test_the_overall_size_counts_what_stands_out_at_the_front() -> None:
    assert overall_size((block("a", ("-2", "0", "0")), block("b", ("10", "1", "1")))) == (
        inch("16"),
        inch("5"),
        inch("5"),
    )
    assert overall_size(()) == (ZERO, ZERO, ZERO)


def test_pieces_that_only_touch_do_not_overlap() -> None:
    parts = (block("a", ("0", "0", "0")), block("b", ("4", "0", "0")), block("c", ("4", "4", "4")))
    assert find_overlaps(parts, ()) == ()


def test_an_overlap_names_both_parts_where_it_is_and_the_shortest_way_out() -> None:
    parts = (block("rail", ("0", "0", "0")), block("head", ("3", "1", "3 1/2")))
    found = find_overlaps(parts, ())
    assert [(f.level, f.rule, f.where.name) for f in found] == [(Level.STOP, "overlap", "head")]
    assert found[0].text == (
        "rail and head stand in the same place: 1 in front to back, from 3 in, "
        "3 in left to right, from 1 in, 1/2 in bottom to top, from 3 1/2 in"
    )
    assert found[0].remedy.startswith("move head 1/2 in to the top")
    assert "12.7 mm to the top" in find_overlaps(parts, (), "mm")[0].remedy


def test_a_piece_wholly_inside_another_is_moved_all_the_way_out() -> None:
    parts = (block("rail", ("0", "0", "0")), block("plug", ("1", "1", "1"), ("1", "1", "1")))
    assert find_overlaps(parts, ())[0].remedy.startswith("move plug 2 in to the front")


@pytest.mark.parametrize(
    ("bottom", "out", "word"),
    [
        ("1", "3 5/8", ""),
        ("1 1/8", "3 5/8", "misses by 1/8 in at the top"),
        ("7/8", "3 5/8", "misses by 1/8 in at the bottom"),
        ("1", "3 1/2", "misses by 1/8 in at the left"),
    ],
)
def test_a_groove_must_be_where_the_panel_is_and_deep_enough(
    bottom: str, out: str, word: str
) -> None:
    rail = grooved("rail", ("0", "0", "0"), Face.RIGHT)
    panel = block("panel", ("0", out, bottom), ("4", "4", "1"))
    found = find_overlaps((rail, panel), (joint("panel", "rail"),))
    assert [word in f.text for f in found] == ([True] if word else [])


def test_a_groove_in_another_direction_does_not_help() -> None:
    rail = grooved("rail", ("0", "0", "0"), Face.FRONT)
    panel = block("panel", ("0", "3 5/8", "1"), ("4", "4", "1"))
    found = find_overlaps((rail, panel), (joint("panel", "rail"),))
    assert "their groove misses by 3 5/8 in at the back" in found[0].text
    assert "width and depth of the groove" in found[0].remedy


def test_two_pieces_of_one_part_must_not_stand_in_the_same_place() -> None:
    twice = piece("strip", ("4", "1", "1"), (X, Y, Z), (("0", "0", "0"), ("2", "0", "0")))
    assert find_overlaps((twice,), ())[0].text.startswith("strip and strip stand")


def test_two_parts_are_named_once_however_often_they_overlap() -> None:
    strips = piece("strip", ("9", "1", "1"), (X, Y, Z), (("0", "0", "0"), ("0", "2", "0")))
    assert len(find_overlaps((strips, block("block", ("1", "0", "0"))), ())) == 1


spans = st.tuples(st.integers(-5, 5), st.integers(1, 5))


@given(st.lists(st.tuples(spans, spans, spans), min_size=2, max_size=4))
def test_overlaps_are_those_of_whole_cubes_that_both_fill(
    boxes: list[tuple[tuple[int, int], tuple[int, int], tuple[int, int]]],
) -> None:
    """Count unit cubes instead of comparing ends."""
    parts, cubes = [], []
    for number, ((x, a), (y, b), (z, c)) in enumerate(boxes):
        part = piece(f"p{number}", (str(a), str(b), str(c)), (X, Y, Z), (("0", "0", "0"),))
        place = replace(
            part.places[0], front=Length.inches(x), left=Length.inches(y), bottom=Length.inches(z)
        )
        parts.append(replace(part, places=(place,)))
        cubes.append(
            {(i, j, k) for i in range(x, x + a) for j in range(y, y + b) for k in range(z, z + c)}
        )
    pairs = {
        f"p{m} and p{n} "
        for m in range(len(cubes))
        for n in range(m + 1, len(cubes))
        if cubes[m] & cubes[n]
    }
    found = find_overlaps(tuple(parts), ())
    assert {f.text.split("stand")[0] for f in found} == pairs
    every = set().union(*cubes)
    sizes = tuple(
        Length.inches(max(c[axis] for c in every) + 1 - min(c[axis] for c in every))
        for axis in range(3)
    )
    assert overall_size(tuple(parts)) == sizes
