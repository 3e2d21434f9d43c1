"""The inner cover at many sizes, against arithmetic that does not use the build file."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction as F
from functools import cache
from pathlib import Path

import pytest

from shopstep.design.resolve import Design, resolve_design
from shopstep.model.feature import Groove
from shopstep.model.part import Hand, Part
from shopstep.model.plan import BuildText, Level, Plan
from shopstep.model.step import WaitKind
from shopstep.planner import make_plan
from shopstep.safety.tools import TOOLS
from shopstep.units import Length
from tests.floor import BEGIN_S, FILE, SHOP, floor_request
from tests.schedule_checker import violations

IN = 25_400_000
HOLES = ("well", "closed")


@cache
def build() -> BuildText:
    """The text of the shipped build."""
    path = Path(FILE).with_name("inner-cover.yaml")
    return BuildText(path.name, path.read_text(encoding="utf-8"))


def design(**given_sizes: str) -> Design:
    """The cover at the given measurements and choices."""
    return resolve_design(build(), (), tuple(given_sizes.items()))


@cache
def plan(hole: str, units: int = 2) -> Plan:
    """The cover's plan."""
    request = floor_request(("hole", hole), units=units)
    return make_plan(replace(request, build=build()))


def part(found: Design, name: str, hand: Hand | None = None) -> Part:
    """One part by name and hand."""
    return next(p for p in found.parts if p.name == name and p.hand is hand)


def measured(found: Design, name: str) -> Length:
    """A measurement as it entered the design."""
    return next(item.value for item in found.measured if item.name == name)


def inches(length: Length) -> F:
    """A length as exact inches."""
    return F(length.nm, IN)


def test_the_usual_cover_is_as_large_as_the_published_ten_frame_box() -> None:
    """Outside 19-7/8 × 16-1/4, inside 18-3/8 × 14-3/4 with 3/4 in walls (beekeeping press)."""
    found = design()
    sizes = {name: inches(size) for name, size in found.sizes}
    assert inches(part(found, "side_rim", Hand.LEFT).length) == F(159, 8)
    assert (sizes["clear_length"], sizes["clear_width"]) == (F(147, 8), F(59, 4))
    assert [inches(size) for size in plan("well").overall[:2]] == [F(159, 8), F(65, 4)]


@pytest.mark.parametrize("frames_below", ["0 in", "3/16 in", "1/4 in"])
def test_frames_and_lip_together_make_bee_space(frames_below: str) -> None:
    """Bee space 1/4 to 3/8 in (beekeeping press); 0 where frames lie level, as in British boxes
    of the bottom bee-space kind (beekeeping press)."""
    found = design(frames_below=frames_below)
    space = measured(found, "frames_below") + part(found, "panel").places[0].bottom
    assert F(1, 4) <= inches(space) <= F(3, 8)


def test_a_460_mm_square_box_gets_a_cover_too() -> None:
    """BS 1300:1946/1960, withdrawn: 460 mm square outside, 19 mm walls, as quoted."""
    found = design(
        box_width="460 mm", box_length="460 mm", board_thickness="19 mm", frames_below="0 mm"
    )
    assert found.findings == ()
    assert part(found, "side_rim", Hand.LEFT).length == Length.mm(460)
    assert part(found, "front_rim").length == Length.mm(422)


@pytest.mark.parametrize("hole", HOLES)
def test_every_fit_of_the_usual_cover_holds(hole: str) -> None:
    found = design(hole=hole)
    assert found.findings == ()
    assert found.fits
    assert all(fit.ok for fit in found.fits)


def test_left_and_right_rims_are_mirror_images_and_as_many() -> None:
    found = design()
    left, right = (part(found, "side_rim", hand) for hand in Hand)
    assert (left.length, left.width, left.features) == (right.length, right.width, right.features)
    assert left.count_unit == right.count_unit == 1
    (a,), (b,) = left.places, right.places
    assert a.left + b.left + b.breadth == measured(found, "box_width")


def test_the_panel_lies_in_the_groove_of_all_four_rims_at_one_height() -> None:
    found = design()
    panel = part(found, "panel")
    rims = [
        part(found, "side_rim", Hand.LEFT),
        part(found, "side_rim", Hand.RIGHT),
        part(found, "front_rim"),
        part(found, "back_rim"),
    ]
    for rim in rims:
        (groove,) = rim.features
        assert isinstance(groove, Groove)
        assert groove.offset == panel.places[0].bottom
        assert groove.width > panel.thickness


@pytest.mark.parametrize(("name", "pieces"), [("well", 4), ("closed", 1)])
def test_the_foam_lies_on_the_panel_below_the_rims_and_off_the_bees_way(
    name: str, pieces: int
) -> None:
    """Less than 3/16 in is closed to bees (beekeeping press)."""
    found = design(hole=name)
    foam = [p for p in found.parts if p.material == "foam"]
    assert sum(p.count_unit for p in foam) == pieces
    panel, rim = part(found, "panel"), part(found, "front_rim")
    for piece in foam:
        for place in piece.places:
            assert place.bottom == panel.places[0].bottom + panel.thickness
            assert F(0) < inches(rim.width - place.bottom - place.height) < F(3, 16)


def test_the_stopper_covers_the_hole_wherever_it_lies_in_the_well() -> None:
    found = design()
    stopper, well = part(found, "stopper"), part(found, "well_end").length
    hole = dict(found.sizes)["bee_hole"]
    play = well - stopper.width
    assert inches(well - hole) / 2 > inches(play) > 0


@pytest.mark.parametrize("hole", HOLES)
@pytest.mark.parametrize("units", [1, 2, 3])
def test_the_plan_passes_the_independent_checker(hole: str, units: int) -> None:
    made = plan(hole, units)
    assert violations(made.steps, made.steps, made.waits, made.holds, SHOP, BEGIN_S) == []
    assert not [finding for finding in made.findings if finding.level is Level.STOP]


@pytest.mark.parametrize("hole", HOLES)
def test_no_sentence_at_the_bench_is_longer_than_can_be_read_there(hole: str) -> None:
    for kind in plan(hole).kinds:
        assert "{" not in kind.text + kind.why
        assert len(kind.text) <= 260, (kind.id, len(kind.text))


@pytest.mark.parametrize("hole", HOLES)
def test_every_step_with_a_power_tool_has_a_card_that_must_be_answered(hole: str) -> None:
    powered = [k for k in plan(hole).kinds if k.tool and TOOLS[k.tool].is_power]
    assert {"glue/screw_corners"} <= {kind.id for kind in powered}
    for kind in powered:
        assert any(caution.must_ack for caution in kind.cautions), kind.id


def test_the_foam_stays_weighted_for_the_glues_whole_clamp_time() -> None:
    """One-part polyurethane, 4 h in clamps (common practice, no source; the label governs)."""
    waits = [w for w in plan("well").waits if w.before == "u1/foam/weights_off"]
    (clamp,) = [w for w in waits if w.kind is WaitKind.CLAMP]
    assert clamp.after == "u1/foam/close"
    assert clamp.seconds >= 4 * 3600


def test_a_closed_cover_has_no_step_for_a_well() -> None:
    kinds = {kind.id for kind in plan("closed").kinds}
    assert not [k for k in kinds if k.startswith(("well/", "stopper/"))]
    assert {"well/bore", "well/close", "stopper/cord"} <= {kind.id for kind in plan("well").kinds}
