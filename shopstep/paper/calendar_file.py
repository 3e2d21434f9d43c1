"""Reminders as an iCalendar file (RFC 5545, https://www.rfc-editor.org/rfc/rfc5545).

Moments stand in UTC, so that a change to summer time inside a wait moves nothing. Imports
icalendar, and the reminders of this room.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta

from icalendar import Alarm, Calendar, Event

from shopstep.paper.reminders import Reminder


def calendar_text(reminders: Iterable[Reminder], version: int, now_s: int) -> bytes:
    """The file; the same for the same input.

    ``version`` counts up with the session: a calendar that has an entry already takes the one with
    the higher number (SEQUENCE, RFC 5545 section 3.8.7.4).
    """
    calendar = Calendar()
    calendar.add("prodid", "-//shopstep//reminders 1//EN")
    calendar.add("version", "2.0")
    for reminder in reminders:
        calendar.add_component(_event(reminder, version, now_s))
    text: bytes = calendar.to_ical()
    return text


def _event(reminder: Reminder, version: int, now_s: int) -> Event:
    event = Event()
    event.add("uid", str(reminder.id))
    event.add("dtstamp", _utc(now_s))
    event.add("sequence", version)
    event.add("dtstart", _utc(reminder.start_s))
    event.add("dtend", _utc(reminder.end_s))
    event.add("summary", reminder.title)
    event.add("description", reminder.text)
    event.add("transp", "TRANSPARENT")
    event.add_component(_alarm(reminder))
    return event


def _alarm(reminder: Reminder) -> Alarm:
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", reminder.title)
    alarm.add("trigger", timedelta(seconds=-reminder.alarm_s))
    return alarm


def _utc(at_s: int) -> datetime:
    return datetime.fromtimestamp(at_s, UTC)
