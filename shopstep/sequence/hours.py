"""Opening hours of the shop as spans of UTC seconds, and the evenings that a schedule uses.

Hours are local wall-clock hours in an IANA zone, so a span is longer or shorter by the hour where
the clock changes inside it. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from shopstep.model.plan import Calendar, Finding, Level, Where
from shopstep.model.step import Step

_DAY_MIN = 24 * 60


@dataclass(frozen=True, slots=True)
class Evening:
    """One opening of the shop that has work in it."""

    date: date
    """Local date."""
    opens_s: int
    closes_s: int
    steps: tuple[Step, ...]
    """By start."""


def check_calendar(calendar: Calendar) -> tuple[Finding, ...]:
    """A STOP for hours in which nothing can be planned, else nothing."""
    try:
        ZoneInfo(calendar.zone)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return (
            _stop(
                f"There is no time zone '{calendar.zone}'.",
                "Write an IANA name, for example Europe/Dublin or America/Denver.",
            ),
        )
    if not 0 <= calendar.opens_min < calendar.closes_min <= _DAY_MIN:
        return (
            _stop(
                f"The shop opens at {_clock(calendar.opens_min)} and closes at "
                f"{_clock(calendar.closes_min)}.",
                "Closing must come after opening, on the same day.",
            ),
        )
    if not calendar.days or not set(calendar.days) <= set(range(7)):
        return (
            _stop(
                "The shop has no day on which it is open.",
                "Name at least one weekday, Monday = 0 to Sunday = 6.",
            ),
        )
    return ()


def opening_on(calendar: Calendar, day: date) -> tuple[int, int]:
    """Start and end of the shop's hours on a local date, in UTC seconds; the weekday is not asked.

    An hour that the clock skips counts as the hour after it, one that it repeats as the first.
    """
    zone = ZoneInfo(calendar.zone)
    return _at(day, calendar.opens_min, zone), _at(day, calendar.closes_min, zone)


def longest_opening_s(calendar: Calendar) -> int:
    """Seconds of an ordinary opening, without a change of the clock."""
    return (calendar.closes_min - calendar.opens_min) * 60


def _at(day: date, minute: int, zone: ZoneInfo) -> int:
    days, rest = divmod(minute, _DAY_MIN)
    local = datetime(day.year, day.month, day.day, rest // 60, rest % 60, tzinfo=zone)
    if days:
        next_day = day + timedelta(days=days)
        local = local.replace(year=next_day.year, month=next_day.month, day=next_day.day)
    return int(local.timestamp())


def _local_date(moment_s: int, zone: str) -> date:
    return datetime.fromtimestamp(moment_s, UTC).astimezone(ZoneInfo(zone)).date()


class Hours:
    """The openings of the shop from a moment on, worked out as far as they are asked for."""

    def __init__(self, calendar: Calendar, begin_s: int) -> None:
        self._calendar = calendar
        self._day = _local_date(begin_s, calendar.zone)
        self._spans: list[tuple[int, int]] = []
        self.longest_s = longest_opening_s(calendar)
        """An ordinary opening, without a change of the clock."""

    def span(self, number: int) -> tuple[int, int]:
        """The opening of that number, from 0."""
        while len(self._spans) <= number:
            if self._day.weekday() in self._calendar.days:
                self._add(opening_on(self._calendar, self._day))
            self._day += timedelta(days=1)
        return self._spans[number]

    def _add(self, span: tuple[int, int]) -> None:
        if span[0] < span[1]:
            self._spans.append(span)

    def fit(self, earliest_s: int, length_s: int, number: int = 0) -> tuple[int, int]:
        """First start not before ``earliest_s`` at which ``length_s`` lies inside one opening.

        Returns the start and the number of that opening; search begins at opening ``number``.
        The length must not be longer than every opening: compare with ``longest_s``.
        """
        while True:
            opens, closes = self.span(number)
            start = max(opens, earliest_s)
            if start + length_s <= closes:
                return start, number
            number += 1


def evenings(steps: Iterable[Step], calendar: Calendar) -> tuple[Evening, ...]:
    """The local days that have work in them, in order, each with its hours and steps."""
    by_day: dict[date, list[Step]] = {}
    for step in sorted(steps, key=lambda step: step.start_s):
        by_day.setdefault(_local_date(step.start_s, calendar.zone), []).append(step)
    return tuple(
        Evening(day, *opening_on(calendar, day), tuple(found)) for day, found in by_day.items()
    )


def _clock(minute: int) -> str:
    return f"{minute // 60:02d}:{minute % 60:02d}"


def _stop(text: str, remedy: str) -> Finding:
    return Finding(Level.STOP, "calendar", text, Where(name="shop hours"), remedy)
