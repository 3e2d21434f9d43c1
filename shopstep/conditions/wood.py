"""Wood and moisture: equilibrium moisture content and how boards move with it.

Sources: *Wood Handbook*, eq. 4-5 (FPL-GTR-282, 2021, p. 4-3, as quoted; checked against FPL-GTR-190
table 4-2) and chapter 13; FPL-RP-489 for lumber bought green. Imports ``shopstep.units``.
"""

from __future__ import annotations

from fractions import Fraction

from shopstep.units import Length
from shopstep.words import say

_Curve = tuple[float, float, float]

_CELSIUS: tuple[_Curve, _Curve, _Curve, _Curve] = (
    (349.0, 1.29, 0.0135),
    (0.805, 0.000736, -0.00000273),
    (6.27, -0.00938, -0.000303),
    (1.91, 0.0407, -0.000293),
)
_FAHRENHEIT: tuple[_Curve, _Curve, _Curve, _Curve] = (
    (330.0, 0.452, 0.00415),
    (0.791, 0.000463, -0.000000844),
    (6.34, 0.000775, -0.0000935),
    (1.09, 0.0284, -0.0000904),
)
_FIBRE_SATURATION_PERCENT = 30.0
"""Above this moisture content wood no longer moves (the 30 of the chapter 13 equation)."""
_LEAST_GREEN_RULE, _MOST_GREEN_RULE = 8.0, 19.0


def moisture_percent(temperature_c: float, humidity_percent: float) -> float:
    """Moisture content that wood comes to in this air, percent (eq. 4-5, Celsius form)."""
    return _equilibrium(_CELSIUS, temperature_c, humidity_percent)


def moisture_percent_f(temperature_f: float, humidity_percent: float) -> float:
    """The same from degrees Fahrenheit, by the Fahrenheit form of eq. 4-5."""
    return _equilibrium(_FAHRENHEIT, temperature_f, humidity_percent)


def _equilibrium(
    curves: tuple[_Curve, _Curve, _Curve, _Curve], temperature: float, humidity_percent: float
) -> float:
    w, k, k1, k2 = (a + b * temperature + c * temperature**2 for a, b, c in curves)
    kh = k * humidity_percent / 100
    first = kh / (1 - kh)
    bound = k1 * kh
    second = k1 * k2 * kh**2
    return 1800 / w * (first + (bound + 2 * second) / (1 + bound + second))


def change_coefficient(shrinkage_percent: float) -> float:
    """Change per unit of width and percent of moisture, from green-to-ovendry shrinkage.

    The chapter 13 equation at 10 % moisture content; it gives the printed table 13-5 values for
    most woods.
    """
    return 1 / (_FIBRE_SATURATION_PERCENT * 100 / shrinkage_percent - 30 + 10)


def change_across(width: Length, coefficient: float, from_mc: float, to_mc: float) -> Length:
    """How much a board's width grows (or shrinks: negative) between two moisture contents.

    ΔD = D · C · (M2 − M1), chapter 13; ValueError outside its range of 6 to 14 %.
    """
    if not (6 <= from_mc <= 14 and 6 <= to_mc <= 14):
        raise ValueError(
            say("the coefficient holds from 6 to 14 % moisture; use change_from_shrinkage")
        )
    return width.times(Fraction(coefficient * (to_mc - from_mc)))


def change_from_shrinkage(
    width: Length, shrinkage_percent: float, from_mc: float, to_mc: float
) -> Length:
    """The same by the general equation, for any moisture contents up to 30 %.

    ΔD = D · (M2 − M1) / (3000/S − 30 + M1), chapter 13; more than 30 % counts as 30 %.
    """
    return width.times(Fraction(change_share(shrinkage_percent, from_mc, to_mc)))


def change_share(shrinkage_percent: float, from_mc: float, to_mc: float) -> float:
    """The change of ``change_from_shrinkage`` as a share of the width; negative: it shrinks."""
    start = min(from_mc, _FIBRE_SATURATION_PERCENT)
    end = min(to_mc, _FIBRE_SATURATION_PERCENT)
    return (end - start) / (3000 / shrinkage_percent - 30 + start)


def green_shrinkage_percent(moisture_content: float) -> tuple[float, float]:
    """Shrinkage of green softwood lumber down to a moisture content: of width, of thickness.

    FPL-RP-489, on the basis of PS 20-70; ValueError outside its range of 8 to 19 %.
    """
    if not _LEAST_GREEN_RULE <= moisture_content <= _MOST_GREEN_RULE:
        raise ValueError(say("the shrinkage of green lumber is known from 8 to 19 % moisture only"))
    return 6.031 - 0.215 * moisture_content, 5.062 - 0.181 * moisture_content
