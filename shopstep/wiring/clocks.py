"""The machine's clock, or a moment that was given for now."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from shopstep.model.plan import Where
from shopstep.storage.clock import FixedClock, SystemClock, find_zone_name
from shopstep.wiring.problems import ExitCode, Problem
from shopstep.words import say

if TYPE_CHECKING:
    from shopstep.workbench import Clock


def make_clock(now_text: str | None) -> Clock:
    """The machine's clock, or one that stands at an ISO time; Problem for what is no time."""
    if now_text is None:
        return SystemClock()
    zone = find_zone_name()
    try:
        moment = datetime.fromisoformat(now_text)
    except ValueError:
        raise Problem(
            say("'{now}' is no moment; write for example 2026-01-15T18:00:00+00:00", now=now_text),
            ExitCode.USAGE,
            Where("--now"),
        ) from None
    if not 1970 < moment.year < 2200:
        raise Problem(
            say("'{now}' lies outside 1971 to 2199; is the year right?", now=now_text),
            ExitCode.USAGE,
            Where("--now"),
        )
    if moment.tzinfo is None:
        from zoneinfo import ZoneInfo

        moment = moment.replace(tzinfo=ZoneInfo(zone))
    return FixedClock(int(moment.timestamp()), zone)
