"""When a second pair of hands is there, and where steps that need one may lie.

Imports ``shopstep.model`` and the openings of this room.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from zoneinfo import ZoneInfo

from shopstep.days import minute_text, weekday_name
from shopstep.model.plan import Calendar
from shopstep.model.resources import HelperTime
from shopstep.model.step import Step
from shopstep.sequence.openings import at_minute

Spans = tuple[tuple[int, int], ...]
"""Starts and ends in seconds, in order."""


def helper_on(helper: Iterable[HelperTime], zone: str, day: date) -> Spans:
    """When a helper is there on a local date, in UTC seconds; times that meet are one."""
    clock = ZoneInfo(zone)
    return _joined(
        (at_minute(day, time.from_min, clock), at_minute(day, time.to_min, clock))
        for time in helper
        if day.weekday() in time.days
    )


def helper_after_opening(helper: Iterable[HelperTime], calendar: Calendar, day: int) -> Spans:
    """The same on an ordinary day of the week, in seconds after opening time."""
    return _joined(
        ((time.from_min - calendar.opens_min) * 60, (time.to_min - calendar.opens_min) * 60)
        for time in helper
        if day in time.days
    )


def _joined(spans: Iterable[tuple[int, int]]) -> Spans:
    joined: list[tuple[int, int]] = []
    for first, last in sorted(spans):
        if joined and first <= joined[-1][1]:
            joined[-1] = joined[-1][0], max(last, joined[-1][1])
        else:
            joined.append((first, last))
    return tuple(joined)


def helped_start(times: Spans, start_s: int, helped: Spans) -> int | None:
    """First start from ``start_s`` on at which all of ``helped`` lies inside ``times``.

    ``helped``: from and to, in seconds after the start. Each stretch may lie in times of its own.
    None where there is none any more.
    """
    moved = True
    while moved:
        moved = False
        for first, last in helped:
            found = next((t for t in times if t[1] >= start_s + last
                          and t[1] - t[0] >= last - first), None)  # fmt: skip
            if found is None:
                return None
            if found[0] > start_s + first:
                start_s, moved = found[0] - first, True
    return start_s


def helped_spans(steps: Sequence[Step], offsets: Sequence[int]) -> Spans:
    """Where in a row of steps two people are needed; stretches that meet are one."""
    return _joined(
        (offset, offset + step.duration_s)
        for step, offset in zip(steps, offsets, strict=True)
        if step.people > 1
    )


def helper_words(helper: Iterable[HelperTime]) -> str:
    """``Sat 14:00–17:00, Sun 10:00–12:00``."""
    return ", ".join(
        f"{' '.join(map(weekday_name, time.days))} "
        f"{minute_text(time.from_min)}–{minute_text(time.to_min)}"
        for time in helper
    )
