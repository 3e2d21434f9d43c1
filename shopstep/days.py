"""Days and times of day as people read them: our own form in English, else the place's.

The moments that come in are in the shop's own time already. Imports the words; what knows other
places (``local_forms``) is loaded only where one is chosen.
"""

from __future__ import annotations

from datetime import date, datetime

from shopstep.words import manner

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip


def day_text(day: date) -> str:
    """A day with its year: "Wed 26 Nov 2025"."""
    return _local(day, "yMMMEd") or f"{near_day(day)} {day.year}"


def near_day(day: date) -> str:
    """A day of these weeks: "Wed 26 Nov"."""
    return _local(day, "MMMEd") or f"{weekday(day)} {day.day} {MONTHS[day.month - 1][:3]}"


def short_day(day: date) -> str:
    """As short as can be: "3 May"."""
    return _local(day, "Md") or f"{day.day} {MONTHS[day.month - 1][:3]}"


def month_day(day: date) -> str:
    """A day with its month in full: "3 January"."""
    return _local(day, "MMMMd") or f"{day.day} {MONTHS[day.month - 1]}"


def weekday(day: date) -> str:
    """The short name: "Thu"."""
    return weekday_name(day.weekday())


def weekday_name(number: int) -> str:
    """The short name of a day of the week, Monday = 0."""
    return _local(date(2024, 1, 1 + number), "E") or WEEKDAYS[number][:3]


def long_weekday(day: date) -> str:
    """The whole name: "Thursday"."""
    return _local(day, "EEEE") or WEEKDAYS[day.weekday()]


def time_text(at: datetime) -> str:
    """A time of day with two digits for the hour: "08:05"."""
    return _local_time(at) or f"{at:%H:%M}"


def spoken_time(at: datetime) -> str:
    """A time of day as in a sentence: "8:05"."""
    return _local_time(at) or f"{at.hour}:{at.minute:02d}"


def minute_text(minute: int) -> str:
    """A minute after midnight: "18:30"."""
    hour, rest = divmod(minute, 60)
    return _local_time(datetime(2024, 1, 1, hour % 24, rest)) or f"{hour:02d}:{rest:02d}"  # noqa: DTZ001


def _local(day: date, skeleton: str) -> str:
    place = manner().dates
    if not place:
        return ""
    from shopstep.local_forms import day_form

    return day_form(day, place, skeleton)


def _local_time(at: datetime) -> str:
    place = manner().dates
    if not place:
        return ""
    from shopstep.local_forms import time_form

    return time_form(at, place)
