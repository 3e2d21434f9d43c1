"""Glues in the shop's air: rows, times and what stops a glue-up."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopstep.conditions.glues import GLUES, find_glue
from shopstep.conditions.limits import check_glue
from shopstep.conditions.timing import adjust_glue
from shopstep.model.plan import Conditions, Finding, Level

STANDARD = Conditions(23.0, 50.0)
# common practice, no source: minutes open (short end), total assembly, clamp (long end);
# hours until it may be handled, days to full strength; minimum temperature
ROWS = {
    "pva_interior": (4, 8, 60, 24, 7, 10),
    "pva_water_resistant": (4, 10, 60, 24, 7, 10),
    "pva_crosslinking": (5, 10, 60, 24, 7, 10),
    "polyurethane": (10, 20, 240, 24, 1, 10),
    "epoxy": (5, 5, 1440, 24, 7, 15),
    "hide_hot": (0.5, 1, 240, 24, 1, 21),
    "hide_liquid": (5, 10, 480, 24, 1, 15),
    "urea_formaldehyde": (10, 15, 840, 24, 3, 21),
    "resorcinol": (10, 40, 960, 24, 7, 21),
}


def rules(findings: tuple[Finding, ...]) -> list[tuple[str, Level]]:
    return [(finding.rule, finding.level) for finding in findings]


def test_every_row_has_a_check_here() -> None:
    assert set(ROWS) == set(GLUES)


@pytest.mark.parametrize("glue_id", sorted(ROWS))
def test_a_row_holds_the_safe_end_of_common_practice(glue_id: str) -> None:
    glue = find_glue(glue_id)
    opened, total, clamp, handle_h, cure_d, least = ROWS[glue_id]
    assert glue.open_s == opened * 60
    assert glue.total_assembly_s == total * 60
    assert glue.clamp_s == clamp * 60
    assert glue.handle_s == handle_h * 3600
    assert glue.cure_s == cure_d * 86400
    assert glue.least_c == least <= glue.sure_c
    assert glue.open_s <= glue.total_assembly_s
    assert glue.clamp_s <= glue.handle_s <= glue.cure_s
    assert "the label governs" in glue.source
    times = adjust_glue(glue, STANDARD)
    assert (times.open_s, times.assembly_s, times.clamp_s, times.handle_s, times.cure_s) == (
        glue.open_s,
        glue.total_assembly_s,
        glue.clamp_s,
        glue.handle_s,
        glue.cure_s,
    )
    assert times.source == glue.source


@pytest.mark.parametrize(
    ("temperature_c", "factor"),
    [(5, 3.48), (10, 2.46), (15, 1.74), (19, 1.32), (20, 1.0), (25, 1.0)],
)
def test_cold_lengthens_clamp_and_cure_time_by_a_doubling_each_ten_degrees(
    temperature_c: float, factor: float
) -> None:
    # common practice for two-part glues, no wood-glue standard; multipliers computed from Q10 = 2
    times = adjust_glue(find_glue("epoxy"), Conditions(temperature_c, 50))
    assert times.clamp_s / 86400 == pytest.approx(factor, abs=0.01)
    assert times.cure_s / (7 * 86400) == pytest.approx(factor, abs=0.01)
    assert times.open_s == 300


def test_a_cool_shop_keeps_cross_linking_glue_clamped_two_to_three_hours() -> None:
    # common practice, no source
    clamp_s = adjust_glue(find_glue("pva_crosslinking"), Conditions(10, 50)).clamp_s
    assert 2 * 3600 <= clamp_s <= 3 * 3600


def test_warmth_shortens_the_open_time_but_not_the_clamp_time() -> None:
    glue = find_glue("epoxy")
    times = adjust_glue(glue, Conditions(33, 50))
    assert times.open_s == glue.open_s // 2
    assert (times.clamp_s, times.cure_s) == (glue.clamp_s, glue.cure_s)
    assert "adjusted for 33 °C, 50 %" in times.source


def test_dry_air_shortens_the_open_time_of_a_glue_that_sets_by_losing_water() -> None:
    dry = Conditions(23, 20)
    assert adjust_glue(find_glue("pva_interior"), dry).open_s == 150  # 240 s × 0.5 / 0.8
    assert adjust_glue(find_glue("epoxy"), dry).open_s == 300


def test_damp_air_hurries_a_glue_that_feeds_on_moisture_and_dry_air_delays_it() -> None:
    glue = find_glue("polyurethane")
    assert adjust_glue(glue, Conditions(23, 100)).open_s == glue.open_s // 2
    assert adjust_glue(glue, Conditions(23, 25)).clamp_s == 2 * glue.clamp_s


def test_the_shortest_open_time_is_never_nothing() -> None:
    assert adjust_glue(find_glue("hide_hot"), Conditions(60, 1)).open_s > 0


@given(
    st.sampled_from(sorted(GLUES)),
    st.floats(-20, 50),
    st.floats(1, 100),
)
def test_the_air_never_grants_more_open_time_nor_less_clamp_time(
    glue_id: str, temperature_c: float, humidity: float
) -> None:
    glue = find_glue(glue_id)
    times = adjust_glue(glue, Conditions(temperature_c, humidity))
    assert 0 < times.open_s <= glue.open_s
    assert times.open_s <= times.assembly_s <= glue.total_assembly_s
    assert times.clamp_s >= glue.clamp_s
    assert times.handle_s >= glue.handle_s
    assert times.cure_s >= glue.cure_s


@given(st.floats(10, 40), st.floats(0, 10), st.floats(5, 95))
def test_warmer_is_never_slower_and_colder_never_keeps_glue_open_longer(
    temperature_c: float, more: float, humidity: float
) -> None:
    glue = find_glue("pva_water_resistant")
    cool = adjust_glue(glue, Conditions(temperature_c, humidity))
    warm = adjust_glue(glue, Conditions(temperature_c + more, humidity))
    assert warm.open_s <= cool.open_s
    assert warm.clamp_s <= cool.clamp_s


def test_below_its_minimum_temperature_a_glue_stops_the_plan() -> None:
    # minimum after NAVEDTRA 14119, vinyl resin glue: apply above 50 °F (10 °C)
    (sheltered, cold) = check_glue(find_glue("pva_water_resistant"), Conditions(8, 50))
    assert (sheltered.rule, sheltered.level) == ("glue_sheltered", Level.WARN)
    assert cold.level is Level.STOP
    assert cold.text == (
        "At 8 °C (46 °F) this glue (water-resistant PVA glue (class D3)) will not bond: "
        "it needs at least 10 °C (50 °F)."
    )
    assert cold.remedy == "Warm the shop, the wood and the glue, or stop at the dry fit."


def test_between_the_minimums_of_different_labels_there_is_a_warning() -> None:
    findings = check_glue(find_glue("pva_interior"), Conditions(12, 50), outdoors=False)
    assert rules(findings) == [("glue_cool", Level.WARN), ("glue_slow", Level.NOTE)]
    assert "13 °C" in findings[0].text


@pytest.mark.parametrize(
    "glue_id", ["pva_interior", "hide_hot", "hide_liquid", "urea_formaldehyde"]
)
def test_a_glue_that_does_not_stand_weather_is_refused_outdoors_only(glue_id: str) -> None:
    outside = check_glue(find_glue(glue_id), STANDARD, outdoors=True)
    assert rules(outside) == [("glue_indoor", Level.STOP)]
    assert "D4" in outside[0].remedy
    assert check_glue(find_glue(glue_id), STANDARD, outdoors=False) == ()


def test_a_weatherproof_glue_in_the_test_climate_gives_no_finding() -> None:
    for glue_id in ("pva_crosslinking", "polyurethane", "epoxy", "resorcinol"):
        assert check_glue(find_glue(glue_id), STANDARD) == ()


def test_a_hot_dry_shop_is_told_how_short_the_open_time_became() -> None:
    (note,) = check_glue(find_glue("pva_crosslinking"), Conditions(30, 30))
    assert note.rule == "glue_quick"
    assert "instead of 5 min" in note.text
    assert note.remedy == "Spread fewer joints at a time."


def test_an_impossible_reading_is_reported_instead_of_judging_the_glue() -> None:
    assert rules(check_glue(find_glue("epoxy"), Conditions(20, 140))) == [
        ("air_reading", Level.STOP)
    ]


def test_the_label_wins_when_the_row_is_replaced() -> None:
    label = replace(find_glue("pva_crosslinking"), open_s=480, least_c=8.0, source="the label")
    assert adjust_glue(label, STANDARD).open_s == 480
    assert all(f.level is not Level.STOP for f in check_glue(label, Conditions(9, 50)))


def test_an_unknown_glue_names_the_nearest() -> None:
    with pytest.raises(ValueError, match="no glue 'pva'; nearest is 'pva_"):
        find_glue("pva")
