"""Fasteners as axes in space: where they stand, and what is found of them, worked by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.conditions.fasteners import (
    clearance_for,
    pilot_for,
    pilot_range,
    read_size,
)
from shopstep.conditions.outdoors import wood_of
from shopstep.design.resolve import Design, resolve_design
from shopstep.model.plan import BuildFileError, BuildText, Level
from shopstep.planner.handing import sizes_of
from shopstep.planner.proving import prove_design
from shopstep.present.proof_text import proof_document, proof_lines
from shopstep.solids.axes import Axis, axes_of, stands_of
from shopstep.units import Length
from tests.floor import floor_text
from tests.shelf_builds import BUILDS, build_texts, shelf_design

IN = 25.4


def axes(design: Design, step: str) -> list[Axis]:
    kinds = [kind for kind in design.outline.kinds if kind.id == step]
    return list(axes_of(kinds, stands_of(design.parts), sizes_of(design)))


def inches(point: tuple[float, float, float]) -> tuple[float, ...]:
    return tuple(round(value / IN, 4) for value in point)


def floor_with(*edits: tuple[str, str]) -> Design:
    text = floor_text()
    for old, new in edits:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return resolve_design(BuildText("floor", text), (), ())


def test_tacks_of_the_floor_stand_where_arithmetic_puts_them() -> None:
    """Rails 3/4 in thick, 16 1/4 in wide over both; the heads lie on their outer faces."""
    found = axes(shelf_design("screened-floor"), "glue/tack_frame")
    assert len(found) == 8
    # rear head: from 21 1/8 to 21 7/8 in, from 2 1/4 in up to the rail's top at 3 25/32 + …
    head = [axis for axis in found if axis.into and axis.into[0] == "rear_head"]
    assert [axis.way for axis in head] == [(0.0, 1.0, 0.0), (0.0, -1.0, 0.0)]
    assert [inches(axis.head)[:2] for axis in head] == [(21.5, 0.0), (21.5, 16.25)]
    assert [inches(axis.tip)[1] for axis in head] == [1.25, 15.0]
    # back rail: above the groove, 1/2 + 1/2 in up, in a sill of 1 1/4 in
    back = next(axis for axis in found if axis.into and axis.into[0] == "back_rail")
    assert inches(back.head) == (21.5, 0.0, 1.125)


def test_a_staple_has_two_legs_and_one_number() -> None:
    found = axes(shelf_design("screened-floor"), "door/cloth")
    assert len(found) == 20
    assert len({axis.number for axis in found}) == 10
    one, other = found[:2]
    assert abs(one.head[1] - other.head[1]) == pytest.approx(IN / 4)
    assert one.head[0] == other.head[0]


def test_what_goes_straight_down_through_a_leaning_roof_is_plumb() -> None:
    found = axes(shelf_design("bird-box"), "roof/tack")
    assert {axis.way for axis in found} == {(0.0, 0.0, -1.0)}
    square = axes_of(
        [
            replace(kind, fasteners=tuple(
                replace(f, rows=tuple(replace(row, straight="") for row in f.rows))
                for f in kind.fasteners))
            for kind in shelf_design("bird-box").outline.kinds
            if kind.id == "roof/tack"
        ],
        stands_of(shelf_design("bird-box").parts),
        sizes_of(shelf_design("bird-box")),
    )  # fmt: skip
    # the roof falls 1 in 4, so what is square to it leans back by as much
    for axis in square:
        assert axis.way[0] / -axis.way[2] == pytest.approx(0.25)


@pytest.mark.parametrize("build", BUILDS)
def test_every_fastener_of_a_shelf_build_that_can_be_placed_is(build: str) -> None:
    proof = prove_design(shelf_design(build), measured=False)
    loose = {one.step for one in proof.driven if not one.placed}
    # sheet metal lies flat in the solids, so what holds its folded edges has no place there
    assert loose == ({"metal/screw"} if build == "roof" else set())
    assert not any(one.is_guessed for one in proof.driven)
    assert all(one.placed == one.count for one in proof.driven if one.placed)


def test_least_holds_are_those_worked_by_hand() -> None:
    held = {one.step: one.hold_mm / IN
            for one in prove_design(shelf_design("screened-floor")).driven}  # fmt: skip
    assert held["glue/tack_frame"] == pytest.approx(1.25 - 0.75, abs=1e-4)
    assert held["screw/frame"] == pytest.approx(1.75 - 0.75, abs=1e-4)
    # strip 1/4 in and cloth 1/32 in hold nothing
    assert held["screen/corner_screws"] == pytest.approx(0.625 - 0.25 - 1 / 32, abs=1e-4)


def test_without_rows_they_are_spread_over_the_joints_and_nothing_is_refused() -> None:
    """The floor's frame: 14 screws cannot be shared out alike over 8 meetings; 16 can."""
    rows = floor_text().partition('        title: "#8 × 1 3/4 in exterior screw"\n')[2]
    rows = "        rows:\n" + rows.partition("        rows:\n")[2].partition("    why")[0]
    rows = rows.partition("\n\n")[0] + "\n"
    proof = prove_design(floor_with((rows, ""), ("        count: 14\n", "        count: 16\n")))
    driven = next(one for one in proof.driven if one.step == "screw/frame")
    assert (driven.placed, driven.is_guessed) == (16, True)
    assert all(finding.level is not Level.STOP for finding in proof.findings)
    assert "their places are a guess" in "\n".join(proof_lines(proof))
    fourteen = prove_design(floor_with((rows, "")))
    assert next(one.placed for one in fourteen.driven if one.step == "screw/frame") == 0


def test_the_proof_says_how_fasteners_stand() -> None:
    proof = prove_design(shelf_design("screened-floor"))
    said = "\n".join(proof_lines(proof))
    assert "glue/tack_frame: 8 × 18-gauge × 1 1/4 in galvanised brad, 1/2 in" in said
    assert "fasteners stay inside." in said
    document = proof_document(proof)
    entries = document["fasteners"]
    assert isinstance(entries, list)
    assert entries[0]["step"] == "glue/tack_frame"
    assert entries[0]["placed"] == 8


@pytest.mark.parametrize(
    ("gauge", "soft", "hard", "body"),
    [
        # a shop chart, VERIFIED second hand: #6 5/64 and 9/64, #8 3/32 and 11/64, #10 7/64
        (6, "5/64", "7/64", "9/64"),
        (8, "3/32", "1/8", "11/64"),
        (10, "7/64", "9/64", "13/64"),
    ],
)
def test_drills_follow_from_the_screw_and_the_wood(
    gauge: int, soft: str, hard: str, body: str
) -> None:
    pine = wood_of("3/4 in eastern white pine").gravity
    assert pilot_for(gauge, pine) == Length.inches(soft)
    # 90 % of the root above 0.6: #8 0.131 × 0.9 = 0.118 in, nearest 1/64 is 1/8 in
    assert pilot_for(gauge, 0.65) == Length.inches(hard)
    assert clearance_for(gauge) == Length.inches(body)
    least, most = pilot_range(gauge)
    assert least < pilot_for(gauge, pine).in_mm < most


def test_metric_shops_have_metric_drills() -> None:
    assert pilot_for(8, 0.35, "mm") == Length.mm("2.5")
    assert clearance_for(8, "mm") == Length.mm("4.5")


@pytest.mark.parametrize(
    ("kind", "title", "length_in", "diameter_in", "crown_in"),
    [
        # ASME B18.6.1: #8 is 0.164 in; steel wire gauge: 18 is 0.0475 in
        ("screw", "#8 × 1 3/4 in exterior screw", 1.75, 0.164, 0.0),
        ("screw", "#8 × 40 mm screw", 40 / IN, 0.164, 0.0),
        ("brad", "18-gauge × 5/8 in galvanised brad", 0.625, 0.0475, 0.0),
        ("staple", "1/4 in crown × 3/8 in stainless staple", 0.375, 0.035, 0.25),
    ],
)
def test_titles_say_sizes(
    kind: str, title: str, length_in: float, diameter_in: float, crown_in: float
) -> None:
    size = read_size(kind, title)
    assert size is not None
    assert size.length_mm / IN == pytest.approx(length_in)
    assert size.diameter_mm / IN == pytest.approx(diameter_in)
    assert size.crown_mm / IN == pytest.approx(crown_in)


@pytest.mark.parametrize("title", ["exterior screw", "#7 × 1 in screw", "long brad"])
def test_a_title_without_a_known_size_has_none(title: str) -> None:
    assert read_size("screw", title) is None


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("{through: side_rail, into: rear_head}", "{through: side_rial, into: rear_head}",
         "did you mean 'side_rail'"),
        ("{through: side_rail, into: rear_head}", "{through: side_rail}",
         "give the row 'into', or the 'face'"),
        ("{through: side_rail, into: rear_head}",
         "{through: side_rail, into: rear_head, tilt: 10 deg}", "both 'tilt' and 'towards'"),
        ("{through: side_rail, into: rear_head}",
         "{through: side_rail, into: rear_head, tilt: 70 deg, towards: top}", "from 0° to 60°"),
    ],
)  # fmt: skip
def test_a_row_that_cannot_be_read_is_one_sentence(old: str, new: str, said: str) -> None:
    with pytest.raises(BuildFileError) as problem:
        floor_with((old, new))
    assert said in problem.value.text
    assert problem.value.where.line > 0


def test_a_tilted_brad_stays_inside_where_a_straight_one_does_not() -> None:
    """1 1/2 in through 3/4 in into 3/4 in: straight it comes out, at 45° it goes 1 1/16 in deep."""
    row = "          - {through: rear_bearer, into: rear_head, at: {left:"
    tilted = row.replace("rear_head, at", "rear_head, tilt: 45 deg, towards: left, at")
    long = ('"if board_thickness > 13/16 in then 1 1/2 in else 1 1/4 in"', "1 1/2 in")
    fit = ("    value: 2*board_thickness - stick_screw\n", "    value: 1/8 in\n")
    straight = prove_design(floor_with(long, fit), measured=False)
    out = {f.where.line for f in straight.findings if f.rule == "comes_out"}
    leaned = prove_design(floor_with(long, fit, (row, tilted)), measured=False)
    still = {f.where.line for f in leaned.findings if f.rule == "comes_out"}
    assert len(out) == 2
    assert len(still) == 1


def test_a_merged_batch_keeps_where_fasteners_go() -> None:
    from shopstep.design.merging import Share, merge_designs

    floor, roof = shelf_design("screened-floor"), shelf_design("roof")
    merged = merge_designs((Share("", floor, (1,)), Share("roof", roof, (2,))))
    kind = next(kind for kind in merged.outline.kinds if kind.id == "deck/screw@roof")
    assert {row.through for row in kind.fasteners[0].rows} == {"deck@roof"}
    assert build_texts("roof")[0].name
