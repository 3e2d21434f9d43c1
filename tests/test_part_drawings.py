"""Drawings of parts: three views to scale, every measure of every feature, the title block."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree
from dataclasses import replace

import pytest

from shopstep.model.feature import Feature, Groove, Holes
from shopstep.model.part import Part
from shopstep.model.plan import Plan
from shopstep.paper.dimensions import Measuring, describe_feature, dimension_feature
from shopstep.paper.drawing import draw_part
from shopstep.planner import make_plan
from shopstep.solids.boxes import make_box
from shopstep.units import Length, format_length
from tests.floor import floor_plan, floor_request
from tests.shelf_builds import BUILDS, build_texts

SVG = "{http://www.w3.org/2000/svg}"


def part_of(plan: Plan, name: str, hand: str | None = None) -> Part:
    """A part of a plan."""
    return next(p for p in plan.parts if p.name == name and (p.hand or None) == hand)


def words(svg: str) -> list[str]:
    """All texts of a drawing, in their order."""
    return [each.text or "" for each in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def test_the_sheet_of_the_left_rail_says_all_that_is_needed_to_cut_it() -> None:
    plan = floor_plan()
    said = words(draw_part(plan, part_of(plan, "side_rail", "left")))
    text = "\n".join(said)
    # whole sizes, and each measure from its reference face
    for measure in ("21 7/8", "3 25/32", "3/4", "1/2", "1/4"):
        assert measure in said, measure
    assert said.count("1/2") == 2  # up to the groove, and its width
    assert said.count("1/4") == 2  # its depth, and its stop
    assert "inside (right) face" in text
    assert "Groove in the inside face: 1/2 in from bottom, 1/2 in wide, 1/4 in deep" in text
    assert "stopped 1/4 in before the front end" in text
    assert "Bevel: 3/4 in back on top, 3/4 in down on front (45° against top)" in text
    assert "never turn one into the other" in text
    assert "21 7/8 in × 3 25/32 in × 3/4 in" in said
    assert "scale 1:4" in text
    assert "third-angle projection" in text
    assert "left as you stand behind the hive" in text


def test_the_right_rail_has_its_own_sheet_with_the_other_face() -> None:
    plan = floor_plan()
    said = "\n".join(words(draw_part(plan, part_of(plan, "side_rail", "right"))))
    assert "inside (left) face" in said
    assert "The left one is its mirror image" in said


def _lengths(feature: Feature) -> dict[str, Length]:
    """All lengths of a feature that are more than nothing, by name."""
    names = feature.__dataclass_fields__
    found = {name: getattr(feature, name) for name in names}
    return {name: value for name, value in found.items() if isinstance(value, Length) and value.nm}


@pytest.mark.parametrize("build", BUILDS)
def test_every_length_of_every_feature_of_the_shelf_is_on_its_sheet(build: str) -> None:
    text, parents = build_texts(build)
    plan = make_plan(replace(floor_request(units=1), build=text, parents=parents))
    for part in plan.parts:
        said = "\n".join(words(draw_part(plan, part)))
        for size in (part.length, part.width, part.thickness):
            assert format_length(size, plan.display).removesuffix(f" {plan.display}") in said
        for feature in part.features:
            for name, value in _lengths(feature).items():
                if name == "pitch" and isinstance(feature, Holes) and feature.count == 1:
                    continue
                shown = format_length(value, plan.display).removesuffix(f" {plan.display}")
                assert shown in said, (part.label, feature.name, name, shown)


def test_views_are_drawn_to_the_scale_that_they_say() -> None:
    plan = floor_plan()
    panel = part_of(plan, "panel")
    svg = draw_part(plan, panel)
    scale = re.search(r"top face, \w+ up, scale 1:(\d+)", svg)
    assert scale
    outline = max(re.findall(r'd="([^"]*)" fill="none" stroke="#000" stroke-width="0.6"', svg)[0:1])
    xs = [float(x) for x in re.findall(r"[ML]([\d.]+) ", outline)]
    assert xs
    wanted = panel.length.in_mm / int(scale.group(1))
    assert max(xs) - min(xs) == pytest.approx(wanted, abs=0.05)


def test_a_drawing_is_the_same_to_the_byte_each_time() -> None:
    plan = floor_plan()
    for part in plan.parts[:6]:
        assert draw_part(plan, part) == draw_part(plan, part)


def test_dimensions_run_from_the_reference_face() -> None:
    plan = floor_plan()
    rail = part_of(plan, "side_rail", "left")
    groove = next(f for f in rail.features if isinstance(f, Groove))
    box = make_box(rail, rail.places[0])
    up_to, width, depth, stop = dimension_feature(Measuring(box, "in"), groove)
    assert (up_to.low, up_to.high) == (box.spans[2][0], box.spans[2][0] + groove.offset)
    assert (width.low, width.high) == (up_to.high, up_to.high + groove.width)
    # the inside of a left rail is its right side
    assert (depth.low, depth.high) == (box.spans[1][1] - groove.depth, box.spans[1][1])
    assert (stop.low, stop.high) == (box.spans[0][0], box.spans[0][0] + groove.stop_start)
    both = replace(groove, stop_end=groove.stop_start)
    said = describe_feature(both, "in", rail.runs[0])
    assert "stopped 1/4 in before the front end and 1/4 in before the back end" in said
