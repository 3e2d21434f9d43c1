"""Timers: limits that run between two recorded moments. Nothing here ticks.

Imports the plan's waits from ``model`` and the session's state.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from shopstep.days import long_weekday, month_day, spoken_time
from shopstep.model.plan import Plan
from shopstep.model.step import Wait, WaitKind
from shopstep.session.state import State
from shopstep.words import say


@dataclass(frozen=True, slots=True)
class Timer:
    """A wait that has begun and has not yet been answered by its second step."""

    wait: Wait
    started_s: int
    """Seconds since 1970 UTC."""
    due_s: int
    """When the least is over, or the most is used up."""


def timer_of(state: State, wait: Wait) -> Timer | None:
    """The timer of one wait; None before it starts and after it is answered."""
    moments = state.spread if wait.kind is WaitKind.OPEN else state.finished
    started_s = moments.get(wait.after)
    if started_s is None or _is_answered(state, wait, started_s):
        return None
    return Timer(wait, started_s, started_s + wait.seconds)


def _is_answered(state: State, wait: Wait, started_s: int) -> bool:
    if wait.before in state.finished:
        return True
    if wait.kind is WaitKind.WITHIN:
        return _is_in_time(state, wait, started_s)
    if wait.kind is WaitKind.OPEN:
        return False
    # A step that was begun before the first one was reopened and finished anew waits again.
    return state.begun.get(wait.before, started_s) > started_s


def _is_in_time(state: State, wait: Wait, started_s: int) -> bool:
    """Whether work on the second step began in time and goes on; a hold counts as put off."""
    if state.at_bench != wait.before or state.held_since is not None:
        return False
    begun_s = state.begun.get(wait.before)
    return begun_s is not None and begun_s + state.idle_s <= started_s + wait.seconds


def running_timers(state: State, plan: Plan) -> tuple[Timer, ...]:
    """All running timers, the one that is due first in front."""
    timers = [timer for wait in plan.waits if (timer := timer_of(state, wait)) is not None]
    return tuple(sorted(timers, key=lambda timer: (timer.due_s, timer.wait.id)))


def zone_of(name: str) -> tzinfo:
    """The time zone of an IANA name; UTC where the name is not known on this machine."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return UTC


def local_clock(at_s: int, now_s: int, zone: str) -> str:
    """A moment as people say it: "14:20", "tomorrow 8:05", "Thursday 8:05", "3 May 8:05".

    Rounded up to the minute, so that what is said is never too early.
    """
    place = zone_of(zone)
    at = datetime.fromtimestamp(-(-at_s // 60) * 60, tz=place)
    days = (at.date() - datetime.fromtimestamp(now_s, tz=place).date()) // timedelta(days=1)
    clock = spoken_time(at)
    if days == 0:
        return clock
    if days == 1:
        return say("tomorrow {clock}", clock=clock)
    if 1 < days < 7:
        return f"{long_weekday(at.date())} {clock}"
    return f"{month_day(at.date())} {clock}"
