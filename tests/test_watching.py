"""Cuts that a fit hangs on are measured at the bench, and their limits keep the fit."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from shopstep.model.plan import Fit, Plan
from shopstep.model.step import Check, StepKind
from shopstep.planner import make_plan
from shopstep.units import Length
from tests.floor import floor_request
from tests.shelf_builds import BUILDS, build_texts

HAIR = Length(2)


@cache
def plan(build: str) -> Plan:
    """A shipped build at its usual values."""
    text, parents = build_texts(build)
    return make_plan(replace(floor_request(), build=text, parents=parents))


def watched(build: str) -> list[tuple[StepKind, Check, Fit]]:
    """Steps that ask for a watched size, with the fit that hangs on it."""
    fits = {fit.name: fit for fit in plan(build).fits}
    return [
        (kind, check, fits[check.name.removeprefix("watch_")])
        for kind in plan(build).kinds
        for check in kind.checks
        if check.name.startswith("watch_")
    ]


def test_the_panel_s_groove_and_the_mouse_gate_are_measured_in_the_floor() -> None:
    found = {(kind.stage, fit.name) for kind, _, fit in watched("screened-floor")}
    assert found == {("groove", "panel_slides"), ("notch", "mouse_gate")}


@pytest.mark.parametrize("build", BUILDS)
def test_every_size_within_its_own_limit_keeps_the_fit(build: str) -> None:
    """Moved by its limit alone, all else as planned; a limit of 1/64 in may pass it by as much."""
    mark = Length.inches("1/64")
    for _, check, fit in watched(build):
        assert check.value is not None
        lever = next(each for each in fit.levers if each.value == check.value)
        moved = Length(round(abs(lever.ratio) * check.tolerance.nm))
        fine = mark if check.tolerance <= mark else HAIR
        assert fit.least is None or fit.value - moved >= fit.least - fine
        assert fit.most is None or fit.value + moved <= fit.most + fine


@pytest.mark.parametrize("build", BUILDS)
def test_a_watched_size_is_one_that_its_step_sets(build: str) -> None:
    setups = {setup.id: setup for setup in plan(build).setups}
    for kind, check, _ in watched(build):
        assert check.value in [setting.value for setting in setups[kind.id].settings]
        assert "hangs on it" in check.text


def test_a_length_at_a_stop_block_says_what_hangs_on_it() -> None:
    """A roof skirt so exact that its fit hangs on a crosscut."""
    text, _ = build_texts("roof")
    tight = text.text.replace(
        "fits:\n",
        "fits:\n  over_box:\n    text: Room between skirt and box.\n    level: must\n"
        "    value: skirt_end.length - box_width\n    least: 31/64 in\n    most: 33/64 in\n"
        "    source: common practice, no source\n",
        1,
    )
    made = make_plan(replace(floor_request(), build=replace(text, text=tight)))
    whys = [kind.why for kind in made.kinds if kind.stage == "crosscut"]
    assert any("Over box hangs on this length: leave the stop where it is" in why for why in whys)
