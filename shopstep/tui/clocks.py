"""Running limits on screen: their words, their bar, and which of them has just become urgent.

Imports the words of ``present`` (the same that are spoken and printed) and ``lines``.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.present.card import CardTimer
from shopstep.present.moments import WITHIN, TimerStage, span_left, timer_stage, timer_words
from shopstep.tui.lines import Block, Line, Span
from shopstep.tui.places import side_margin
from shopstep.tui.theme import Role
from shopstep.units import format_clock
from shopstep.words import say, to_say

STAGE_ROLES = {
    TimerStage.RUNNING: Role.STRONG,
    TimerStage.HALF: Role.HALF,
    TimerStage.NEARLY: Role.NEARLY,
    TimerStage.LATE: Role.LATE,
    TimerStage.WAITING: Role.TEXT,
    TimerStage.READY: Role.READY,
    TimerStage.BY: Role.TEXT,
    TimerStage.PAST: Role.HALF,
}
LOUD = frozenset({TimerStage.NEARLY, TimerStage.LATE, TimerStage.READY})
"""Stages that raise the alarm bar; half gone only rings."""
_CALM = (TimerStage.RUNNING, TimerStage.WAITING, TimerStage.BY, TimerStage.PAST)
"""Stages that are never heard."""
BAR_CELLS = 10


_COUNTED = to_say(
    {
        "clamp": "clamps off in",
        "cure": "cured in",
        "touch": "touch dry in",
        "recoat": "next coat in",
        "dry_through": "dry through in",
    }
)
"""What a wait of each kind counts down to, in few words."""
_COUNTED_BRIEFLY = to_say(
    {
        "clamp": "off in",
        "cure": "cured in",
        "touch": "touch in",
        "recoat": "coat in",
        "dry_through": "dry in",
    }
)


def sort_timers(timers: tuple[CardTimer, ...], now_s: int, waited: str = "") -> list[CardTimer]:
    """What must be closed first, then what ends next, what is ready, and what may be put off.

    On a card that waits, what its sentence (``waited``) names goes before what ends earlier.
    """
    return sorted(
        timers,
        key=lambda t: (
            not t.is_most,
            t.kind == WITHIN,
            t.due_s <= now_s,
            t.name not in waited,
            t.due_s,
        ),
    )


def big_clock(timer: CardTimer, now_s: int) -> str:
    """The countdown for tall digits: "4:10", or "3 h 20 min" for a wait, or "ready"."""
    left = timer.due_s - now_s
    if timer.is_most:
        return format_clock(left)
    if timer.kind == WITHIN:
        return span_left(max(0, left))
    return span_left(left) if left > 0 else say("ready")


def bar(timer: CardTimer, now_s: int, cells: int = BAR_CELLS) -> str:
    """How much is gone, as a row of cells that fills from the left."""
    whole = max(1, timer.due_s - timer.started_s)
    gone = max(0, min(cells, (now_s - timer.started_s) * cells // whole))
    return "█" * gone + "░" * (cells - gone)


def short_words(timer: CardTimer, now_s: int) -> str:
    """The words for a narrow row: "closes in 4:10", "CLOSE NOW 0:50", "clamps off in 44 min"."""
    left = timer.due_s - now_s
    match timer_stage(timer, now_s):
        case TimerStage.RUNNING:
            return say("closes in {clock}", clock=format_clock(left))
        case TimerStage.HALF:
            return say("HALF GONE {clock}", clock=format_clock(left))
        case TimerStage.NEARLY:
            return say("CLOSE NOW {clock}", clock=format_clock(left))
        case TimerStage.LATE:
            return say("TOO LATE {clock}", clock=format_clock(left))
        case TimerStage.WAITING:
            return f"{say(_COUNTED.get(timer.kind, 'over in'))} {span_left(left)}"
        case TimerStage.READY:
            return say("ready")
        case TimerStage.BY:
            return say("begin in {span_left}", span_left=span_left(left))
        case TimerStage.PAST:
            return say("begins late")


def glue_lines(timers: tuple[CardTimer, ...], now_s: int, zone: str, width: int) -> Block:
    """One row with the time of open glue, the most urgent; none without glue."""
    open_glue = [timer for timer in sort_timers(timers, now_s) if timer.is_most]
    margin = side_margin(width)
    return tuple(timer_line(timer, now_s, zone, width, margin) for timer in open_glue[:1])


def timer_line(
    timer: CardTimer, now_s: int, zone: str, width: int, margin: int, more: int = 0
) -> Line:
    """One timer in one row; on a narrow one the bar goes first, then the long words."""
    role = STAGE_ROLES[timer_stage(timer, now_s)]
    tail = say("  +{more} more", more=more) if more else ""
    room = width - 2 * margin - 2 - len(tail)
    words = _fitting_words(timer, now_s, zone, room)
    is_plain = role in (Role.STRONG, Role.TEXT)
    spans = [Span(" " * margin), Span(words if is_plain else f" {words} ", role)]
    if len(words) + BAR_CELLS + 3 <= room:
        spans += [Span("  "), Span(bar(timer, now_s), Role.RULE)]
    return Line((*spans, Span(tail, Role.QUIET)))


def _fitting_words(timer: CardTimer, now_s: int, zone: str, room: int) -> str:
    """Name and words; on a narrow row fewer words, then "u1" for "unit 1", then a cut name."""
    short = short_words(timer, now_s)
    brief = timer.name.replace(", unit ", " u")
    least = short
    if timer_stage(timer, now_s) is TimerStage.WAITING:
        least = f"{say(_COUNTED_BRIEFLY.get(timer.kind, 'in'))} {span_left(timer.due_s - now_s)}"
    choices = [timer_words(timer, now_s, zone), f"{timer.name}: {short}", f"{brief}: {short}"]
    fitting = [words for words in (*choices, f"{brief}: {least}") if len(words) <= room]
    if fitting:
        return fitting[0]
    name = brief
    while len(name) > room - len(least) - 2 and " " in name:
        name = name.partition(" ")[2]  # the unit at its end tells more than its first word
    return f"{name[: max(1, room - len(least) - 2)]}: {least}"


@dataclass(frozen=True, slots=True)
class Alarm:
    """A limit that has become urgent and was not yet answered."""

    timer: CardTimer
    stage: TimerStage


class AlarmWatch:
    """Notices when a timer passes from one stage to the next, and keeps what was not answered."""

    def __init__(self) -> None:
        self._stages: dict[CardTimer, TimerStage] = {}
        self.open: tuple[Alarm, ...] = ()
        """Alarms to be answered, the most urgent first."""

    def look(self, timers: tuple[CardTimer, ...], now_s: int) -> bool:
        """Compare with the last look; True when something new is to be heard.

        A wait that is over already when first seen raises nothing: its row says "ready". Glue that
        is nearly or wholly too old when first seen does.
        """
        stages = {timer: timer_stage(timer, now_s) for timer in timers}
        news = [t for t, stage in stages.items() if self._is_news(t, stage)]
        raised = [Alarm(t, stages[t]) for t in news if stages[t] in LOUD]
        kept = [a for a in self.open if stages.get(a.timer) is a.stage]
        self._stages = stages
        self.open = tuple(sorted(raised + kept, key=lambda a: (not a.timer.is_most, a.timer.due_s)))
        return bool(news)

    def _is_news(self, timer: CardTimer, stage: TimerStage) -> bool:
        before = self._stages.get(timer)
        if before is stage or stage in _CALM:
            return False
        return before is not None or timer.is_most

    def answer(self) -> None:
        """The first alarm was seen by a person."""
        self.open = self.open[1:]
