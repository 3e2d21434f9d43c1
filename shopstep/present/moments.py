"""Moments and running limits in words: local times, and how far a timer has come.

Imports the session's clock words, ``units`` and the card's shapes. The same words go to screen,
speech and plain lines.
"""

from __future__ import annotations

from datetime import UTC, date, datetime
from enum import StrEnum

from shopstep.days import day_text, near_day, time_text
from shopstep.present.card import CardTimer
from shopstep.session.timers import local_clock, zone_of
from shopstep.units import format_clock, format_span
from shopstep.words import say, to_say

OVER = to_say("over")
_READY = to_say(
    {
        "clamp": "the clamps may come off",
        "cure": "cured",
        "touch": "touch dry",
        "recoat": "dry enough for the next coat",
        "dry_through": "dry through",
        "within": "has to begin by now",
    }
)


WITHIN = "within"
"""Kind of the timers of longest waits."""


class TimerStage(StrEnum):
    """How far a running limit has come; the words and the shape on screen change with it."""

    RUNNING = "running"
    """A most, less than half gone."""
    HALF = "half"
    """A most, at least half gone."""
    NEARLY = "nearly"
    """A most, at least four fifths gone."""
    LATE = "late"
    """A most that is over."""
    WAITING = "waiting"
    """A least that is not over."""
    READY = "ready"
    """A least that is over."""
    BY = "by"
    """A longest wait of hours to weeks: calm, with the moment by which its step begins."""
    PAST = "past"
    """Such a wait that is over: calm too, the card says what to do."""


def timer_stage(timer: CardTimer, now_s: int) -> TimerStage:
    """How far the timer has come at ``now_s``."""
    if timer.kind == WITHIN:
        return TimerStage.PAST if now_s > timer.due_s else TimerStage.BY
    if not timer.is_most:
        return TimerStage.READY if now_s >= timer.due_s else TimerStage.WAITING
    gone, whole = now_s - timer.started_s, timer.due_s - timer.started_s
    if gone > whole:
        return TimerStage.LATE
    if 5 * gone >= 4 * whole:
        return TimerStage.NEARLY
    return TimerStage.HALF if 2 * gone >= whole else TimerStage.RUNNING


def timer_words(timer: CardTimer, now_s: int, zone: str) -> str:
    """One timer in words: "glue, unit 2: closes in 4:10"; ``zone`` is an IANA name."""
    left = timer.due_s - now_s
    ready = ready_words(timer.kind)
    match timer_stage(timer, now_s):
        case TimerStage.RUNNING:
            words = say("closes in {clock}", clock=format_clock(left))
        case TimerStage.HALF:
            words = say("HALF GONE, closes in {clock}", clock=format_clock(left))
        case TimerStage.NEARLY:
            words = say("CLOSE NOW, {clock} left", clock=format_clock(left))
        case TimerStage.LATE:
            words = say("TOO LATE, over by {clock}", clock=format_clock(-left))
        case TimerStage.WAITING:
            moment = local_clock(timer.due_s, now_s, zone)
            said = moment if " " in moment else say("at {moment}", moment=moment)
            span = span_left(left)
            words = say("{ready} in {span} ({said})", ready=ready, span=span, said=said)
        case TimerStage.READY:
            words = say("ready, {ready}", ready=ready)
        case TimerStage.BY:
            words = say(
                "begin by {day_clock} ({span_left} left)",
                day_clock=day_clock(timer.due_s, zone),
                span_left=span_left(left),
            )
        case TimerStage.PAST:
            words = say("was to begin by {day_clock}", day_clock=day_clock(timer.due_s, zone))
    return f"{timer.name}: {words}"


def day_clock(at_s: int, zone: str) -> str:
    """A day and a time, at the minute begun: "Thu 8 Jan 18:00"."""
    at = datetime.fromtimestamp(at_s, zone_of(zone))
    return f"{near_day(at.date())} {time_text(at)}"


def ready_words(kind: str) -> str:
    """What a wait of that kind has brought about when it is over: "cured", "dry through"."""
    return say(_READY.get(kind, OVER))


def span_left(seconds: int) -> str:
    """What is left of a wait, rounded up to a minute so that nobody comes too early."""
    return format_span(seconds if seconds < 60 else -(-seconds // 60) * 60)


def local_date(at_s: int, zone: str) -> date:
    """The day of a moment in the shop's own time (UTC where the zone is not known)."""
    return datetime.fromtimestamp(at_s, zone_of(zone)).date()


def local_time(at_s: int, zone: str) -> str:
    """The clock time of a moment that is past, to the minute begun: "18:05"."""
    return time_text(datetime.fromtimestamp(at_s, zone_of(zone)))


def typed_time(at_s: int, zone: str) -> str:
    """The same as a command takes it, everywhere alike."""
    return f"{datetime.fromtimestamp(at_s, zone_of(zone)):%H:%M}"


def day_words(day: date) -> str:
    """A day: "Wed 26 Nov 2025"."""
    return day_text(day)


def utc_text(at_s: int) -> str:
    """A moment as ISO 8601 in UTC: "2025-11-25T18:00:00Z"."""
    return f"{datetime.fromtimestamp(at_s, UTC):%Y-%m-%dT%H:%M:%SZ}"
