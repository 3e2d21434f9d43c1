"""How warm it is, on both scales: shops hang up either thermometer. Imports words alone."""

from __future__ import annotations

from shopstep.words import figure


def both_scales(temperature_c: float, form: str = "g") -> str:
    """ "9 °C (48 °F)"; ``form`` is how the degrees Celsius are written."""
    return f"{in_celsius(temperature_c, form)} ({in_fahrenheit(temperature_c)})"


def in_celsius(temperature_c: float, form: str = "g") -> str:
    """ "9 °C"."""
    return f"{figure(temperature_c, form)} °C"


def in_fahrenheit(temperature_c: float) -> str:
    """ "48 °F", to the whole degree, as thermometers show it."""
    return f"{temperature_c * 9 / 5 + 32:.0f} °F"


def steps_on_both(difference_c: float) -> str:
    """A difference, "3 °C (5 °F)": a degree Celsius is 9/5 of a degree Fahrenheit."""
    return f"{in_celsius(difference_c)} ({difference_c * 9 / 5:.0f} °F)"
