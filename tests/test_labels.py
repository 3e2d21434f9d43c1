"""What the label says comes before the tables; and what a cold night does."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.conditions.glues import find_glue
from shopstep.conditions.nights import check_glue_night, check_paint_night
from shopstep.conditions.paints import find_paint
from shopstep.model.plan import BuildFileError, Conditions, Level, Plan, PlanRefused
from shopstep.model.step import WaitKind
from shopstep.planner import make_plan
from tests.floor import floor_plan, floor_request

H = 3600


def planned(*labels: tuple[str, str], night_c: float | None = None) -> Plan:
    """One floor with what the labels say."""
    request = floor_request(units=1)
    air = replace(request.conditions, night_c=night_c)
    return make_plan(replace(request, labels=labels, conditions=air))


def seconds(plan: Plan, kind: WaitKind) -> set[tuple[int, str]]:
    """Length and source of all waits of a kind."""
    return {(wait.seconds, wait.source) for wait in plan.waits if wait.kind is kind}


@pytest.mark.parametrize(
    ("name", "text", "kind", "wanted"),
    [
        ("wood_glue.open", "8 min", WaitKind.OPEN, 480),
        ("wood_glue.clamp", "45 min", WaitKind.CLAMP, 2700),
        ("wood_glue.cure", "12 h", WaitKind.CURE, 12 * H),
    ],
)
def test_a_glue_follows_its_label(name: str, text: str, kind: WaitKind, wanted: int) -> None:
    assert seconds(planned((name, text)), kind) == {(wanted, "your label")}


def test_a_paint_follows_its_label_and_the_air_still_counts() -> None:
    # by hand: at 20 °C a rate that doubles each 10 °C from 23 °C on is 2^0.3 = 1.2311 times
    # slower; 2 h are 2.46 h, up to whole five minutes 2 h 30 min
    ((found, source),) = seconds(planned(("outside.recoat", "2 h")), WaitKind.RECOAT)
    assert found == 2 * H + 1800
    assert source.startswith("your label; adjusted for 20 °C")


def test_the_first_label_counts() -> None:
    plan = planned(("wood_glue.open", "9 min"), ("wood_glue.open", "3 min"))
    assert seconds(plan, WaitKind.OPEN) == {(540, "your label")}


def test_a_label_may_let_a_glue_set_where_the_table_would_not() -> None:
    request = replace(floor_request(units=1), conditions=Conditions(9.0, 50.0))
    with pytest.raises(PlanRefused):
        make_plan(request)
    with pytest.raises(PlanRefused, match="finish"):
        make_plan(replace(request, labels=(("wood_glue.least", "8 C"),)))
    both = (("wood_glue.least", "8 C"), ("outside.least", "46 F"))
    assert make_plan(replace(request, labels=both)).steps


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("woodglue.open", "8 min", "there is no 'woodglue.open' in this build; nearest is"),
        ("wood_glue.recoat", "8 min", "nearest is 'wood_glue."),
        ("wood_glue.open", "8", "is no time span"),
        ("wood_glue.open", "0 min", "a time of more than nothing is needed"),
        ("wood_glue.least", "cold", "is no temperature; write for example 8 C"),
    ],
)
def test_a_label_that_says_nothing_is_told_so(name: str, text: str, said: str) -> None:
    with pytest.raises(BuildFileError) as problem:
        planned((name, text))
    assert said in problem.value.text
    assert problem.value.where.file == "--label"


def test_a_cold_night_lengthens_what_dries_and_not_the_open_time() -> None:
    warm, cold = floor_plan(units=1), planned(night_c=12.0)
    assert seconds(cold, WaitKind.OPEN) == seconds(warm, WaitKind.OPEN)
    for kind in (WaitKind.CURE, WaitKind.RECOAT, WaitKind.DRY_THROUGH):
        assert min(seconds(cold, kind))[0] > max(seconds(warm, kind))[0]


def test_a_warmer_night_changes_nothing() -> None:
    assert planned(night_c=25.0).waits == floor_plan(units=1).waits


def test_latex_is_not_put_on_before_a_night_that_is_too_cold_for_it() -> None:
    # FPL-GTR-190 ch. 16, latex: 10 °C or more for 24 h
    latex, oil = find_paint("acrylic_paint"), find_paint("alkyd_paint")
    (stop,) = check_paint_night(latex, Conditions(15.0, 50.0, 9.0))
    assert (stop.level, stop.rule) == (Level.STOP, "paint_cold_night")
    assert "9 °C" in stop.text
    assert check_paint_night(latex, Conditions(15.0, 50.0, 10.0)) == ()
    assert check_paint_night(latex, Conditions(15.0, 50.0)) == ()
    (warned,) = check_paint_night(oil, Conditions(15.0, 50.0, 3.0))
    assert warned.level is Level.WARN
    with pytest.raises(PlanRefused):
        planned(night_c=6.0)


def test_glue_in_clamps_over_a_cold_night_is_warned_of() -> None:
    glue = find_glue("pva_crosslinking")
    (warned,) = check_glue_night(glue, Conditions(18.0, 50.0, glue.least_c - 1))
    assert warned.level is Level.WARN
    assert "warm room" in warned.remedy
    assert check_glue_night(glue, Conditions(18.0, 50.0, glue.least_c)) == ()
