"""The proof: every shipped build is whole, at any measurements; every seeded mistake is found."""

from __future__ import annotations

import random

import pytest

from shopstep.model.plan import Level
from shopstep.planner.proving import prove_build, prove_design
from tests.floor import floor_request
from tests.random_sets import draw_set, is_named, resolve_set
from tests.seeded_mistakes import MISTAKES, Mistake, prove_mistaken
from tests.shelf_builds import BUILDS, shelf_design

SETS = 100
"""Sets for each build here; ``python -m tests.benchmarks.proofs`` takes 1,000 of them."""
SQUARE_INCH = 645.16


@pytest.mark.parametrize("mistake", MISTAKES, ids=lambda mistake: mistake.name)
def test_every_seeded_mistake_is_found_and_named(mistake: Mistake) -> None:
    found = [f for f in prove_mistaken(mistake).findings if f.rule == mistake.rule]
    said = [finding.sentence for finding in found]
    assert any(all(word.lower() in text.lower() for word in mistake.words) for text in said), said
    assert all(finding.remedy and finding.where.name for finding in found)


def test_there_are_at_least_50_seeded_mistakes_of_every_kind() -> None:
    assert len(MISTAKES) >= 50
    rules = {mistake.rule for mistake in MISTAKES}
    assert rules == {
        "shared_space", "joint_open", "hands_unlike", "no_way_in", "never_added", "added_twice",
        "comes_out", "crosses", "near_edge", "in_a_groove", "holds_too_little", "head_covered",
        "not_there", "fastener_count", "wrong_drill", "painted_closed", "in_later_cut",
        "glue_on_loose",
    }  # fmt: skip


@pytest.mark.parametrize("build", BUILDS)
def test_a_shipped_build_is_proved_whole(build: str) -> None:
    design = shelf_design(build)
    proof = prove_design(design)
    assert proof.findings == ()
    assert proof.pieces == sum(len(part.places) for part in design.parts)
    assert {contact.joint for contact in proof.contacts} == {j.name for j in design.joints}
    assert len(proof.ways) >= 4


@pytest.mark.parametrize("build", BUILDS)
def test_a_shipped_build_is_whole_at_random_measurements(build: str) -> None:
    dice = random.Random(9)
    proved = 0
    for _ in range(SETS):
        given = draw_set(build, dice)
        design = resolve_set(build, given)
        stops = [finding for finding in design.findings if finding.level is Level.STOP]
        if stops:
            assert all(is_named(finding) for finding in stops), (given, stops)
            continue
        assert prove_design(design, measured=False).findings == (), given
        proved += 1
    assert proved >= SETS // 10


def test_contact_areas_of_the_floor_are_those_worked_by_hand() -> None:
    """At the usual measurements; all in square inches."""
    proof = prove_design(shelf_design("screened-floor"))
    met = {contact.joint: contact.area_mm2 / SQUARE_INCH for contact in proof.contacts}
    clear, depth, sill = 14.75, 0.75, 1.25
    inner = 22 - 0.125 - 2 - 1.5 - 0.75
    assert met["runner_faces"] == pytest.approx(2 * inner * 0.75, rel=1e-6)
    assert met["stiffener_face"] == pytest.approx(clear * 0.75, rel=1e-6)
    # two ends of 3/4 × 1 1/4 in, less what the panel's groove takes, 1/4 × 1/2 in each, and less
    # what stands over the side rail's own groove: 1/2 in high, all 3/4 in of it but that 1/4 in
    own = depth * sill - 0.25 * 0.5 - (depth - 0.25) * 0.5
    assert met["back_rail_ends"] == pytest.approx(2 * own, rel=1e-6)
    assert met["pull_face"] == pytest.approx(3.0, rel=1e-6)


def test_contact_on_a_slope_counts_along_the_slope() -> None:
    """The bird box's roof falls 1 in 4 over sides 5 3/4 in deep and 3/4 in thick."""
    proof = prove_design(shelf_design("bird-box"))
    met = {contact.joint: contact.area_mm2 / SQUARE_INCH for contact in proof.contacts}
    along = 17**0.5 / 4
    assert met["roof_on_sides"] == pytest.approx(2 * 5.75 * along * 0.75, rel=1e-6)
    assert met["roof_on_back"] == pytest.approx(0.75 * along * 6.5, rel=1e-6)


def test_slopes_that_a_rounded_nanometre_tilts_still_meet() -> None:
    given = (
        ("bird", "owl"),
        ("bluebird_hole", "present"),
        ("board_thickness", "18.256250 mm"),
        ("board_width", "379.412500 mm"),
    )
    assert prove_design(resolve_set("bird-box", given)).findings == ()


def test_glue_and_paint_follow_from_the_areas() -> None:
    proof = prove_build(floor_request(units=1))
    glue, paint = proof.amounts
    area = sum(contact.area_mm2 for contact in proof.contacts)
    assert (glue.kind, glue.supply) == ("glue", "wood_glue")
    assert glue.area_mm2 == pytest.approx(area)
    # 200 g on each square metre, 1.1 g in each mL: common practice, no source
    assert glue.grams == pytest.approx(area / 1e6 * 200)
    assert glue.litres == pytest.approx(glue.grams / 1100)
    assert (paint.kind, paint.coats) == ("paint", 2)
    # seen from above and below at least the floor's own outline
    assert paint.area_mm2 > 2 * 21.875 * 16.25 * SQUARE_INCH
    assert paint.litres == pytest.approx(paint.area_mm2 / 1e6 * 2 / 9.8)
