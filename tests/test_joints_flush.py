"""Laps and bevelled corners from the build file to the machine."""

from __future__ import annotations

import math
from fractions import Fraction as F

import pytest

from shopstep.design.resolve import Design, resolve_design
from shopstep.milling import plan_milling
from shopstep.model.feature import Bevel, Dado, Rabbet
from shopstep.model.plan import BuildFileError, BuildText, Level
from shopstep.solids import find_overlaps
from shopstep.units import Length
from tests.sample_floor import KERF

IN = 25_400_000
HEAD = """schema: 1
id: frame
revision: 1
title: Frame
summary: Two sticks.
measurements:
  thick: {prompt: Thickness., usual: 3/4 in, least: 1/2 in, most: 1 in}
materials:
  board:
    {form: board, title: pine, thickness: thick, sold_width: 5 1/2 in, sold_length: 8 ft,
    sold_as: 1×6}
glues:
  glue: {title: glue, row: pva_crosslinking}
steps:
  fit/try: {title: Try, text: Try it., minutes: 1, parts: [rail, stile]}
"""
CROSS = """parts:
  rail:
    title: rail
    material: board
    length: 20 in
    width: 2 in
    runs: [left-right, front-back, bottom-top]
    at: {front: 9 in, left: 0 in, bottom: 0 in}
  stile:
    title: stile
    material: board
    length: 20 in
    width: 3 in
    runs: [front-back, left-right, bottom-top]
    at: {front: 0 in, left: LEFT, bottom: 0 in}
joints:
  crossing:
    kind: lap
    member: rail
    into: stile
    member_cut: {face: top, from: left, offset: OFFSET}
    into_cut: {face: bottom, from: front, offset: 9 in}
    depth: DEPTH
    glue: glue
"""
CORNER = """parts:
  rail:
    title: rail
    material: board
    length: 12 in
    width: 4 in
    runs: [left-right, bottom-top, front-back]
    at: {front: 0 in, left: 0 in, bottom: 0 in}
  stile:
    title: stile
    material: board
    length: 20 in
    width: 4 in
    runs: [front-back, bottom-top, left-right]
    at: {front: 0 in, left: 0 in, bottom: 0 in}
joints:
  corner:
    kind: bevel
    member: rail
    into: stile
    member_face: back
    member_edge: left
    into_face: right
    into_edge: front
    angle: ANGLE
    glue: glue
"""


def lap(left: str = "4 in", offset: str = "4 in", depth: str = "rail.thickness/2") -> Design:
    """A rail across a stile."""
    text = CROSS.replace("LEFT", left).replace("OFFSET", offset).replace("DEPTH", depth)
    return resolve_design(BuildText("frame.yaml", HEAD + text), (), ())


def mitre(angle: str = "90 deg") -> Design:
    """Two boards that meet in a corner."""
    text = HEAD + CORNER.replace("ANGLE", angle)
    return resolve_design(BuildText("frame.yaml", text), (), ())


def problems(found: Design) -> list[str]:
    """What stands in the way of making it."""
    milling = plan_milling(found.parts, found.materials, 1, KERF)
    overlaps = find_overlaps(found.parts, found.joints)
    every = (*found.findings, *overlaps, *milling.findings)
    return [finding.rule for finding in every if finding.level is Level.STOP]


def test_a_cross_lap_cuts_a_channel_in_both_and_they_come_out_flush() -> None:
    found = lap()
    rail, stile = found.parts
    (mine,), (other,) = rail.features, stile.features
    assert isinstance(mine, Dado)
    assert isinstance(other, Dado)
    assert mine.width == stile.width
    assert other.width == rail.width
    assert mine.depth + other.depth == rail.thickness
    assert problems(found) == []


def test_a_lap_at_the_very_end_is_a_step() -> None:
    found = lap("0 in", "0 in")
    rail, stile = found.parts
    assert isinstance(rail.features[0], Rabbet)
    assert isinstance(stile.features[0], Dado)
    assert problems(found) == []


@pytest.mark.parametrize("depth", ["1/4 in", "5/8 in"])
def test_what_one_keeps_the_other_loses(depth: str) -> None:
    found = lap(depth=depth)
    rail, stile = found.parts
    (mine,), (other,) = rail.features, stile.features
    assert isinstance(mine, Dado)
    assert isinstance(other, Dado)
    assert other.depth == rail.thickness - mine.depth
    assert problems(found) == []


def test_a_lap_that_lies_beside_its_channel_is_found() -> None:
    assert "overlap" in problems(lap("5 in", "4 in"))


@pytest.mark.parametrize("angle", [90, 120, 135])
def test_a_bevelled_corner_is_halved_between_its_parts(angle: int) -> None:
    """back = thickness / tan(angle / 2), by the definition of the tangent."""
    found = mitre(f"{angle} deg")
    for part in found.parts:
        (bevel,) = part.features
        assert isinstance(bevel, Bevel)
        wanted = 0.75 / math.tan(math.radians(angle / 2))
        assert float(F(bevel.back.nm, IN)) == pytest.approx(wanted, abs=1e-7)
        assert bevel.drop == part.thickness
        assert bevel.angle.microdeg / 1e6 == pytest.approx(angle / 2, abs=1e-4)


def test_a_right_corner_is_cut_at_45_degrees_and_shares_no_wood() -> None:
    found = mitre()
    assert problems(found) == []
    kinds = {op.kind for op in plan_milling(found.parts, found.materials, 1, KERF).operations}
    assert "mitre" in kinds


def test_boards_that_cross_beyond_the_corner_are_found() -> None:
    text = HEAD + CORNER.replace("ANGLE", "90 deg").replace(
        "at: {front: 0 in, left: 0 in, bottom: 0 in}",
        "at: {front: 1/4 in, left: 0 in, bottom: 0 in}",
        1,
    )
    found = resolve_design(BuildText("frame.yaml", text), (), ())
    assert "overlap" in problems(found)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("depth: DEPTH", "depth: 3/4 in", "more than 0"),
        ("depth: DEPTH", "depth: 1 in", "more than 0"),
        ("face: top", "face: upper", "face"),
        ("member: rail", "member: rial", "did you mean 'rail'"),
    ],
)
def test_a_lap_that_makes_no_sense_names_its_line(old: str, new: str, words: str) -> None:
    text = HEAD + CROSS.replace(old, new)
    for blank, value in (("LEFT", "4 in"), ("OFFSET", "4 in"), ("DEPTH", "3/8 in")):
        text = text.replace(blank, value)
    with pytest.raises(BuildFileError) as caught:
        resolve_design(BuildText("frame.yaml", text), (), ())
    assert words in caught.value.text
    assert caught.value.where.line > 0


def test_the_thickness_that_was_measured_goes_into_the_lap() -> None:
    text = CROSS.replace("LEFT", "4 in").replace("OFFSET", "4 in").replace("DEPTH", "thick/2")
    found = resolve_design(BuildText("f.yaml", HEAD + text), (), (("thick", "13/16 in"),))
    (mine,) = found.parts[0].features
    assert isinstance(mine, Dado)
    assert mine.depth == Length.inches("13/32")
