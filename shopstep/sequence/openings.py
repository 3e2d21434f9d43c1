"""One opening of the shop: when work may begin and must end, and until when machines may run.

Hours are local wall-clock hours in an IANA zone. Imports ``shopstep.model``.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from shopstep.model.plan import Calendar, OtherDay

_DAY_MIN = 24 * 60
LAST_QUARTER_S = 900
"""No machine is begun in the last quarter of an hour: tired hands hurry (our rule; common practice,
no source)."""


@dataclass(frozen=True, slots=True)
class Opening:
    """Moments in UTC seconds."""

    opens_s: int
    """Work may begin, start-up done."""
    closes_s: int
    """Work must end, so that there is time to clean up."""
    machines_s: int
    """Machines must stop."""
    light: tuple[int, int] | None = None
    """When it is light that day; None where nobody said."""
    helper: tuple[tuple[int, int], ...] = ()
    """From when to when a second pair of hands is there."""


@dataclass(frozen=True, slots=True)
class MachineWork:
    """Machine work inside something that is laid as one, in seconds from its start."""

    last_start_s: int
    end_s: int


def other_day(calendar: Calendar, day: date) -> OtherDay | None:
    """The hours that a day has of its own."""
    told = day.isoformat()
    return next((other for other in calendar.other_days if other.day == told), None)


def last_own_s(calendar: Calendar) -> int:
    """When the last day with hours of its own is over, in UTC seconds; 0 where there is none."""
    if not calendar.other_days:
        return 0
    last = date.fromisoformat(max(other.day for other in calendar.other_days))
    return at_minute(last, _DAY_MIN, ZoneInfo(calendar.zone))


def is_open_on(calendar: Calendar, day: date) -> bool:
    """Whether the shop is open at all on a local date."""
    other = other_day(calendar, day)
    if other is not None:
        return other.opens_min is not None and other.closes_min is not None
    return day.weekday() in calendar.days


def opening_on(calendar: Calendar, day: date) -> tuple[int, int]:
    """Start and end of the shop's hours on a local date, in UTC seconds; the weekday is not asked.

    An hour that the clock skips counts as the hour after it, one that it repeats as the first.
    """
    opens_min, closes_min = _minutes(calendar, day)
    zone = ZoneInfo(calendar.zone)
    return at_minute(day, opens_min, zone), at_minute(day, closes_min, zone)


def work_on(calendar: Calendar, day: date) -> Opening:
    """The same without start-up and clean-up, and when machines must stop."""
    opens_s, closes_s = opening_on(calendar, day)
    closes_s -= calendar.clean_up_min * 60
    other = other_day(calendar, day)
    quiet = calendar.quiet_from_min if other is None else other.quiet_from_min
    machines_s = closes_s
    if quiet is not None:
        machines_s = min(closes_s, at_minute(day, quiet, ZoneInfo(calendar.zone)))
    light = None
    if calendar.daylight is not None:
        zone = ZoneInfo(calendar.zone)
        light = (
            at_minute(day, calendar.daylight[0], zone),
            at_minute(day, calendar.daylight[1], zone),
        )
    return Opening(opens_s + calendar.start_up_min * 60, closes_s, machines_s, light)


def ordinary(calendar: Calendar) -> Opening:
    """An ordinary opening, without a change of the clock, from 0 on."""
    closes_s = (calendar.closes_min - calendar.opens_min - calendar.clean_up_min) * 60
    quiet = calendar.quiet_from_min
    machines_s = closes_s if quiet is None else (quiet - calendar.opens_min) * 60
    light = None
    if calendar.daylight is not None:
        dawn, dusk = calendar.daylight
        light = (dawn - calendar.opens_min) * 60, (dusk - calendar.opens_min) * 60
    return Opening(calendar.start_up_min * 60, closes_s, min(closes_s, machines_s), light)


def last_start_s(opening: Opening, length_s: int, machine: MachineWork | None) -> int:
    """The latest start at which something fits into an opening; before its own start: never."""
    latest = opening.closes_s - length_s
    if machine is not None:
        latest = min(
            latest,
            opening.machines_s - machine.end_s,
            opening.closes_s - LAST_QUARTER_S - machine.last_start_s,
        )
    return latest


def local_date(moment_s: int, zone: str) -> date:
    """The local date of a moment."""
    return datetime.fromtimestamp(moment_s, UTC).astimezone(ZoneInfo(zone)).date()


def _minutes(calendar: Calendar, day: date) -> tuple[int, int]:
    other = other_day(calendar, day)
    if other is not None and other.opens_min is not None and other.closes_min is not None:
        return other.opens_min, other.closes_min
    return calendar.opens_min, calendar.closes_min


def at_minute(day: date, minute: int, zone: ZoneInfo) -> int:
    """A minute of a local date in UTC seconds; from 1440 on it is on the days after."""
    days, rest = divmod(minute, _DAY_MIN)
    local = datetime(day.year, day.month, day.day, rest // 60, rest % 60, tzinfo=zone)
    if days:
        next_day = day + timedelta(days=days)
        local = local.replace(year=next_day.year, month=next_day.month, day=next_day.day)
    return int(local.timestamp())
