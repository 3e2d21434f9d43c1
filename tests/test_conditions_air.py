"""Air: dew point and saturation against published and computed values."""

from __future__ import annotations

import math

import pytest

from shopstep.conditions.air import (
    check_air,
    deficit_hpa,
    dew_point_c,
    drying_power,
    saturation_hpa,
)
from shopstep.model.plan import Conditions, Level


def test_saturation_at_20_c_is_that_of_the_wmo_formula() -> None:
    # WMO-No. 8 Annex 4.B, as quoted: 6.112 exp(17.62 t / (243.12 + t)) hPa
    assert saturation_hpa(20) == pytest.approx(23.326, abs=0.001)
    assert saturation_hpa(0) == pytest.approx(6.112)


@pytest.mark.parametrize(
    ("temperature_c", "humidity_percent", "dew_c"),
    [(20, 50, 9.26), (23, 50, 12.01), (25, 60, 16.69), (15, 85, 12.50), (30, 70, 23.93)],
)
def test_dew_point_agrees_with_the_wmo_constants(
    temperature_c: float, humidity_percent: float, dew_c: float
) -> None:
    # computed from the constants of WMO-No. 8 Annex 4.B
    assert dew_point_c(temperature_c, humidity_percent) == pytest.approx(dew_c, abs=0.005)


@pytest.mark.parametrize("temperature_c", [5, 10, 15, 20, 25, 30])
def test_dew_point_agrees_with_the_other_published_constants(temperature_c: float) -> None:
    # the pair 17.625 / 243.04 °C is published with ±0.35 °C; the two differ by under 0.05 °C
    for humidity in (30, 50, 70, 90):
        gamma = math.log(humidity / 100) + 17.625 * temperature_c / (243.04 + temperature_c)
        other = 243.04 * gamma / (17.625 - gamma)
        assert abs(dew_point_c(temperature_c, humidity) - other) < 0.05


def test_saturated_air_has_its_own_temperature_as_dew_point() -> None:
    assert dew_point_c(17.5, 100) == pytest.approx(17.5)


def test_air_without_humidity_has_no_dew_point() -> None:
    with pytest.raises(ValueError, match="no dew point"):
        dew_point_c(20, 0)


def test_the_air_of_the_test_climate_dries_once_as_fast() -> None:
    assert drying_power(Conditions(23, 50)) == pytest.approx(1)


def test_drier_and_warmer_air_dries_faster_and_wet_air_hardly_at_all() -> None:
    assert drying_power(Conditions(23, 20)) == pytest.approx(1.6)  # 0.8 / 0.5
    assert drying_power(Conditions(33, 50)) > 1.7
    assert drying_power(Conditions(23, 100)) == 0.1
    assert deficit_hpa(23, 100) == pytest.approx(0)


@pytest.mark.parametrize(
    ("conditions", "name", "words"),
    [
        (Conditions(-60, 50), "temperature", "-60 °C (-76 °F) cannot be right"),
        (Conditions(70, 50), "temperature", "70 °C (158 °F) cannot be right"),
        (Conditions(float("nan"), 50), "temperature", "cannot be right"),
        (Conditions(20, 0), "humidity", "0 % cannot be right"),
        (Conditions(20, 140), "humidity", "140 % cannot be right"),
        (Conditions(20, float("nan")), "humidity", "cannot be right"),
    ],
)
def test_a_reading_that_cannot_be_true_stops_the_plan(
    conditions: Conditions, name: str, words: str
) -> None:
    (finding,) = check_air(conditions)
    assert finding.level is Level.STOP
    assert finding.where.name == name
    assert words in finding.text
    assert "Read the" in finding.remedy


def test_the_air_of_a_cold_damp_shop_is_a_true_reading() -> None:
    assert check_air(Conditions(-10, 100)) == ()
