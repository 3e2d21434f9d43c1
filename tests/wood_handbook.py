"""Other forms of the Wood Handbook's equations, to hold the program's own against.

Fahrenheit form of eq. 4-5 (FPL-GTR-190); coefficients of change, chapter 13 and table 13-5.
"""

from __future__ import annotations

from fractions import Fraction

from shopstep.units import Length

FIBRE_SATURATION_PERCENT = 30.0
_FAHRENHEIT = (
    (330.0, 0.452, 0.00415),
    (0.791, 0.000463, -0.000000844),
    (6.34, 0.000775, -0.0000935),
    (1.09, 0.0284, -0.0000904),
)


def moisture_percent_f(temperature_f: float, humidity_percent: float) -> float:
    """Moisture content that wood comes to in this air, percent."""
    w, k, k1, k2 = (a + b * temperature_f + c * temperature_f**2 for a, b, c in _FAHRENHEIT)
    kh = k * humidity_percent / 100
    bound = k1 * kh
    second = k1 * k2 * kh**2
    return 1800 / w * (kh / (1 - kh) + (bound + 2 * second) / (1 + bound + second))


def change_coefficient(shrinkage_percent: float) -> float:
    """Change per unit of width and percent of moisture at 10 %, from green-to-ovendry shrinkage."""
    return 1 / (FIBRE_SATURATION_PERCENT * 100 / shrinkage_percent - 30 + 10)


def change_across(width: Length, coefficient: float, from_mc: float, to_mc: float) -> Length:
    """How much a board's width grows, ΔD = D · C · (M2 − M1); it holds from 6 to 14 %."""
    return width.times(Fraction(coefficient * (to_mc - from_mc)))
