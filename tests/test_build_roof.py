"""The roof at many sizes, against arithmetic that does not use the build file."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction as F
from functools import cache
from math import ceil
from pathlib import Path

import pytest

from shopstep.design.resolve import Design, resolve_design
from shopstep.model.feature import Bevel, Holes
from shopstep.model.part import Hand, Part
from shopstep.model.plan import BuildText, Level, Plan
from shopstep.planner import fit_builds, make_plan
from shopstep.safety.tools import TOOLS
from shopstep.units import Length
from tests.floor import BEGIN_S, FILE, SHOP, floor_request
from tests.schedule_checker import violations

IN = 25_400_000
VENTS = ("open", "none")


@cache
def build(name: str = "roof") -> BuildText:
    """The text of a shipped build."""
    path = Path(FILE).with_name(f"{name}.yaml")
    return BuildText(path.name, path.read_text(encoding="utf-8"))


def design(**given_sizes: str) -> Design:
    """The roof at the given measurements and choices."""
    return resolve_design(build(), (), tuple(given_sizes.items()))


@cache
def plan(vents: str, units: int = 2) -> Plan:
    """The roof's plan."""
    request = floor_request(("vents", vents), units=units)
    return make_plan(replace(request, build=build()))


def part(found: Design, name: str, hand: Hand | None = None) -> Part:
    """One part by name and hand."""
    return next(p for p in found.parts if p.name == name and p.hand is hand)


def inches(length: Length) -> F:
    """A length as exact inches."""
    return F(length.nm, IN)


def test_the_usual_roof_goes_over_the_published_ten_frame_box_with_a_quarter_all_round() -> None:
    """Box outside 19-7/8 × 16-1/4, and 1/4 in of room on each side (beekeeping press)."""
    found = design()
    ends, sides = part(found, "skirt_end"), part(found, "skirt_side")
    assert inches(ends.length) == F(65, 4) + F(1, 2)
    inside = ends.places[1].front - ends.places[0].front - ends.thickness
    assert inches(inside) == F(159, 8) + F(1, 2)
    assert inches(sides.length) == inches(inside) + F(3, 2)


def test_the_skirt_is_as_deep_as_roofs_that_the_wind_leaves_alone() -> None:
    """About 2 in over the box, and 3-1/2 to 4 in in all against wind (beekeeping press)."""
    found = design()
    sizes = {name: inches(size) for name, size in found.sizes}
    assert F(7, 2) <= sizes["skirt"] <= 4
    cover = next(item.value for item in found.measured if item.name == "cover_height")
    assert sizes["skirt"] - sizes["gap"] - inches(cover) == 2


def test_the_metal_comes_down_an_inch_and_past_the_joint_of_the_deck() -> None:
    """Over the top and down 1 in on all sides (beekeeping press); 1/8 in more is allowed."""
    found = design()
    metal, deck = part(found, "cover_metal"), part(found, "deck")
    for whole, flat in ((metal.length, deck.length), (metal.width, deck.width)):
        down = inches(whole - flat) / 2
        assert 1 <= down <= F(9, 8)
        assert down - inches(deck.thickness) >= F(1, 2)


@pytest.mark.parametrize("vents", VENTS)
def test_every_fit_of_the_usual_roof_holds(vents: str) -> None:
    found = design(vents=vents)
    assert found.findings == ()
    assert found.fits
    assert all(fit.ok for fit in found.fits)


def test_left_and_right_grips_are_mirror_images_outside_the_skirt() -> None:
    found = design()
    left, right = (part(found, "grip", hand) for hand in Hand)
    assert (left.length, left.width, left.features) == (right.length, right.width, right.features)
    assert left.count_unit == right.count_unit == 1
    assert isinstance(left.features[0], Bevel)
    deck = part(found, "deck")
    assert left.places[0].left + left.thickness == Length(0)
    assert right.places[0].left == deck.width


def test_a_hand_at_the_grip_stays_clear_of_the_metals_edge() -> None:
    for setting in ({}, {"vents": "none", "cover_height": "3/4 in", "panel_thickness": "3/8 in"}):
        found = design(**setting)
        grip, deck, metal = (
            part(found, "grip", Hand.LEFT),
            part(found, "deck"),
            part(found, "cover_metal"),
        )
        fold = -metal.places[0].front
        edge = deck.places[0].bottom + deck.thickness - fold
        assert grip.places[0].bottom + grip.width <= edge


def test_the_vents_lie_below_the_metal_and_keep_mice_out() -> None:
    """3/8 in keeps mice out (beekeeping press)."""
    found = design()
    end, deck, metal = (part(found, name) for name in ("skirt_end", "deck", "cover_metal"))
    (vents,) = end.features
    assert isinstance(vents, Holes)
    assert vents.count >= 5
    assert inches(vents.diameter) <= F(3, 8)
    fold_on_skirt = -metal.places[0].front - deck.thickness
    assert vents.offset - vents.diameter.over(2) > fold_on_skirt
    assert part(design(vents="none"), "skirt_end").features == ()


def test_no_screw_of_the_deck_reaches_a_vent_or_the_metals_screws_the_inside() -> None:
    found = design()
    end, deck = part(found, "skirt_end"), part(found, "deck")
    (vents,) = end.features
    assert isinstance(vents, Holes)
    point = Length.inches("5/4") - deck.thickness
    assert point < vents.offset - vents.diameter.over(2)
    assert end.thickness > Length.inches("1/2")


def test_deck_screws_stand_at_most_six_inches_apart() -> None:
    found = design()
    deck = part(found, "deck")
    counts = [
        ceil((inches(side) - 5) / 6) + 1 for side in (deck.length, deck.width) for _ in range(2)
    ]
    (kind,) = [k for k in found.outline.kinds if k.id == "deck/screw"]
    assert kind.fasteners[0].count == sum(counts)


def test_the_roof_goes_over_the_inner_cover_of_the_shelf() -> None:
    """Both at their usual sizes, and both for a box that the keeper measured."""
    for setting in ((), (("box_width", "16 3/8 in"), ("box_length", "20 in"))):
        requests = tuple(
            replace(floor_request(*setting), build=build(name)) for name in ("roof", "inner-cover")
        )
        report = fit_builds(requests)
        assert not report.findings
        assert {meeting.size for meeting in report.meetings} == {"length", "width", "height"}
        assert all(meeting.ok for meeting in report.meetings)


@pytest.mark.parametrize("vents", VENTS)
@pytest.mark.parametrize("units", [1, 2, 3])
def test_the_plan_passes_the_independent_checker(vents: str, units: int) -> None:
    made = plan(vents, units)
    assert violations(made.steps, made.steps, made.waits, made.holds, SHOP, BEGIN_S) == []
    assert not [finding for finding in made.findings if finding.level is Level.STOP]


@pytest.mark.parametrize("vents", VENTS)
def test_no_sentence_at_the_bench_is_longer_than_can_be_read_there(vents: str) -> None:
    for kind in plan(vents).kinds:
        assert "{" not in kind.text + kind.why
        assert len(kind.text) <= 260, (kind.id, len(kind.text))


@pytest.mark.parametrize("vents", VENTS)
def test_every_step_with_a_power_tool_has_a_card_that_must_be_answered(vents: str) -> None:
    powered = [k for k in plan(vents).kinds if k.tool and TOOLS[k.tool].is_power]
    assert {"glue/screw_corners", "deck/screw", "metal/screw"} <= {kind.id for kind in powered}
    for kind in powered:
        assert any(caution.must_ack for caution in kind.cautions), kind.id


def test_every_step_that_handles_the_metal_speaks_of_gloves() -> None:
    """Cut sheet metal cuts: gloves and glasses (common practice, no source)."""
    handled = [k for k in plan("open").kinds if k.parts == ("cover_metal",) or k.stage == "metal"]
    assert len(handled) >= 6
    for kind in handled:
        cards = " ".join(caution.avoid for caution in kind.cautions)
        assert "loves" in kind.text + cards, kind.id


def test_the_metal_is_folded_when_the_paint_is_dry_and_its_edges_are_dull() -> None:
    starts = {step.id: step.start_s for step in plan("open").steps}
    for unit in ("u1", "u2"):
        order = ("metal/file", "metal/scribe", "metal/lay", "metal/fold_sides", "metal/fold_ends")
        moments = [starts[f"{unit}/{step}"] for step in (*order, "metal/screw", "close/feel")]
        assert moments == sorted(moments)
        assert starts[f"{unit}/paint/second"] + 24 * 3600 <= starts[f"{unit}/metal/lay"]
