"""Whether a glue or a paint can be used in this air at all, and what the air does to its times.

Imports ``shopstep.model``, ``shopstep.units`` (words for spans) and this room.
"""

from __future__ import annotations

from shopstep.conditions.air import check_air, dew_point_c
from shopstep.conditions.glues import Glue
from shopstep.conditions.paints import Paint
from shopstep.conditions.timing import adjust_glue, adjust_paint
from shopstep.model.plan import Conditions, Finding, Level, Where
from shopstep.units import format_span
from shopstep.warmth import both_scales, steps_on_both
from shopstep.words import figure, say

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
        text = say(
            "This glue ({glue_title}) does not stand the weather.", glue_title=say(glue.title)
        )
        remedy = say("Take a glue of class D4, or a polyurethane, epoxy or resorcinol glue.")
        return [_finding(Level.STOP, "glue_indoor", text, glue.id, remedy)]
    if glue.sheltered_only:
        text = say(
            "This glue ({glue_title}) stands wetting, but not open weather for long.",
            glue_title=say(glue.title),
        )
        remedy = say("Paint the outside and keep it off the ground, or take a glue of class D4.")
        return [_finding(Level.WARN, "glue_sheltered", text, glue.id, remedy)]
    return []


def _glue_cold(glue: Glue, conditions: Conditions) -> list[Finding]:
    now = conditions.temperature_c
    if now < glue.least_c:
        text = say(
            "At {celsius} this glue ({glue_title}) will not bond: it needs at least {celsius_2}.",
            celsius=both_scales(now),
            glue_title=say(glue.title),
            celsius_2=both_scales(glue.least_c),
        )
        remedy = say("Warm the shop, the wood and the glue, or stop at the dry fit.")
        return [_finding(Level.STOP, "glue_cold", text, glue.id, remedy)]
    if now < glue.sure_c:
        text = say(
            "{celsius} is enough for some glues of this kind ({glue_title}); "
            "others need {celsius_2}.",
            celsius=both_scales(now),
            glue_title=say(glue.title),
            celsius_2=both_scales(glue.sure_c),
        )
        remedy = say("Read the label before you spread, and keep it that warm while it is clamped.")
        return [_finding(Level.WARN, "glue_cool", text, glue.id, remedy)]
    return []


def _glue_times_changed(glue: Glue, conditions: Conditions) -> list[Finding]:
    times = adjust_glue(glue, conditions)
    found = []
    if times.open_s < glue.open_s:
        text = say(
            "In {air} this glue ({glue_title}) skins sooner: "
            "{open} open instead of {open_2} "
            "at 20 to 25 °C (68 to 77 °F).",
            air=_air(conditions),
            glue_title=say(glue.title),
            open=format_span(times.open_s),
            open_2=format_span(glue.open_s),
        )
        remedy = say("Spread fewer joints at a time.")
        found.append(_finding(Level.NOTE, "glue_quick", text, glue.id, remedy))
    if times.clamp_s > glue.clamp_s:
        text = say(
            "In {air} this glue ({glue_title}) sets later: "
            "{clamp} in clamps instead of {clamp_2} "
            "at 20 to 25 °C (68 to 77 °F).",
            air=_air(conditions),
            glue_title=say(glue.title),
            clamp=format_span(times.clamp_s),
            clamp_2=format_span(glue.clamp_s),
        )
        remedy = say("Leave the clamps on, or warm the shop.")
        found.append(_finding(Level.NOTE, "glue_slow", text, glue.id, remedy))
    return found


def _paint_cold(paint: Paint, coldest_c: float) -> list[Finding]:
    if coldest_c < paint.least_c:
        text = say(
            "At {celsius} this finish ({paint_title}) will not form a sound film: "
            "it needs at least {celsius_2}.",
            celsius=both_scales(coldest_c),
            paint_title=say(paint.title),
            celsius_2=both_scales(paint.least_c),
        )
        remedy = say("Warm the shop and the wood, or paint on a warmer day.")
        return [_finding(Level.STOP, "paint_cold", text, paint.id, remedy)]
    if paint.water_borne and coldest_c < paint.least_c + NIGHT_MARGIN_C:
        text = say(
            "This finish ({paint_title}) must stay at {celsius} or more "
            "for 24 h; it is {celsius_2} now.",
            paint_title=say(paint.title),
            celsius=both_scales(paint.least_c),
            celsius_2=both_scales(coldest_c),
        )
        remedy = say("Keep the shop warm through the night (FPL-GTR-190 ch. 16).")
        return [_finding(Level.WARN, "paint_night", text, paint.id, remedy)]
    return []


def _paint_dew(paint: Paint, conditions: Conditions, surface_c: float) -> list[Finding]:
    dew = dew_point_c(conditions.temperature_c, conditions.humidity_percent)
    if surface_c <= dew:
        text = say(
            "Water is settling on the wood: it is {celsius}, dew point {dew}.",
            celsius=both_scales(surface_c),
            dew=both_scales(dew, ".1f"),
        )
        remedy = say(
            "Do not paint before the wood is dry and at least {dew_margin_c} above the dew point.",
            dew_margin_c=steps_on_both(DEW_MARGIN_C),
        )
        return [_finding(Level.STOP, "paint_wet", text, paint.id, remedy)]
    if surface_c < dew + DEW_MARGIN_C:
        text = say(
            "The wood, {surface_c}, is less than {dew_margin_c} above the dew point, "
            "{dew}: damp can settle under the coat.",
            surface_c=both_scales(surface_c),
            dew_margin_c=steps_on_both(DEW_MARGIN_C),
            dew=both_scales(dew, ".1f"),
        )
        remedy = say(
            "Warm or air the shop before painting (by analogy to ISO 8502-4, which is for steel)."
        )
        return [_finding(Level.WARN, "paint_dew", text, paint.id, remedy)]
    return []


def _paint_hot(paint: Paint, surface_c: float) -> list[Finding]:
    if surface_c <= HOT_SURFACE_C:
        return []
    text = say(
        "The wood is {celsius}: this finish ({paint_title}) can blister on it.",
        celsius=both_scales(surface_c),
        paint_title=say(paint.title),
    )
    remedy = say("Paint in the shade, not on wood that the sun heats (FPL-GTR-190 ch. 16).")
    return [_finding(Level.WARN, "paint_hot", text, paint.id, remedy)]


def _paint_times_changed(paint: Paint, conditions: Conditions) -> list[Finding]:
    times = adjust_paint(paint, conditions)
    if times.recoat_s <= paint.recoat_s:
        return []
    text = say(
        "In {air} this finish ({paint_title}) dries later: next coat after "
        "{recoat} instead of {recoat_2} at 23 °C (73 °F).",
        air=_air(conditions),
        paint_title=say(paint.title),
        recoat=format_span(times.recoat_s),
        recoat_2=format_span(paint.recoat_s),
    )
    remedy = say("Leave it longer, or warm and air the shop.")
    return [_finding(Level.NOTE, "paint_slow", text, paint.id, remedy)]


def _air(conditions: Conditions) -> str:
    return say(
        "{celsius} and {humidity_percent} %",
        celsius=both_scales(conditions.temperature_c),
        humidity_percent=figure(conditions.humidity_percent, "g"),
    )


def _finding(level: Level, rule: str, text: str, name: str, remedy: str) -> Finding:
    return Finding(level, rule, text, Where(name=name), remedy)
