"""Paints in the shop's air: rows, times, minimum temperature and dew."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopstep.conditions.limits import check_paint
from shopstep.conditions.paints import PAINTS, find_paint
from shopstep.conditions.timing import adjust_paint
from shopstep.model.plan import Conditions, Level

STANDARD = Conditions(23.0, 50.0)
# common practice, no source: hours touch, recoat, through (long ends); least °C and rags that
# heat up by themselves; 10 °C (latex) and 4 °C (oil-alkyd) are FPL-GTR-190 chapter 16
ROWS = {
    "acrylic_primer": (1, 4, 24, 10, False),
    "acrylic_paint": (1, 4, 24, 10, False),
    "alkyd_primer": (8, 24, 48, 4, True),
    "alkyd_paint": (8, 24, 48, 4, True),
    "solid_stain": (1, 4, 24, 10, False),
    "oil_stain": (12, 24, 48, 4, True),
    "linseed_boiled": (24, 24, 72, 10, True),
    "linseed_raw": (96, 168, 504, 10, True),
}


def test_every_row_has_a_check_here() -> None:
    assert set(ROWS) == set(PAINTS)


@pytest.mark.parametrize("paint_id", sorted(ROWS))
def test_a_row_holds_the_long_end_of_common_practice(paint_id: str) -> None:
    paint = find_paint(paint_id)
    touch, recoat, through, least, oily = ROWS[paint_id]
    assert paint.touch_s == touch * 3600
    assert paint.recoat_s == recoat * 3600
    assert paint.through_s == through * 3600
    assert (paint.least_c, paint.oily) == (least, oily)
    assert paint.touch_s <= paint.recoat_s <= paint.through_s
    assert paint.service_s is None or paint.service_s >= paint.through_s
    assert "the label governs" in paint.source
    times = adjust_paint(paint, STANDARD)
    assert (times.touch_s, times.recoat_s, times.through_s, times.service_s, times.source) == (
        paint.touch_s,
        paint.recoat_s,
        paint.through_s,
        paint.service_s,
        paint.source,
    )


def test_water_borne_primer_waits_two_days_on_wood_that_bleeds_tannin() -> None:
    # FPL-GTR-190 chapter 16: stain-blocking latex primer on redwood or redcedar, 24–48 h
    primer = find_paint("acrylic_primer")
    assert adjust_paint(primer, STANDARD, tannin_wood=True).recoat_s == 48 * 3600
    paint = find_paint("acrylic_paint")
    assert adjust_paint(paint, STANDARD, tannin_wood=True).recoat_s == paint.recoat_s


def test_damp_air_delays_water_borne_paint_and_cold_air_every_paint() -> None:
    damp = Conditions(23, 75)
    assert adjust_paint(find_paint("acrylic_paint"), damp).recoat_s == 8 * 3600  # half the deficit
    assert adjust_paint(find_paint("alkyd_paint"), damp).recoat_s == 24 * 3600
    assert adjust_paint(find_paint("alkyd_paint"), Conditions(13, 50)).recoat_s == 48 * 3600


@given(st.sampled_from(sorted(PAINTS)), st.floats(-20, 50), st.floats(1, 100))
def test_the_air_never_shortens_a_drying_time(
    paint_id: str, temperature_c: float, humidity: float
) -> None:
    paint = find_paint(paint_id)
    times = adjust_paint(paint, Conditions(temperature_c, humidity))
    assert times.touch_s >= paint.touch_s
    assert times.recoat_s >= paint.recoat_s
    assert times.through_s >= paint.through_s


@pytest.mark.parametrize(
    ("paint_id", "temperature_c", "stops"),
    [
        ("acrylic_paint", 9.9, True),
        ("acrylic_paint", 10.0, False),
        ("alkyd_paint", 3.9, True),
        ("alkyd_paint", 4.0, False),
    ],
)
def test_paint_stops_below_its_minimum_temperature(
    paint_id: str, temperature_c: float, stops: bool
) -> None:
    # FPL-GTR-190 chapter 16: latex 10 °C (50 °F), oil-alkyd 4 °C (40 °F)
    findings = check_paint(find_paint(paint_id), Conditions(temperature_c, 40))
    assert any(f.rule == "paint_cold" and f.level is Level.STOP for f in findings) == stops


def test_latex_near_its_minimum_warns_of_the_night() -> None:
    # FPL-GTR-190 chapter 16: and expected to stay above it for 24 h
    findings = check_paint(find_paint("acrylic_paint"), Conditions(11, 40))
    assert findings[0].rule == "paint_night"
    assert "24 h" in findings[0].text
    assert findings[0].level is Level.WARN


@pytest.mark.parametrize(
    ("temperature_c", "limit_percent"),
    [(5, 81.0), (10, 81.6), (15, 82.3), (20, 82.9), (25, 83.5), (30, 84.0)],
)
def test_wood_as_warm_as_the_air_comes_too_near_the_dew_point_above_about_82_percent(
    temperature_c: float, limit_percent: float
) -> None:
    # 3 °C margin by analogy to ISO 8502-4; limits computed from WMO-No. 8 Annex 4.B
    paint = find_paint("alkyd_paint")

    def warned(humidity: float) -> bool:
        found = check_paint(paint, Conditions(temperature_c, humidity))
        return any(f.rule == "paint_dew" for f in found)

    assert not warned(limit_percent - 0.1)
    assert warned(limit_percent + 0.1)


def test_wood_below_the_dew_point_stops_painting() -> None:
    (wet,) = check_paint(find_paint("alkyd_paint"), Conditions(25, 60), surface_c=15)
    assert (wet.rule, wet.level) == ("paint_wet", Level.STOP)
    assert "dew point 16.7 °C" in wet.text


def test_cold_wood_in_a_warm_shop_is_judged_by_the_wood() -> None:
    findings = check_paint(find_paint("acrylic_paint"), Conditions(20, 40), surface_c=8)
    assert findings[0].rule == "paint_cold"
    assert "At 8 °C" in findings[0].text


def test_hot_wood_warns_of_blisters() -> None:
    findings = check_paint(find_paint("alkyd_paint"), Conditions(25, 40), surface_c=45)
    assert [f.rule for f in findings] == ["paint_hot"]


def test_a_slow_coat_says_how_long_it_takes_now() -> None:
    findings = check_paint(find_paint("acrylic_paint"), Conditions(18, 60))
    assert [f.rule for f in findings] == ["paint_slow"]
    assert "instead of 4 h" in findings[0].text


def test_paint_in_the_test_climate_gives_no_finding() -> None:
    for paint_id in PAINTS:
        assert check_paint(find_paint(paint_id), STANDARD) == ()


def test_an_impossible_reading_is_reported_instead_of_judging_the_paint() -> None:
    (finding,) = check_paint(find_paint("acrylic_paint"), Conditions(20, -3))
    assert finding.rule == "air_reading"


def test_an_unknown_paint_names_the_nearest() -> None:
    with pytest.raises(ValueError, match="nearest is 'acrylic_paint'"):
        find_paint("acrylic_pant")
