"""Trials in scrap: every correction is held against lines in the plane, its words obeyed.

The check value of the issue: 1/16 in at the toe of a 3/4 in bevel is atan(0.0625 / 0.75) = 4.76°.
All else is elementary plane geometry (``tests/scrap.py``), no publication claimed.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from shopstep.milling.trials import size_trial
from shopstep.model.operation import Setting, Setup
from shopstep.model.step import Check, Trial
from shopstep.session.state import Reading
from shopstep.session.trials import (
    EVEN,
    HEEL,
    SETTINGS,
    TOE,
    asks_where,
    say_correction,
    say_try,
    say_where,
    shift_by,
    turn_by,
)
from shopstep.units import SIXTY_FOURTH, ZERO, Angle, Length
from tests.scrap import Plan, Saw, Scrap, inches_in, light_at, obey

inch = Length.inches
NM = 1e-7
"""Inches: some nanometres, from whole nanometres and microdegrees."""
PLANS = st.builds(
    Plan,
    width=st.just(3.5),
    thickness=st.just(0.75),
    along=st.floats(0.2, 0.75),
    up=st.floats(0.25, 0.75),
)
ERRORS = st.floats(0.2, 8.0).map(math.radians)


def trial_of(plan: Plan, setting: str = "tilt") -> Trial:
    """The trial of a planned slope."""
    turned = Angle.degrees(str(round(math.degrees(plan.tilt), 6)))
    return Trial("bevel", setting, inch(str(round(plan.leg, 9))), turned, "fence")


def gap_check(trial: Trial) -> Check:
    """The check of a slope."""
    return Check("gap_bevel", "gap at the bevel gauge", ZERO, SIXTY_FOURTH, trial=trial)


def off(value: Length, where: str = "", tries: int = 1) -> Reading:
    """A reading outside its tolerance."""
    return Reading(value.nm, False, 0, where, tries)


def test_the_worked_example_of_the_issue() -> None:
    trial = Trial("bevel", "tilt", inch("3/4"), Angle.degrees(45), "fence")
    turn = turn_by(trial, inch("1/16"), TOE)
    assert turn.microdeg == pytest.approx(4_763_642, abs=1)  # atan(0.0625 / 0.75)
    assert turn_by(trial, inch("1/16"), HEEL) == Angle(-turn.microdeg)
    assert turn_by(trial, inch("1/16"), EVEN) == Angle(0)
    assert say_try(gap_check(trial), off(inch("1/16"), TOE, 2), "in") == (
        "Try 2: gap 1/16 in at the toe. Saw off, tilt the blade 4.8° more, then cut a new piece of "
        "scrap and measure."
    )


@given(PLANS, ERRORS)
def test_a_gap_at_the_toe_is_gone_after_one_exact_correction(plan: Plan, error: float) -> None:
    """Too upright: the gauge touches at the heel."""
    assume(plan.tilt - error > 0)
    saw = Saw(plan.fence, plan.tilt - error)
    gap = light_at(plan, saw, TOE)
    turn = turn_by(trial_of(plan), inch(str(round(gap, 9))), TOE)
    saw.tilt += math.radians(turn.microdeg / 1e6)
    assert turn > Angle(0)
    assert light_at(plan, saw, TOE) == pytest.approx(0, abs=NM)


@given(PLANS, ERRORS)
def test_a_gap_at_the_heel_is_gone_after_one_exact_correction(plan: Plan, error: float) -> None:
    """Leaning too far: the gauge touches at the toe."""
    saw = Saw(plan.fence, plan.tilt + error)
    gap = light_at(plan, saw, HEEL)
    turn = turn_by(trial_of(plan), inch(str(round(gap, 9))), HEEL)
    saw.tilt += math.radians(turn.microdeg / 1e6)
    assert turn < Angle(0)
    assert light_at(plan, saw, HEEL) == pytest.approx(0, abs=NM)


@given(PLANS, st.floats(-0.25, 0.25))
def test_an_even_gap_is_gone_after_one_exact_correction(plan: Plan, error: float) -> None:
    """Wood left outside the line: fence to the blade; line cut away: fence from the blade."""
    assume(abs(error) > 0.02)
    scrap = Scrap(plan)
    saw = Saw(plan.fence + min(error, plan.along * 0.9), plan.tilt)
    scrap.cut(saw)
    gap = scrap.off_line()
    shift = shift_by(trial_of(plan), inch(str(round(abs(gap), 9)))).in_inches
    saw.fence -= math.copysign(shift, gap)
    again = Scrap(plan)
    again.cut(saw)
    assert again.off_line() == pytest.approx(0, abs=NM)


@given(PLANS, ERRORS)
def test_where_the_light_is_seen_is_where_the_error_shows(plan: Plan, error: float) -> None:
    """Of real wood: light at the toe is a blade too upright, light at the heel one too far over."""
    for sign in (-1, 1):
        assume(plan.tilt + sign * error > 0.02)
        scrap = Scrap(plan)
        scrap.cut(Saw(plan.fence, plan.tilt + sign * error))
        heel, toe = scrap.light()
        assert (heel, toe)[sign < 0] > 0
        assert (heel, toe)[sign > 0] == pytest.approx(0, abs=NM)


@given(PLANS, ERRORS)
def test_scrap_is_cut_again_only_where_wood_is_left_for_it(plan: Plan, error: float) -> None:
    """A heel gap is mended in the same scrap; at the toe the wood is gone: a new piece."""
    trial = trial_of(plan)
    check = gap_check(trial)
    for where, sign, is_new in ((HEEL, 1, False), (TOE, -1, True)):
        assume(plan.tilt - error > 0.02)
        scrap = Scrap(plan)
        scrap.cut(Saw(plan.fence, plan.tilt + sign * error))
        before = max(scrap.light())
        scrap.cut(Saw(plan.fence, plan.tilt))
        words = say_correction(check, off(inch("1/16"), where), "in")
        assert ("new piece" in words) is is_new
        assert max(scrap.light()) == pytest.approx(before if is_new else 0, abs=NM)


@given(PLANS, st.floats(-7, 7), st.floats(-0.15, 0.15))
@example(Plan(width=3.5, thickness=0.75, along=0.21875, up=0.4375), 2.0, -0.125)
def test_tries_that_obey_the_words_come_into_tolerance(
    plan: Plan, tilted: float, moved: float
) -> None:
    """Real wood, readings to 1/64 in, a tilt scale of 0.1°: a maker who does what is said."""
    assume(plan.tilt + math.radians(tilted) > 0.05)
    assume(plan.along + moved < plan.width - 0.5)
    saw = Saw(plan.fence + min(moved, plan.along - 0.1), plan.tilt + math.radians(tilted))
    check, scrap = gap_check(trial_of(plan)), Scrap(plan)
    scrap.cut(saw)
    for tries in range(1, 9):
        where, gap, wood_left = read_off(scrap)
        within = abs(gap) <= SIXTY_FOURTH
        if within and where == EVEN:
            break
        words = say_correction(check, off(gap, where, tries), "in")
        if obey(words, saw, wood_left):
            scrap = Scrap(plan)
        scrap.cut(saw)
    assert max(*scrap.light(), abs(scrap.off_line())) <= 1.6 / 64


def read_off(scrap: Scrap) -> tuple[str, Length, bool]:
    """Where the gap is, how wide to 1/64 in, and whether wood stands outside the line."""
    heel, toe = scrap.light()
    line = scrap.off_line()
    if max(heel, toe) > 1.5 / 64:
        where, gap = (TOE, toe) if toe > heel else (HEEL, heel)
    else:
        where, gap = EVEN, abs(line)
    return where, SIXTY_FOURTH.times(round(gap * 64)), line > 0


def test_an_even_gap_says_both_ways_and_reckons_with_the_tilt() -> None:
    trial = Trial("bevel", "tilt", inch("3/4"), Angle.degrees(45), "fence")
    assert shift_by(trial, inch("1/16")).in_inches == pytest.approx(math.sqrt(2) / 16)
    words = say_try(gap_check(trial), off(inch("1/16"), EVEN), "in")
    assert words == (
        "Try 1: gap 1/16 in all along. Saw off, then, where wood is left outside the line, move "
        "the fence 3/32 in towards the blade and cut the scrap again and measure; where the line "
        "is cut away, 3/32 in away from the blade, and cut a new piece of scrap and measure."
    )


def test_at_the_mitre_gauge_the_gauge_is_turned_and_the_stop_moved() -> None:
    trial = Trial("bevel", "gauge", inch("3/4"), Angle.degrees(0), "stop")
    check = gap_check(trial)
    heel, toe = (say_correction(check, off(inch("1/16"), where), "in") for where in (HEEL, TOE))
    assert "turn the gauge 4.8° nearer to square, then cut the scrap again" in heel
    assert "turn the gauge 4.8° further off square, then cut a new piece" in toe
    assert "move the stop 1/16 in" in say_correction(check, off(inch("1/16"), EVEN), "in")


def test_millimetres_where_the_plan_is_in_millimetres() -> None:
    trial = Trial("bevel", "tilt", Length.mm(20), Angle.degrees(0), "fence")
    words = say_try(gap_check(trial), off(Length.mm("1.5"), TOE), "mm")
    assert words.startswith("Try 1: gap 1.5 mm at the toe. Saw off, tilt the blade 4.3° more")


# Widths, depths and places


def size_check(setting: str, size: str = "width") -> Check:
    """A check of half an inch."""
    return Check("groove_width", "width", inch("1/2"), SIXTY_FOURTH, trial=Trial(size, setting))


@given(st.integers(-8, 8).filter(lambda n: abs(n) > 1), st.floats(0.3, 2))
def test_a_groove_in_passes_is_as_planned_after_one_correction(marks: int, fence: float) -> None:
    """A blade 1/8 in thick cuts at the fence and again at the last pass: walls as numbers."""
    kerf, wanted = 0.125, 0.5
    last = fence + wanted - kerf + marks / 64
    width = (last + kerf) - fence
    check = size_check("last_pass")
    words = say_correction(check, off(inch(str(round(width * 64)) + "/64")), "in")
    by = inches_in(words)
    last += by if "away from the blade" in words else -by
    walls = [fence, last + kerf]
    if "new piece" not in words:  # the scrap keeps what was cut before
        walls[1] = max(walls[1], fence + width)
    assert walls[1] - walls[0] == pytest.approx(wanted)
    assert ("new piece" in words) is (marks > 0)


@pytest.mark.parametrize(
    ("setting", "size", "narrow", "wide"),
    [
        ("last_pass", "width", "fence of the last pass 1/64 in away", "1/64 in towards the blade"),
        ("fence", "width", "move the fence 1/64 in away from", "1/64 in towards the blade"),
        ("fence_place", "place", "1/64 in away from the blade, for every", "1/64 in towards"),
        ("shims", "width", "add 1/64 in of shims", "take 1/64 in of shims out"),
        ("guide", "width", "edge guide 1/64 in away from the bit", "1/64 in towards the bit"),
        ("guide_place", "place", "1/64 in away from the bit, for every", "1/64 in towards the bit"),
        ("key", "width", "key 1/64 in away from the cut", "key 1/64 in towards the cut"),
        ("height", "depth", "raise the blade 1/64 in", "lower the blade 1/64 in"),
        ("depth", "depth", "bit 1/64 in deeper", "bit 1/64 in shallower"),
        ("stop", "place", "stop 1/64 in away from the cut", "stop 1/64 in towards the cut"),
    ],
)
def test_each_setting_moves_one_way_for_too_little_and_the_other_for_too_much(
    setting: str, size: str, narrow: str, wide: str
) -> None:
    check = size_check(setting, size)
    under = say_try(check, off(inch("31/64")), "in")
    over = say_try(check, off(inch("33/64"), tries=3), "in")
    assert narrow in under
    assert wide in over
    assert "new piece of scrap" in over
    assert under.startswith("Try 1: 31/64 in, 1/64 in too ")
    assert over.startswith("Try 3: 33/64 in, 1/64 in too ")
    machine = "Router off" if "guide" in setting or setting == "depth" else "Saw off"
    assert f"{machine}, " in under
    assert f"{machine}, " in over


def test_what_was_cut_in_the_wrong_place_is_not_cut_again() -> None:
    for setting in ("fence_place", "guide_place", "stop", "key"):
        assert "new piece" in say_correction(size_check(setting), off(inch("31/64")), "in")
    for setting in ("last_pass", "fence", "shims", "guide", "height", "depth"):
        assert "cut the scrap again" in say_correction(
            size_check(setting), off(inch("31/64")), "in"
        )


def test_nothing_is_said_of_what_is_good_or_is_no_trial() -> None:
    check = size_check("last_pass")
    good = Reading(inch("1/2").nm, True, 0)
    assert say_correction(check, good, "in") == ""
    assert say_try(check, good, "in") == ""
    plain = replace(check, trial=None)
    assert say_try(plain, off(inch(1)), "in") == ""
    assert say_correction(size_check("unheard_of"), off(inch(1)), "in") == ""
    for unknown in (Trial("bevel", "unheard_of", inch(1)), Trial("bevel", "tilt", inch(1))):
        where = "" if unknown.setting == "tilt" else TOE
        assert say_correction(gap_check(unknown), off(inch("1/16"), where), "in") == ""
    assert not asks_where(check)
    assert not asks_where(plain)
    assert [say_where(p) for p in (TOE, HEEL, EVEN, "")] == [
        " at the toe",
        " at the heel",
        " all along",
        "",
    ]


def test_every_trial_that_milling_makes_has_words() -> None:
    sized = (Setting("width", inch("1/2")), Setting("last pass", inch("3/8")))
    kinds = ("groove", "rabbet", "rabbet_end", "dado", "fingers", "rout", "rout_rabbet", "notch")
    made = [
        trial
        for kind in kinds
        for size in ("width", "depth", "place")
        if (trial := size_trial(Setup("s", kind, "table_saw", sized, ()), size)) is not None
    ]
    assert len(made) == 15
    assert {trial.setting for trial in made} | {"tilt", "gauge"} == SETTINGS
    for trial in made:
        assert say_correction(size_check(trial.setting, trial.kind), off(inch("3/8")), "in")
