"""Whether a glue or a paint can be used in this air at all, and what the air does to its times.

Imports ``shopstep.model``, ``shopstep.units`` (words for spans) and this room.
"""

from __future__ import annotations

from shopstep.conditions.air import celsius, check_air, dew_point_c
from shopstep.conditions.glues import Glue
from shopstep.conditions.paints import Paint
from shopstep.conditions.timing import adjust_glue, adjust_paint
from shopstep.model.plan import Conditions, Finding, Level, Where
from shopstep.units import format_span

DEW_MARGIN_C = 3.0
"""Surface above dew point while painting: ISO 8502-4 (steel), here by analogy, as quoted."""
NIGHT_MARGIN_C = 3.0
"""Nearer than this to a paint's minimum, a night decides; common practice, no source."""
HOT_SURFACE_C = 32.0
"""Above it coats blister and lap; common practice, no source."""


def check_glue(glue: Glue, conditions: Conditions, outdoors: bool = True) -> tuple[Finding, ...]:
    """What speaks against this glue in this air for a thing that stands outdoors (or not)."""
    wrong_air = check_air(conditions)
    if wrong_air:
        return wrong_air
    found = [*_glue_weather(glue, outdoors), *_glue_cold(glue, conditions)]
    if not any(finding.level is Level.STOP for finding in found):
        found += _glue_times_changed(glue, conditions)
    return tuple(found)


def check_paint(
    paint: Paint, conditions: Conditions, surface_c: float | None = None
) -> tuple[Finding, ...]:
    """What speaks against this finish in this air; without ``surface_c`` the wood is as the air."""
    wrong_air = check_air(conditions)
    if wrong_air:
        return wrong_air
    surface = conditions.temperature_c if surface_c is None else surface_c
    found = [*_paint_cold(paint, min(conditions.temperature_c, surface))]
    found += _paint_dew(paint, conditions, surface)
    found += _paint_hot(paint, surface)
    if not any(finding.level is Level.STOP for finding in found):
        found += _paint_times_changed(paint, conditions)
    return tuple(found)


def _glue_weather(glue: Glue, outdoors: bool) -> list[Finding]:
    if not outdoors:
        return []
    if not glue.outdoors:
        text = f"This glue ({glue.title}) does not stand the weather."
        remedy = "Take a glue of class D4, or a polyurethane, epoxy or resorcinol glue."
        return [_finding(Level.STOP, "glue_indoor", text, glue.id, remedy)]
    if glue.sheltered_only:
        text = f"This glue ({glue.title}) stands wetting, but not open weather for long."
        remedy = "Paint the outside and keep it off the ground, or take a glue of class D4."
        return [_finding(Level.WARN, "glue_sheltered", text, glue.id, remedy)]
    return []


def _glue_cold(glue: Glue, conditions: Conditions) -> list[Finding]:
    now = conditions.temperature_c
    if now < glue.least_c:
        text = (
            f"At {celsius(now)} this glue ({glue.title}) will not bond: "
            f"it needs at least {celsius(glue.least_c)}."
        )
        remedy = "Warm the shop, the wood and the glue, or stop at the dry fit."
        return [_finding(Level.STOP, "glue_cold", text, glue.id, remedy)]
    if now < glue.sure_c:
        text = (
            f"{celsius(now)} is enough for some glues of this kind ({glue.title}); "
            f"others need {celsius(glue.sure_c)}."
        )
        remedy = "Read the label before you spread, and keep it that warm while it is clamped."
        return [_finding(Level.WARN, "glue_cool", text, glue.id, remedy)]
    return []


def _glue_times_changed(glue: Glue, conditions: Conditions) -> list[Finding]:
    times = adjust_glue(glue, conditions)
    found = []
    if times.open_s < glue.open_s:
        text = (
            f"In {_air(conditions)} this glue ({glue.title}) skins sooner: "
            f"{format_span(times.open_s)} open instead of {format_span(glue.open_s)} "
            "at 20 to 25 °C."
        )
        remedy = "Spread fewer joints at a time."
        found.append(_finding(Level.NOTE, "glue_quick", text, glue.id, remedy))
    if times.clamp_s > glue.clamp_s:
        text = (
            f"In {_air(conditions)} this glue ({glue.title}) sets later: "
            f"{format_span(times.clamp_s)} in clamps instead of {format_span(glue.clamp_s)} "
            "at 20 to 25 °C."
        )
        remedy = "Leave the clamps on, or warm the shop."
        found.append(_finding(Level.NOTE, "glue_slow", text, glue.id, remedy))
    return found


def _paint_cold(paint: Paint, coldest_c: float) -> list[Finding]:
    if coldest_c < paint.least_c:
        text = (
            f"At {celsius(coldest_c)} this finish ({paint.title}) will not form a sound film: "
            f"it needs at least {celsius(paint.least_c)}."
        )
        remedy = "Warm the shop and the wood, or paint on a warmer day."
        return [_finding(Level.STOP, "paint_cold", text, paint.id, remedy)]
    if paint.water_borne and coldest_c < paint.least_c + NIGHT_MARGIN_C:
        text = (
            f"This finish ({paint.title}) must stay at {celsius(paint.least_c)} or more "
            f"for 24 h; it is {celsius(coldest_c)} now."
        )
        remedy = "Keep the shop warm through the night (FPL-GTR-190 ch. 16)."
        return [_finding(Level.WARN, "paint_night", text, paint.id, remedy)]
    return []


def _paint_dew(paint: Paint, conditions: Conditions, surface_c: float) -> list[Finding]:
    dew = dew_point_c(conditions.temperature_c, conditions.humidity_percent)
    if surface_c <= dew:
        text = f"Water is settling on the wood: it is {celsius(surface_c)}, dew point {dew:.1f} °C."
        remedy = "Do not paint before the wood is dry and at least 3 °C above the dew point."
        return [_finding(Level.STOP, "paint_wet", text, paint.id, remedy)]
    if surface_c < dew + DEW_MARGIN_C:
        text = (
            f"The wood ({surface_c:g} °C) is less than {DEW_MARGIN_C:g} °C above the dew point "
            f"({dew:.1f} °C): damp can settle under the coat."
        )
        remedy = (
            "Warm or air the shop before painting (by analogy to ISO 8502-4, which is for steel)."
        )
        return [_finding(Level.WARN, "paint_dew", text, paint.id, remedy)]
    return []


def _paint_hot(paint: Paint, surface_c: float) -> list[Finding]:
    if surface_c <= HOT_SURFACE_C:
        return []
    text = f"The wood is {celsius(surface_c)}: this finish ({paint.title}) can blister on it."
    remedy = "Paint in the shade, not on wood that the sun heats (FPL-GTR-190 ch. 16)."
    return [_finding(Level.WARN, "paint_hot", text, paint.id, remedy)]


def _paint_times_changed(paint: Paint, conditions: Conditions) -> list[Finding]:
    times = adjust_paint(paint, conditions)
    if times.recoat_s <= paint.recoat_s:
        return []
    text = (
        f"In {_air(conditions)} this finish ({paint.title}) dries later: next coat after "
        f"{format_span(times.recoat_s)} instead of {format_span(paint.recoat_s)} at 23 °C."
    )
    remedy = "Leave it longer, or warm and air the shop."
    return [_finding(Level.NOTE, "paint_slow", text, paint.id, remedy)]


def _air(conditions: Conditions) -> str:
    return f"{celsius(conditions.temperature_c)} and {conditions.humidity_percent:g} %"


def _finding(level: Level, rule: str, text: str, name: str, remedy: str) -> Finding:
    return Finding(level, rule, text, Where(name=name), remedy)
