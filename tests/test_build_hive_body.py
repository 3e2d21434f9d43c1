"""Hive body and honey super: published sizes, corners, rests, and the way to the last step."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction as F
from functools import cache

import pytest

from shopstep.design.resolve import Design, resolve_design
from shopstep.model.feature import Fingers, Rabbet, Recess
from shopstep.model.part import Part
from shopstep.model.plan import Level, Plan
from shopstep.planner import fit_builds, make_plan
from shopstep.safety.tools import TOOLS
from shopstep.units import Length
from tests.floor import BEGIN_S, SHOP, floor_request
from tests.schedule_checker import violations
from tests.shelf_builds import build_texts

IN = 25_400_000
CORNERS = ("rabbeted", "fingers")
DEPTHS = ("9 5/8 in", "6 5/8 in", "5 11/16 in")
"""Deep, medium and shallow (published, two of them from memory)."""


def design(name: str = "hive-body", **given: str) -> Design:
    """The box at the given measurements."""
    return resolve_design(*build_texts(name), tuple(given.items()))


@cache
def plan(name: str = "hive-body", corners: str = "rabbeted", units: int = 2) -> Plan:
    """A batch of boxes."""
    build, parents = build_texts(name)
    request = floor_request(("corners", corners))
    return make_plan(replace(request, build=build, parents=parents, units=units))


def part(found: Design, name: str) -> Part:
    """One part by name, the left one of two hands."""
    return next(p for p in found.parts if p.name == name)


def size(found: Design, name: str) -> F:
    """A named size in exact inches."""
    return F(dict(found.sizes)[name].nm, IN)


def test_the_usual_body_has_the_published_inside() -> None:
    """Inside 18-3/8 × 14-3/4, depth 9-5/8 (beekeeping press); rest 5/8 × 3/8 (from memory)."""
    found = design()
    assert size(found, "clear_length") == F(147, 8)
    assert size(found, "clear_width") == F(59, 4)
    assert part(found, "front_wall").width == Length.inches("77/8")
    assert (size(found, "rest_depth"), size(found, "rest_width")) == (F(5, 8), F(3, 8))


def test_ten_published_frames_leave_an_inch() -> None:
    """10 × 1-3/8 = 13-3/4 leaves 1 in in 14-3/4 (beekeeping press)."""
    assert size(design(), "side_room") == F(1)
    assert "all 10 frames" in plan().kinds[-1].text


def test_the_published_contradiction_is_told_and_not_corrected() -> None:
    """9-5/8 − 9-1/8 = 1/2 in between stacked frames, beyond bee space of 3/8 in."""
    found = design()
    (finding,) = found.findings
    assert (finding.level, finding.rule) == (Level.WARN, "fit:space_between_boxes")
    assert "9 5/8 less 9 1/8 in leaves 1/2 in" in finding.text
    assert part(found, "front_wall").width == Length.inches("77/8")


def test_a_medium_super_keeps_bee_space_between_boxes() -> None:
    """6-5/8 − 6-1/4 = 3/8 in (6-1/4 from memory)."""
    found = design("honey-super")
    assert found.findings == ()
    assert part(found, "front_wall").width == Length.inches("53/8")


@pytest.mark.parametrize("corners", CORNERS)
@pytest.mark.parametrize("depth", DEPTHS)
def test_any_depth_with_any_corner_can_be_made(corners: str, depth: str) -> None:
    found = design(corners=corners, body_depth=depth)
    assert not [f for f in found.findings if f.level is Level.STOP]
    assert all(p.width == part(found, "front_wall").width for p in found.parts)


def test_the_side_wall_is_as_deep_in_its_step_as_the_rest_is_wide() -> None:
    found = design(top_bar_length="19 1/16 in")
    front = part(found, "front_wall")
    steps = [f for f in front.features if isinstance(f, Rabbet)]
    assert len({f.depth for f in steps}) == 1
    assert part(found, "side_wall").length == Length.inches("147/8") + steps[0].depth.times(2)


def test_a_rest_between_fingers_stops_before_the_corner() -> None:
    found = design(corners="fingers")
    front = part(found, "front_wall")
    (rest,) = [f for f in front.features if isinstance(f, Rabbet)]
    assert rest.stop_start == rest.stop_end == front.thickness
    begins = {
        p.name: {f.starts_with for f in p.features if isinstance(f, Fingers)} for p in found.parts
    }
    assert begins["front_wall"] == begins["back_wall"] == {"finger"}
    assert begins["side_wall"] == {"slot"}


def test_holds_or_cleats_are_below_the_skirt_of_the_roof() -> None:
    routed, cleats = design(), design(holds="cleats")
    holds = [f for p in routed.parts for f in p.features if isinstance(f, Recess)]
    assert len(holds) == 4
    assert all(f.offset >= Length.inches("5/2") for f in holds)
    assert not any(isinstance(f, Recess) for p in cleats.parts for f in p.features)
    cleat = part(cleats, "cleat")
    top = cleat.places[0].bottom + cleat.places[0].height
    assert part(cleats, "front_wall").width - top >= Length.inches("5/2")


@pytest.mark.parametrize("corners", CORNERS)
def test_the_plan_can_be_followed(corners: str) -> None:
    made = plan(corners=corners)
    assert violations(made.steps, made.steps, made.waits, made.holds, SHOP, BEGIN_S) == []
    assert not [f for f in made.findings if f.level is Level.STOP]
    kinds = {kind.id for kind in made.kinds}
    assert ("glue/screw_corners" in kinds) is (corners == "rabbeted")
    assert ("glue/pin_corners" in kinds) is (corners == "fingers")


@pytest.mark.parametrize("corners", CORNERS)
def test_sentences_are_short_and_power_tools_have_a_card(corners: str) -> None:
    for kind in plan(corners=corners).kinds:
        assert "{" not in kind.text + kind.why
        assert len(kind.text) <= 260, (kind.id, len(kind.text))
        if kind.tool and TOOLS[kind.tool].is_power:
            assert any(caution.must_ack for caution in kind.cautions), kind.id


def test_no_corner_screw_meets_a_rest() -> None:
    found = design()
    kinds = {kind.id: kind for kind in found.outline.kinds}
    first, gap = size(found, "screw_top"), size(found, "screw_gap")
    count = kinds["glue/screw_corners"].fasteners[0].count
    assert first > size(found, "rest_depth")
    assert first + (count // 4 - 1) * gap <= F(77, 8) - F(1, 2)


def test_the_super_is_the_body_in_another_depth() -> None:
    body, made = plan(), plan("honey-super")
    assert {k.id for k in body.kinds} == {k.id for k in made.kinds}
    assert {p.name for p in body.parts} == {p.name for p in made.parts}
    sides = [next(p for p in found.parts if p.name == "side_wall").length for found in (body, made)]
    assert sides[0] == sides[1]


def test_the_whole_hive_goes_together_and_says_where_bee_space_is_missed() -> None:
    names = ("screened-floor", "hive-body", "honey-super", "inner-cover", "roof")
    texts = [build_texts(name) for name in names]
    requests = tuple(
        replace(floor_request(), build=build, parents=parents) for build, parents in texts
    )
    report = fit_builds(requests)
    assert not [f for f in report.findings if f.level is Level.STOP]
    missed = {(m.asking, m.other, m.size) for m in report.meetings if not m.ok}
    assert missed == {("hive-body", "honey-super", "height")}
