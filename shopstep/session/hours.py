"""The rest of one day as hours of its own.

Imports the calendar from ``model`` and the time zones of this room.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from shopstep.model.plan import Calendar, OtherDay
from shopstep.session.timers import zone_of

_DAY_MIN = 24 * 60


def day_until(calendar: Calendar, now_s: int, until_s: int, *, quiet: bool) -> Calendar:
    """The calendar in which today is open from now until a moment of today, start-up done.

    ``quiet``: no machine runs on it. The clean-up before ``until_s`` stays.
    """
    zone = zone_of(calendar.zone)
    now, until = (datetime.fromtimestamp(moment_s, zone) for moment_s in (now_s, until_s))
    opens = now.hour * 60 + now.minute
    closes = _DAY_MIN if until.date() > now.date() else until.hour * 60 + until.minute
    day = now.date().isoformat()
    today = OtherDay(
        day,
        max(0, opens - calendar.start_up_min),
        closes,
        opens if quiet else calendar.quiet_from_min,
    )
    others = tuple(other for other in calendar.other_days if other.day != day)
    return replace(calendar, other_days=(*others, today))
