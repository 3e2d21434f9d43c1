"""What a cold night does to glue in clamps and paint that is not dry.

Imports ``shopstep.model`` and this room's tables.
"""

from __future__ import annotations

from shopstep.conditions.glues import Glue
from shopstep.conditions.paints import Paint
from shopstep.model.plan import Conditions, Finding, Level, Where
from shopstep.warmth import both_scales
from shopstep.words import say


def check_glue_night(glue: Glue, conditions: Conditions) -> tuple[Finding, ...]:
    """A warning where the night is colder than the glue bonds at: it has to set before, or inside.

    The coldest of wood, glue and night governs (common practice, no source).
    """
    night = conditions.night_c
    if night is None or night >= glue.least_c or conditions.temperature_c < glue.least_c:
        return ()
    text = say(
        "In the night it is {celsius}, and this glue ({glue_title}) sets above {celsius_2} only.",
        celsius=both_scales(night),
        glue_title=say(glue.title),
        celsius_2=both_scales(glue.least_c),
    )
    remedy = say("Keep what is in clamps in a warm room till morning, or glue early in the day.")
    return (Finding(Level.WARN, "glue_night", text, Where(name=glue.id), remedy),)


def check_paint_night(paint: Paint, conditions: Conditions) -> tuple[Finding, ...]:
    """A stop where a water-borne finish would be colder than it may be within the next 24 h.

    FPL-GTR-190 ch. 16: latex paint wants 10 °C or more for 24 h after it is put on. Where other
    finishes dry too cold it is a warning (common practice, no source).
    """
    night = conditions.night_c
    if night is None or night >= paint.least_c or conditions.temperature_c < paint.least_c:
        return ()
    text = say(
        "In the night it is {celsius} where the paint dries, and this finish "
        "({paint_title}) wants {celsius_2} or more for 24 h.",
        celsius=both_scales(night),
        paint_title=say(paint.title),
        celsius_2=both_scales(paint.least_c),
    )
    remedy = say("Let it dry in a warm room (and say so: --night), or paint on a warmer day.")
    level = Level.STOP if paint.water_borne else Level.WARN
    return (Finding(level, "paint_cold_night", text, Where(name=paint.id), remedy),)
