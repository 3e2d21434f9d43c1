"""Wood and moisture: equilibrium moisture content and how boards move with it.

Sources: *Wood Handbook*, eq. 4-5 (FPL-GTR-282, 2021, p. 4-3, as quoted; checked against FPL-GTR-190
table 4-2) and chapter 13. Imports nothing of the project.
"""

from __future__ import annotations

_Curve = tuple[float, float, float]

_CELSIUS: tuple[_Curve, _Curve, _Curve, _Curve] = (
    (349.0, 1.29, 0.0135),
    (0.805, 0.000736, -0.00000273),
    (6.27, -0.00938, -0.000303),
    (1.91, 0.0407, -0.000293),
)
_FIBRE_SATURATION_PERCENT = 30.0
"""Above this moisture content wood no longer moves (the 30 of the chapter 13 equation)."""


def moisture_percent(temperature_c: float, humidity_percent: float) -> float:
    """Moisture content that wood comes to in this air, percent (eq. 4-5, Celsius form)."""
    return _equilibrium(_CELSIUS, temperature_c, humidity_percent)


def _equilibrium(
    curves: tuple[_Curve, _Curve, _Curve, _Curve], temperature: float, humidity_percent: float
) -> float:
    w, k, k1, k2 = (a + b * temperature + c * temperature**2 for a, b, c in curves)
    kh = k * humidity_percent / 100
    first = kh / (1 - kh)
    bound = k1 * kh
    second = k1 * k2 * kh**2
    return 1800 / w * (first + (bound + 2 * second) / (1 + bound + second))


def change_share(shrinkage_percent: float, from_mc: float, to_mc: float) -> float:
    """Growth between two moisture contents as a share of the width; negative: it shrinks.

    The general equation, (M2 − M1) / (3000/S − 30 + M1), chapter 13; more than 30 % counts as 30 %.
    """
    start = min(from_mc, _FIBRE_SATURATION_PERCENT)
    end = min(to_mc, _FIBRE_SATURATION_PERCENT)
    return (end - start) / (3000 / shrinkage_percent - 30 + start)
