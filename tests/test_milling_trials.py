"""Which settings are tried in scrap: slopes, and channels that something goes into."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import hypot

import pytest

from shopstep.milling import derive_steps, plan_milling
from shopstep.milling.bevels import cut_bevel, slope_at_saw
from shopstep.milling.trials import size_trial
from shopstep.model.codec import decode, encode
from shopstep.model.feature import Bevel, Dado, Face, Fingers
from shopstep.model.joint import Joint
from shopstep.model.operation import Setting, Setup
from shopstep.model.part import Part
from shopstep.model.plan import Plan, Remake
from shopstep.model.step import Check, StepKind, Trial
from shopstep.planner import make_plan
from shopstep.units import ZERO, Angle
from tests.floor import floor_request
from tests.sample_floor import KERF, MATERIALS, PARTS, UNITS, X, Y, Z, bevel, inch, piece
from tests.shelf_builds import BUILDS, build_texts
from tests.test_milling_bevels import board, setting


@cache
def plan(build: str) -> Plan:
    """A shipped build at its usual values."""
    text, parents = build_texts(build)
    return make_plan(replace(floor_request(), build=text, parents=parents))


def kinds_of(*parts: Part, joints: tuple[Joint, ...] = ()) -> dict[str, StepKind]:
    """Step kinds of the milling by id."""
    milling = plan_milling(parts, MATERIALS, UNITS, KERF)
    return {kind.id: kind for kind in derive_steps(milling, parts, "in", (), joints)[0]}


def trials(kind: StepKind) -> list[tuple[Check, Trial]]:
    """The checks of a step that are tries in scrap."""
    return [(check, check.trial) for check in kind.checks if check.trial is not None]


def joint(name: str, kind: str, member: str, into: str) -> Joint:
    """A joint of which only these matter here."""
    return Joint(name, kind, member, into, None, ZERO, ZERO, ZERO, ZERO, ZERO, 1, 1)


@pytest.mark.parametrize(
    ("back", "drop", "heel", "toe"),
    [
        ("1/4", "1/2", "top face", "front edge"),
        ("3/4", "3/4", "top face", "front edge"),
        ("1", "1/4", "front edge", "top face"),  # stands on edge at the tall fence
    ],
)
def test_a_ripped_slope_is_tried_once_from_heel_to_toe(
    back: str, drop: str, heel: str, toe: str
) -> None:
    part = board(bevel("b", Face.TOP, Face.FRONT, back, drop))
    kind = kinds_of(part)["bevel_rip/landing"]
    ((check, trial),) = trials(kind)
    assert [c.name for c in kind.checks] == ["gap_bevel"]
    assert (check.value, check.tolerance) == (ZERO, inch("1/64"))
    assert f"heel: {heel}, toe: {toe}" in check.text
    assert (trial.kind, trial.setting, trial.placed_by) == ("bevel", "tilt", "fence")
    assert trial.leg.in_mm == pytest.approx(hypot(inch(back).in_mm, inch(drop).in_mm), abs=1e-5)
    tilts = [n.value for n in kind.numbers if n.label == "blade tilt"]
    assert tilts == [trial.turned]


@pytest.mark.parametrize(("back", "drop"), [("1/4", "1/2"), ("1", "1/4"), ("3/8", "3/8")])
def test_the_heel_lies_on_the_table_where_the_fence_sets_it(back: str, drop: str) -> None:
    """The fence's distance and the heel's are one width; the toe is a rise above the table."""
    cut = bevel("b", Face.TOP, Face.FRONT, back, drop)
    part = board(cut)
    slope, draft = slope_at_saw(part, cut), cut_bevel(part, cut, KERF)
    assert f"{slope.heel} {'face' if slope.heel is Face.TOP else 'edge'} down" in draft.note
    across = part.width if slope.heel is Face.TOP else part.thickness
    assert setting(draft, "fence") == pytest.approx((across - slope.along).in_mm)


def test_a_sloped_end_is_tried_at_the_gauge_or_at_the_tilted_blade() -> None:
    by_gauge = kinds_of(*PARTS)["mitre/side_rail"]
    ((check, trial),) = trials(by_gauge)
    assert (trial.setting, trial.placed_by) == ("gauge", "stop")
    assert check.text == (
        "gap at the bevel gauge set 1 in to 2 1/2 in; heel: top edge, toe: front end"
    )
    flat = board(bevel("b", Face.TOP, Face.LEFT, "1/2", "3/4"))
    ((_, trial),) = trials(kinds_of(flat)["mitre/landing"])
    assert (trial.setting, trial.placed_by) == ("tilt", "stop")


def test_the_text_tells_of_the_scrap_and_the_why_of_the_gauge() -> None:
    kind = kinds_of(board(bevel("b", Face.TOP, Face.FRONT, "1/4", "1/2")))["bevel_rip/landing"]
    assert "Pencil the slope on scrap and try it" in kind.text
    assert "light at one end comes of the angle" in kind.why


def test_slopes_that_lie_differently_leave_the_names_of_heel_and_toe_out() -> None:
    one = board(bevel("b", Face.TOP, Face.FRONT, "1/4", "1/2"))
    other = replace(
        board(bevel("b", Face.BOTTOM, Face.FRONT, "1/4", "1/2")), name="other", title="other"
    )
    ((check, _),) = trials(kinds_of(one, other)["bevel_rip/landing"])
    assert check.text == "gap at the bevel gauge set 1/4 in to 1/2 in"


def test_a_groove_is_tried_where_something_goes_into_it() -> None:
    panel = joint("panel", "groove", "panel", "side_rail")
    kinds = kinds_of(*PARTS, joints=(panel,))
    ((check, trial),) = trials(kinds["groove/side_rail"])
    assert (check.name, check.value, check.tolerance) == (
        "groove_width",
        inch("9/32"),
        inch("1/64"),
    )
    assert check.text == "width of the groove in the scrap, for the panel"
    assert trial == Trial("width", "last_pass")
    assert trials(kinds["groove/side_rail-2"])
    assert not trials(kinds["groove/back_rail"])  # no joint of this sample goes in there
    assert not any(trials(kind) for kind in kinds_of(*PARTS).values() if kind.stage == "groove")


def test_dadoes_and_fingers_are_tried_for_their_joints() -> None:
    dado = Dado("shelf", Face.INSIDE, Face.FRONT, inch("5"), inch("3/4"), inch("1/4"))
    wall = piece("wall", ("20", "6", "3/4"), (X, Z, Y), (("0", "0", "0"),), dado)
    wall = replace(wall, features=(replace(dado, face=Face.LEFT),))
    kinds = kinds_of(wall, joints=(joint("shelf", "dado", "shelf", "wall"),))
    ((check, trial),) = trials(kinds["dado/wall"])
    assert (check.name, trial) == ("dado_width", Trial("width", "shims"))
    row = Fingers("corner_left", Face.LEFT, inch("3/4"), inch("3/4"), "finger", Face.BOTTOM)
    front = piece("front", ("16", "6", "3/4"), (Y, Z, X), (("0", "0", "0"),), row)
    kinds = kinds_of(front, joints=(joint("corner", "box", "side", "front"),))
    ((check, trial),) = trials(kinds["fingers/front"])
    assert (check.name, check.value, trial) == ("finger_width", inch("3/4"), Trial("width", "key"))


def test_a_width_that_nothing_sets_is_not_tried() -> None:
    """A groove as wide as the blade; a dado wider than a dado set, which is cut to a far line."""
    width = Setting("width", inch("1/8"))
    assert size_trial(Setup("s", "groove", "table_saw", (width,), ()), "width") is None
    assert size_trial(Setup("s", "groove", "table_saw", (width,), ()), "depth") is not None
    wide = Setting("width", inch("7/8"))
    assert size_trial(Setup("s", "dado", "table_saw", (wide,), ()), "width") is None
    assert size_trial(Setup("s", "drill", "drill_press", (wide,), ()), "width") is None


@pytest.mark.parametrize("build", BUILDS)
def test_no_step_asks_twice_for_one_size_and_only_settings_found_by_tries_are_tried(
    build: str,
) -> None:
    for kind in plan(build).kinds:
        tried = trials(kind)
        assert len({(trial.kind, check.value) for check, trial in tried}) == len(tried)
        assert len({check.name for check in kind.checks}) == len(kind.checks)
        assert kind.stage in ("bevel_rip", "mitre") or all(t.kind != "bevel" for _, t in tried)
        if kind.stage in ("bevel_rip", "mitre") and "~" not in kind.id:
            assert [trial.kind for _, trial in tried] == ["bevel"]


def test_the_floor_s_panel_groove_is_tried_once_under_the_name_of_its_fit() -> None:
    kinds = {kind.id: kind for kind in plan("screened-floor").kinds}
    assert [c.name for c, _ in trials(kinds["groove/side_rail"])] == ["watch_panel_slides"]
    assert [c.name for c, _ in trials(kinds["groove/back_rail"])] == ["groove_width"]
    check, trial = trials(kinds["groove/side_rail"])[0]
    assert check.text == "Width of the panel's groove, in scrap; panel slides hangs on it"
    assert trial == Trial("width", "last_pass")


def test_a_drip_groove_that_nothing_goes_into_is_not_tried() -> None:
    kinds = {kind.id: kind for kind in plan("bird-box").kinds}
    assert trials(kinds["groove/roof"]) == []


def test_a_piece_that_is_made_again_is_tried_again() -> None:
    request = replace(floor_request(), remakes=(Remake("side_rail", "left", 1, 2),))
    made = [kind for kind in make_plan(request).kinds if kind.id.endswith("~2")]
    tried = {kind.stage: [c.name for c, _ in trials(kind)] for kind in made if trials(kind)}
    assert tried == {"groove": ["groove_width"], "mitre": ["gap_bevel"]}


def test_a_check_stored_before_there_were_trials_is_still_read() -> None:
    check = Check("gap_bevel", "gap", ZERO, inch("1/64"), trial=Trial("bevel", "tilt", inch("1")))
    stored = encode(check)
    assert decode(Check, stored) == check
    del stored["trial"]
    assert decode(Check, stored) == replace(check, trial=None)
    assert decode(Trial, {}) == Trial("", "", ZERO, Angle(0), "")


def test_tried_slopes_are_those_that_the_build_draws() -> None:
    """The legs of the gauge are the bevel's two distances, whichever way it lies."""
    for part in plan("screened-floor").parts:
        for feature in part.features:
            if isinstance(feature, Bevel):
                slope = slope_at_saw(part, feature)
                drawn = {feature.back, feature.drop}
                assert {slope.along, slope.up} == drawn
                assert {slope.heel, slope.toe} == {feature.face, feature.edge}
