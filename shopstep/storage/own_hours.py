"""Spans of hours, days with hours of their own and the air outdoors, as a settings file says them.

Imports ``model`` and the reading of temperatures.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date

from shopstep.model.plan import Conditions, OtherDay
from shopstep.quantities import parse_humidity, parse_temperature
from shopstep.words import say

CLOSED = "closed"
_HOURS = re.compile(r"([01]\d|2[0-3]):([0-5]\d)-([01]\d|2[0-3]):([0-5]\d)")


def read_hours(text: str) -> tuple[int, int]:
    """Minutes of the day in "08:00-16:00"; ValueError with a sentence."""
    found = _HOURS.fullmatch(text.strip())
    if found is None:
        raise ValueError(
            say("'{text}' is no span of hours; write for example 08:00-16:00", text=text)
        )
    first_h, first_min, last_h, last_min = (int(part) for part in found.groups())
    first, last = first_h * 60 + first_min, last_h * 60 + last_min
    if last <= first:
        raise ValueError(
            say("'{text}' ends before it begins; write for example 08:00-16:00", text=text)
        )
    return first, last


def read_own_days(told: Mapping[str, str], quiet_from_min: int | None) -> tuple[OtherDay, ...]:
    """Days with hours of their own, by date; ValueError for what is no date or no span."""
    return tuple(_own_day(day, text, quiet_from_min) for day, text in sorted(told.items()))


def _own_day(day: str, text: str, quiet_from_min: int | None) -> OtherDay:
    try:
        local = date.fromisoformat(day)
    except ValueError:
        raise ValueError(say("'{day}' is no date; write for example 2026-01-10", day=day)) from None
    if text.strip() == CLOSED:
        return OtherDay(local.isoformat(), None, None)
    opens, closes = read_hours(text)
    quiet = quiet_from_min if quiet_from_min is None else max(quiet_from_min, opens)
    return OtherDay(local.isoformat(), opens, closes, quiet)


def read_outdoor_air(temperature: str, humidity: str, night: str) -> Conditions | None:
    """The air outdoors; None where nothing is said; ValueError where only half of it is."""
    if not (temperature or humidity or night):
        return None
    if not (temperature and humidity):
        raise ValueError(
            say("outdoor_temperature and outdoor_humidity belong together; write both")
        )
    return Conditions(
        parse_temperature(temperature),
        parse_humidity(humidity),
        parse_temperature(night) if night else None,
    )
