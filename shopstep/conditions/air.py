"""Air: saturation, dew point, how fast it takes up water, and whether a reading can be true.

Source of the constants: WMO-No. 8 (Guide to Instruments and Methods of Observation), Annex 4.B,
over water, as quoted in a weather-station manual; range −45 to 60 °C from memory. Imports
``shopstep.model``.
"""

from __future__ import annotations

import math

from shopstep.model.plan import Conditions, Finding, Level, Where
from shopstep.warmth import both_scales
from shopstep.words import figure, say

REFERENCE_C = 23.0
"""Temperature of the test climate in the scope of prEN 204 (as quoted): 23 °C, 50 %."""
REFERENCE_PERCENT = 50.0

_SCALE_HPA = 6.112
_SLOPE = 17.62
_POLE_C = 243.12
_COLDEST_C = -45.0
_WARMEST_C = 60.0


def saturation_hpa(temperature_c: float) -> float:
    """Saturation vapour pressure over water, hPa, at −45 to 60 °C."""
    return _SCALE_HPA * math.exp(_SLOPE * temperature_c / (_POLE_C + temperature_c))


def vapour_hpa(temperature_c: float, humidity_percent: float) -> float:
    """Vapour pressure in the air, hPa."""
    return saturation_hpa(temperature_c) * humidity_percent / 100


def deficit_hpa(temperature_c: float, humidity_percent: float) -> float:
    """What the air lacks to saturation, hPa; evaporation goes with it (Dalton)."""
    return saturation_hpa(temperature_c) - vapour_hpa(temperature_c, humidity_percent)


def dew_point_c(temperature_c: float, humidity_percent: float) -> float:
    """Temperature at which this air begins to wet a surface, °C.

    Raises ValueError where the humidity is not above 0 %: dry air has no dew point.
    """
    if humidity_percent <= 0:
        raise ValueError(say("air without any humidity has no dew point"))
    gamma = math.log(humidity_percent / 100) + _SLOPE * temperature_c / (_POLE_C + temperature_c)
    return _POLE_C * gamma / (_SLOPE - gamma)


def drying_power(conditions: Conditions) -> float:
    """How many times faster water leaves into this air than into 23 °C, 50 % (at least 0.1)."""
    here = deficit_hpa(conditions.temperature_c, min(conditions.humidity_percent, 100.0))
    return max(here / deficit_hpa(REFERENCE_C, REFERENCE_PERCENT), 0.1)


def check_air(conditions: Conditions) -> tuple[Finding, ...]:
    """A STOP where the reading cannot be the air of a shop, else nothing."""
    temperature, humidity = conditions.temperature_c, conditions.humidity_percent
    if not _COLDEST_C <= temperature <= _WARMEST_C:
        return (
            _stop(
                say(
                    "A shop temperature of {temperature} cannot be right.",
                    temperature=both_scales(temperature),
                ),
                "temperature",
                say(
                    "Read the thermometer again; it must lie between {coldest_c} and {warmest_c}.",
                    coldest_c=both_scales(_COLDEST_C),
                    warmest_c=both_scales(_WARMEST_C),
                ),
            ),
        )
    if not 0 < humidity <= 100:
        return (
            _stop(
                say("A humidity of {humidity} % cannot be right.", humidity=figure(humidity, "g")),
                "humidity",
                say("Read the hygrometer again; it must lie above 0 and at most at 100 %."),
            ),
        )
    return ()


def _stop(text: str, name: str, remedy: str) -> Finding:
    return Finding(Level.STOP, "air_reading", text, Where(name=name), remedy)
