"""Opening hours of the shop as spans of UTC seconds, and the evenings that a schedule uses.

Hours are local wall-clock hours in an IANA zone, so a span is longer or shorter by the hour where
the clock changes inside it. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from shopstep.days import minute_text
from shopstep.model.plan import Calendar, Finding, Level, Where
from shopstep.model.resources import HelperTime
from shopstep.model.step import Step
from shopstep.sequence.daylight import LightWork, light_starts
from shopstep.sequence.helping import Spans, helped_start, helper_after_opening, helper_on
from shopstep.sequence.openings import (
    MachineWork,
    Opening,
    is_open_on,
    last_own_s,
    last_start_s,
    local_date,
    opening_on,
    ordinary,
    work_on,
)
from shopstep.words import say

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
                say("There is no time zone '{zone}'.", zone=calendar.zone),
                say("Write an IANA name, for example Europe/Dublin or America/Denver."),
            ),
        )
    if not 0 <= calendar.opens_min < calendar.closes_min <= _DAY_MIN:
        return (
            _stop(
                say(
                    "The shop opens at {clock} and closes at {clock_2}.",
                    clock=minute_text(calendar.opens_min),
                    clock_2=minute_text(calendar.closes_min),
                ),
                say("Closing must come after opening, on the same day."),
            ),
        )
    found = _check_margins(calendar)
    if found:
        return found
    if not calendar.days or not set(calendar.days) <= set(range(7)):
        return (
            _stop(
                say("The shop has no day on which it is open."),
                say("Name at least one weekday, Monday = 0 to Sunday = 6."),
            ),
        )
    return ()


_NIGHT_ENDS_MIN = 4 * 60
"""Clocks are changed before this minute of the day."""


def longest_ever_s(calendar: Calendar) -> int:
    """Seconds of work that no opening exceeds, on whatever day, clock changes in the night too."""
    told = [
        (other.opens_min, other.closes_min)
        for other in calendar.other_days
        if other.opens_min is not None and other.closes_min is not None
    ]
    margins_s = (calendar.start_up_min + calendar.clean_up_min) * 60
    return max(
        (closes - opens) * 60 - margins_s + (3600 if opens < _NIGHT_ENDS_MIN else 0)
        for opens, closes in ((calendar.opens_min, calendar.closes_min), *told)
    )


def longest_machine_s(calendar: Calendar) -> int:
    """Seconds of machine work in an ordinary opening."""
    opening = ordinary(calendar)
    return opening.machines_s - opening.opens_s


def _check_margins(calendar: Calendar) -> tuple[Finding, ...]:
    """Start-up, clean-up and quiet hours must leave time to work."""
    margins = (calendar.start_up_min, calendar.clean_up_min)
    if min(margins) < 0 or longest_opening_s(calendar) <= 0:
        text = say(
            "Start-up of {margins} min and clean-up of {margins_2} min leave no time.",
            margins=margins[0],
            margins_2=margins[1],
        )
        return (_stop(text, say("Open the shop longer, or take less time for them.")),)
    quiet = calendar.quiet_from_min
    if quiet is not None and not calendar.opens_min < quiet <= _DAY_MIN:
        text = say(
            "Machines are to be quiet from {clock}, before the shop opens.",
            clock=minute_text(quiet),
        )
        return (_stop(text, say("Choose a time after opening, or leave it out.")),)
    return ()


def longest_opening_s(calendar: Calendar) -> int:
    """Seconds of work in an ordinary opening, without a change of the clock."""
    opening = ordinary(calendar)
    return opening.closes_s - opening.opens_s


class Hours:
    """The openings of the shop from a moment on, worked out as far as they are asked for."""

    def __init__(
        self, calendar: Calendar, begin_s: int, helper: tuple[HelperTime, ...] = ()
    ) -> None:
        self._calendar = calendar
        self.helper = helper
        """When a second pair of hands is there; empty: nobody says, so it is not asked."""
        self._day = local_date(begin_s, calendar.zone)
        self._spans: list[Opening] = []
        self._own_end_s = last_own_s(calendar)
        self.longest_s = longest_opening_s(calendar)
        """An ordinary opening, without a change of the clock."""
        self.most_s = longest_ever_s(calendar)
        """The longest opening on any day."""
        self._begin_day = self._day

    def span(self, number: int) -> Opening:
        """The opening of that number, from 0."""
        while len(self._spans) <= number:
            if is_open_on(self._calendar, self._day):
                times = helper_on(self.helper, self._calendar.zone, self._day)
                self._add(replace(work_on(self._calendar, self._day), helper=times))
            self._day += timedelta(days=1)
        return self._spans[number]

    def _add(self, opening: Opening) -> None:
        if opening.opens_s < opening.closes_s:
            self._spans.append(opening)

    def can_hold(
        self,
        length_s: int,
        machine: MachineWork | None,
        light: LightWork | None = None,
        helped: Spans = (),
    ) -> bool:
        """Whether an ordinary opening holds it: machines end early enough, it is light, help is
        there."""
        first, last = _starts(ordinary(self._calendar), length_s, machine, light)
        if not helped:
            return first <= last
        times = (helper_after_opening(self.helper, self._calendar, d) for d in self._calendar.days)
        starts = (helped_start(each, first, helped) for each in times)
        return any(start is not None and start <= last for start in starts)

    def last_light_s(
        self, length_s: int, machine: MachineWork | None, light: LightWork | None
    ) -> int | None:
        """The last start of work outdoors that only days with hours of their own can hold.

        None where ordinary hours hold it, or no day does.
        """
        if light is None or self.can_hold(length_s, machine, light):
            return None
        days = [date.fromisoformat(other.day) for other in self._calendar.other_days]
        starts = [
            _starts(work_on(self._calendar, day), length_s, machine, light)
            for day in days
            if day >= self._begin_day and is_open_on(self._calendar, day)
        ]
        return max((last for first, last in starts if first <= last), default=None)

    def fit(
        self,
        earliest_s: int,
        length_s: int,
        number: int = 0,
        machine: MachineWork | None = None,
        light: LightWork | None = None,
        helped: Spans = (),
    ) -> tuple[int, int]:
        """First start not before ``earliest_s`` at which ``length_s`` lies inside one opening.

        Returns the start and the number of that opening; search begins at opening ``number``.
        It must fit into an ordinary opening: see ``can_hold``. Work outdoors that ordinary hours
        never hold is looked for on days with hours of their own; after these it lies in the dark.
        ``helped``: where in it two people are needed.
        """
        first = number
        while True:
            opening = self.span(number)
            if light is None:
                first_s, latest_s = opening.opens_s, last_start_s(opening, length_s, machine)
            else:
                first_s, latest_s = _starts(opening, length_s, machine, light)
            start: int | None = max(first_s, earliest_s)
            if helped and start is not None:
                start = helped_start(opening.helper, start, helped)
            if start is not None and start <= latest_s:
                return start, number
            number += 1
            if light is None:
                continue
            own_days_over = opening.closes_s > self._own_end_s
            if own_days_over and not self.can_hold(length_s, machine, light):
                light, number = None, max(first, number - 1)


def _starts(
    opening: Opening, length_s: int, machine: MachineWork | None, light: LightWork | None
) -> tuple[int, int]:
    """First and last start inside an opening; no start where the first is after the last."""
    first, last = opening.opens_s, last_start_s(opening, length_s, machine)
    lit = light_starts(opening, light)
    return (first, last) if lit is None else (max(first, lit[0]), min(last, lit[1]))


def evenings(steps: Iterable[Step], calendar: Calendar) -> tuple[Evening, ...]:
    """The local days that have work in them, in order, each with its hours and steps."""
    by_day: dict[date, list[Step]] = {}
    for step in sorted(steps, key=lambda step: step.start_s):
        by_day.setdefault(local_date(step.start_s, calendar.zone), []).append(step)
    return tuple(
        Evening(day, *opening_on(calendar, day), tuple(found)) for day, found in by_day.items()
    )


def _stop(text: str, remedy: str) -> Finding:
    return Finding(Level.STOP, "calendar", text, Where(name="shop hours"), remedy)
