"""The shipped floor at many sizes, against arithmetic that does not use the build file."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from shopstep.design.resolve import Design, resolve_design
from shopstep.model.feature import Bevel, Groove
from shopstep.model.part import Hand, Part
from shopstep.model.plan import BuildText
from shopstep.model.step import StepKind, WaitKind
from shopstep.planner import make_plan
from shopstep.units import Length, format_length
from tests.floor import floor_request, floor_text

IN = 25_400_000


def design(**given_sizes: str) -> Design:
    """The floor at the given measurements."""
    return resolve_design(
        BuildText("screened-floor.yaml", floor_text()), (), tuple(given_sizes.items())
    )


def part(found: Design, name: str, hand: Hand | None = None) -> Part:
    """One part by name and hand."""
    return next(p for p in found.parts if p.name == name and p.hand is hand)


def inches(length: Length) -> F:
    """A length as exact inches."""
    return F(length.nm, IN)


def test_the_usual_box_is_the_published_ten_frame_size() -> None:
    """Outside 19-7/8 × 16-1/4, inside 14-3/4 wide with 3/4 in walls (beekeeping press)."""
    found = design()
    sizes = dict(found.sizes)
    assert inches(sizes["width"]) == F(65, 4)
    assert inches(sizes["depth"]) == F(159, 8)
    assert inches(sizes["clear_width"]) == F(59, 4)


def test_the_rails_are_as_long_as_published_bottom_boards() -> None:
    """21 to 22 in long rails (beekeeping press, as quoted)."""
    assert 21 <= inches(part(design(), "side_rail", Hand.LEFT).length) <= 22


def test_the_design_has_at_least_14_different_parts_and_every_must_fit_holds() -> None:
    found = design()
    assert len({p.name for p in found.parts}) >= 14
    assert found.findings == ()
    assert all(fit.ok for fit in found.fits)


def test_left_and_right_rails_are_mirror_images() -> None:
    found = design()
    left, right = (part(found, "side_rail", hand) for hand in Hand)
    assert (left.length, left.width, left.features) == (right.length, right.width, right.features)
    width = dict(found.sizes)["width"]
    (a,), (b,) = left.places, right.places
    assert a.left + b.left + b.breadth == width
    assert (a.front, a.bottom) == (b.front, b.bottom)


def test_the_long_side_over_the_entrance_swaps_width_and_depth() -> None:
    found = design(entrance_side="long")
    assert inches(dict(found.sizes)["width"]) == F(159, 8)
    assert inches(dict(found.sizes)["depth"]) == F(65, 4)


def test_the_panel_is_as_wide_as_clear_width_and_both_grooves_less_the_play() -> None:
    found = design(box_width="16 1/2 in")
    joint = next(j for j in found.joints if j.name == "panel_in_sides")
    clear = dict(found.sizes)["clear_width"]
    assert part(found, "panel").width.nm == clear.nm + 2 * joint.depth.nm - joint.play.nm
    assert clear.nm == (F(33, 2) - F(3, 2)) * IN


def test_the_groove_is_cut_where_the_panel_lies() -> None:
    found = design()
    rail, panel = part(found, "side_rail", Hand.LEFT), part(found, "panel")
    groove = next(f for f in rail.features if isinstance(f, Groove))
    assert groove.offset == panel.places[0].bottom
    assert groove.width > panel.thickness
    assert groove.stop_start.nm > 0
    assert groove.stop_end.nm == 0
    assert any(isinstance(f, Bevel) for f in rail.features)


@pytest.mark.parametrize(
    ("name", "value"),
    [("box_width", "40 in"), ("box_length", "5 in"), ("panel_thickness", "1/8 in")],
)
def test_a_measurement_outside_its_range_names_itself_and_the_range(name: str, value: str) -> None:
    found = design(**{name: value})
    (finding,) = found.findings
    assert finding.rule == "measurement_range"
    assert name in finding.text
    assert finding.where.line > 0


def test_no_words_of_a_step_keep_an_open_bracket() -> None:
    for kind in design().outline.kinds:
        assert "{" not in kind.text + kind.why


def test_with_the_block_in_the_bees_pass_the_gate_and_the_strip_behind_it() -> None:
    """Bee space 1/4 to 3/8 in (beekeeping press): less is closed with propolis."""
    found = design()
    strip, block, landing = (
        part(found, n) for n in ("cross_strip", "entrance_block", "landing_board")
    )
    strip_top = strip.places[0].bottom + strip.thickness
    landing_top = landing.places[0].bottom + landing.thickness
    gate_top = block.places[0].bottom + dict(found.sizes)["entrance_height"]
    assert block.places[0].bottom == landing_top
    assert inches(gate_top - max(strip_top, landing_top)) >= F(1, 4)


def test_the_tray_passes_over_sill_and_runners_and_under_the_bearers() -> None:
    found = design()
    tray, pull = part(found, "tray"), part(found, "tray_pull")
    back_rail, runner, bearer = (part(found, n) for n in ("back_rail", "runner", "side_bearer"))
    way = back_rail.places[0].bottom + back_rail.width
    assert runner.places[0].bottom + runner.thickness == way == tray.places[0].bottom
    assert pull.places[0].bottom + pull.thickness < bearer.places[0].bottom


def kind_of(found: Design, kind_id: str) -> StepKind:
    """One step of the build by its id."""
    return next(kind for kind in found.outline.kinds if kind.id == kind_id)


def test_the_runners_hold_before_spacers_and_bearers_stand_where_their_weights_stood() -> None:
    """Common practice, no source: what is pressed stays pressed for its clamp time."""
    waits = {(wait.after, wait.before, wait.kind) for wait in design().outline.waits}
    runners, bearers = "bearers/close_runners", "bearers/spread_bearers"
    assert "weight on each" in kind_of(design(), runners).text
    assert (runners, bearers, WaitKind.CLAMP) in waits
    assert kind_of(design(), bearers).text.startswith("Weights off the runners.")


def test_no_clamp_of_the_frame_stands_where_brads_and_screws_go_in() -> None:
    """Common practice, no source: they go in through the rails, opposite the cross pieces."""
    found = design()
    pressed = kind_of(found, "glue/close_right").text
    assert "close behind the front bearer" in pressed
    assert "close before the back rail" in pressed
    for name in ("glue/tack_frame", "screw/frame"):
        into = {row.into for each in kind_of(found, name).fasteners for row in each.rows}
        assert {"front_bearer", "back_rail"} <= into


@pytest.mark.parametrize("board", ["11/16 in", "3/4 in", "7/8 in"])
def test_a_turn_button_is_told_a_place_beyond_the_points_of_the_frame_screws(board: str) -> None:
    """By hand: 1 3/4 in less the rail is how far a frame screw reaches into the rear head."""
    found = design(board_thickness=board)
    button, rail = part(found, "turn_button"), part(found, "side_rail", Hand.LEFT)
    aside = button.places[0].left.nm + button.width.nm // 2 - rail.thickness.nm
    assert F(aside, IN) - (F(7, 4) - inches(rail.thickness)) >= F(1, 4)
    told = f"{format_length(Length(aside), 'in')} from the rail"
    assert told in kind_of(found, "close/door").text


def test_a_turn_button_clears_the_door_when_it_is_turned_level() -> None:
    found = design()
    button, head, door = (part(found, n) for n in ("turn_button", "rear_head", "door"))
    place = button.places[0]
    pivot = place.bottom + button.length - dict(found.sizes)["button_pivot"]
    assert pivot - button.width.over(2) >= head.places[0].bottom
    assert place.bottom < door.places[0].bottom + door.width


def test_every_coat_of_a_water_paint_is_without_the_card_of_oily_rags() -> None:
    """29 CFR 1926.252(e), as quoted, speaks of oily rags; a card that is not meant is not read."""
    coats = [kind for kind in make_plan(floor_request()).kinds if kind.tool == "brush"]
    assert {kind.stage for kind in coats} == {"paint", "small"}
    for kind in coats:
        assert [card.id for card in kind.cautions] == ["brush_vapour"], kind.id
