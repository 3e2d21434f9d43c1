"""Times of a glue or a paint in the shop's own air.

Every adjustment goes the safe way only: warm or dry air shortens an open time, cold or damp air
lengthens a least time; what would be convenient (a longer open time in the cold, a shorter clamp
time in the warm) is never granted. Common practice, no source: no wood-glue standard states these
factors. Imports ``shopstep.model`` and this room's tables.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shopstep.conditions.air import (
    REFERENCE_C,
    REFERENCE_PERCENT,
    drying_power,
    vapour_hpa,
)
from shopstep.conditions.glues import Glue, SetsBy
from shopstep.conditions.paints import Paint
from shopstep.model.plan import Conditions

GLUE_BAND_C = (20.0, 25.0)
"""The table of glues holds from here to here as it stands; outside, rates go from the reference."""
PAINT_RISE = 2.0
"""Q10 for paints; common practice, no source."""
_OPEN_GRAIN_S = 15
_LEAST_GRAIN_S = 300
_ADJUSTED = (
    "adjusted for {t:g} °C, {h:g} % by common practice (rate doubles each 10 °C; "
    "drying goes with what the air lacks to saturation)"
)


@dataclass(frozen=True, slots=True)
class GlueTimes:
    """Times of a glue in this air, seconds."""

    open_s: int
    """Most, from spreading to closing."""
    assembly_s: int
    """Most, from spreading to full pressure."""
    clamp_s: int
    handle_s: int
    cure_s: int
    source: str


@dataclass(frozen=True, slots=True)
class PaintTimes:
    """Times of a finish in this air, seconds; each a least."""

    touch_s: int
    recoat_s: int
    through_s: int
    service_s: int | None
    source: str


def adjust_glue(glue: Glue, conditions: Conditions) -> GlueTimes:
    """The glue's times at this temperature and humidity; `check_glue` says if it works at all."""
    quick, slow = _glue_factors(glue, conditions)
    return GlueTimes(
        open_s=_shorten(glue.open_s, quick),
        assembly_s=_shorten(glue.total_assembly_s, quick),
        clamp_s=_lengthen(glue.clamp_s, slow),
        handle_s=_lengthen(glue.handle_s, slow),
        cure_s=_lengthen(glue.cure_s, slow),
        source=_source(glue.source, conditions, quick > 1 or slow > 1),
    )


def adjust_paint(paint: Paint, conditions: Conditions, tannin_wood: bool = False) -> PaintTimes:
    """The finish's times at this temperature and humidity, on a wood that may bleed tannin."""
    slow = _rate(PAINT_RISE, -(conditions.temperature_c - REFERENCE_C))
    if paint.water_borne:
        slow = max(slow, 1 / drying_power(conditions))
    slow = max(slow, 1.0)
    recoat_s = _lengthen(paint.recoat_s, slow)
    if tannin_wood and paint.tannin_recoat_s is not None:
        recoat_s = max(recoat_s, paint.tannin_recoat_s)
    return PaintTimes(
        touch_s=_lengthen(paint.touch_s, slow),
        recoat_s=recoat_s,
        through_s=_lengthen(paint.through_s, slow),
        service_s=None if paint.service_s is None else _lengthen(paint.service_s, slow),
        source=_source(paint.source, conditions, slow > 1),
    )


def _glue_factors(glue: Glue, conditions: Conditions) -> tuple[float, float]:
    """How much faster the open time runs off, how much slower it sets; each at least 1."""
    coldest, warmest = GLUE_BAND_C
    usual_air = coldest <= conditions.temperature_c <= warmest
    quick = 1.0 if usual_air else _rate(glue.rise, conditions.temperature_c - REFERENCE_C)
    slow = 1 / quick
    if glue.sets_by is SetsBy.WATER_LOSS:
        quick = max(quick, drying_power(conditions))
    if glue.sets_by is SetsBy.MOISTURE:
        damp = vapour_hpa(conditions.temperature_c, conditions.humidity_percent)
        usual = vapour_hpa(REFERENCE_C, REFERENCE_PERCENT)
        quick = max(quick, damp / usual)
        slow = max(slow, min(usual / damp, 10.0))
    return max(quick, 1.0), max(slow, 1.0)


def _rate(rise: float, degrees: float) -> float:
    return float(rise ** (degrees / 10))


def _shorten(seconds: int, factor: float) -> int:
    """Down to a whole quarter minute; below that down to a second."""
    if factor <= 1:
        return seconds
    exact = seconds / factor
    return math.floor(exact / _OPEN_GRAIN_S) * _OPEN_GRAIN_S or max(math.floor(exact), 1)


def _lengthen(seconds: int, factor: float) -> int:
    """Up to whole five minutes."""
    if factor <= 1:
        return seconds
    return math.ceil(seconds * factor / _LEAST_GRAIN_S - 1e-9) * _LEAST_GRAIN_S


def _source(source: str, conditions: Conditions, adjusted: bool) -> str:
    if not adjusted:
        return source
    note = _ADJUSTED.format(t=conditions.temperature_c, h=conditions.humidity_percent)
    return f"{source}; {note}"
