"""Temperatures and humidities as people type them; pint does the units, and loads late.

Imports ``units`` only.
"""

from __future__ import annotations

import re

from shopstep.units import UnitError
from shopstep.words import say

_TYPED = re.compile(r"\s*([-+]?\d+(?:\.\d+)?)\s*(?:°|deg\s*|degrees\s*)?([A-Za-z]*)\s*")
_NAMES = {"c": "degC", "celsius": "degC", "f": "degF", "fahrenheit": "degF", "k": "kelvin"}


def parse_temperature(text: str) -> float:
    """Degrees Celsius from "9 C", "48 F" or "9" (Celsius); UnitError otherwise."""
    match = _TYPED.fullmatch(text)
    unit = _NAMES.get(match.group(2).lower() or "c") if match else None
    if match is None or unit is None:
        raise UnitError(say("'{text}' is no temperature; write for example 9 C or 48 F", text=text))
    celsius = float(match.group(1)) if unit == "degC" else _convert(float(match.group(1)), unit)
    if not -40 <= celsius <= 60:
        raise UnitError(
            say("'{text}' is no temperature of a shop; -40 C to 60 C is possible", text=text)
        )
    return round(celsius, 2)


def _convert(value: float, unit: str) -> float:
    import pint

    registry: pint.UnitRegistry[float] = pint.UnitRegistry()
    return float(registry.Quantity(value, unit).to("degC").magnitude)


def parse_humidity(text: str) -> float:
    """Percent relative humidity from "60", "60 %" or "60%"; UnitError otherwise."""
    match = re.fullmatch(r"\s*(\d+(?:\.\d+)?)\s*(%|percent)?\s*", text)
    if match is None or not 1 <= float(match.group(1)) <= 100:
        raise UnitError(
            say("'{text}' is no relative humidity; write for example 60 %, 1 to 100", text=text)
        )
    return float(match.group(1))
