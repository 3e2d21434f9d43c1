"""Work outdoors: only while it is light, inside the shop's own hours.

When it is light is told by the keeper; nothing here knows where the sun stands. Imports
``shopstep.model`` and this room's openings.
"""

from __future__ import annotations

from collections.abc import Container, Iterable
from dataclasses import dataclass

from shopstep.days import minute_text
from shopstep.model.plan import Calendar, Finding, Level, Shop, Where
from shopstep.model.step import Step
from shopstep.sequence.openings import Opening, local_date, work_on
from shopstep.units import format_span
from shopstep.words import say


@dataclass(frozen=True, slots=True)
class LightWork:
    """Work outdoors inside something that is laid as one, in seconds from its start."""

    start_s: int
    end_s: int


def light_work(steps: Iterable[tuple[Step, int]]) -> LightWork | None:
    """Where work outdoors lies, of steps with their offsets; None where there is none."""
    found = [(offset, offset + step.duration_s) for step, offset in steps if step.outdoors]
    if not found:
        return None
    return LightWork(min(start for start, _ in found), max(end for _, end in found))


def light_starts(opening: Opening, light: LightWork | None) -> tuple[int, int] | None:
    """Earliest and latest start at which all work outdoors is in the light; None: any will do."""
    if light is None or opening.light is None:
        return None
    dawn_s, dusk_s = opening.light
    return dawn_s - light.start_s, dusk_s - light.end_s


def is_dark(opening: Opening, start_s: int, light: LightWork | None) -> bool:
    """Whether work outdoors that is laid there is in the dark."""
    starts = light_starts(opening, light)
    return starts is not None and not starts[0] <= start_s <= starts[1]


def ask_daylight(steps: Iterable[Step], shop: Shop) -> tuple[Finding, ...]:
    """A WARN where something is done outdoors and nobody said when it is light."""
    outside = next((step for step in steps if step.outdoors), None)
    if outside is None or shop.calendar.daylight is not None:
        return ()
    text = say(
        "'{outside_id}' is done outdoors, and the settings do not say when it is light.",
        outside_id=outside.id,
    )
    remedy = say(
        'It is planned for any hour. Write daylight = "08:00-16:00" under '
        "[shops.{shop_name}], with your own hours.",
        shop_name=shop.name,
    )
    return (Finding(Level.WARN, "daylight_unknown", text, Where(name=outside.id), remedy),)


def first_in_the_dark(steps: Iterable[Step], calendar: Calendar, fixed: Container[str]) -> Step:
    """The first step outdoors that lies in the dark; StopIteration where none does."""
    return next(
        step
        for step in steps
        if step.outdoors
        and step.id not in fixed
        and is_dark(
            work_on(calendar, local_date(step.start_s, calendar.zone)),
            step.start_s,
            LightWork(0, step.duration_s),
        )
    )


def never_light(step: Step, calendar: Calendar, level: Level) -> Finding:
    """Work outdoors and the shop's hours do not meet: step, daylight, hours, and what to do."""
    dawn, dusk = calendar.daylight or (0, 0)
    text = say(
        "'{step_id}' is done outdoors and takes {duration}; it is light from "
        "{clock} to {clock_2}, and the shop is open from {clock_3} "
        "to {clock_4}.",
        step_id=step.id,
        duration=format_span(step.duration_s),
        clock=minute_text(dawn),
        clock_2=minute_text(dusk),
        clock_3=minute_text(calendar.opens_min),
        clock_4=minute_text(calendar.closes_min),
    )
    remedy = say(
        "Open the shop while it is light, for example on a Saturday morning: own_days in the "
        "settings. Or do it indoors."
    )
    return Finding(level, "daylight", text, Where(name=step.id), remedy)
