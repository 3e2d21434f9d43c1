"""Bars across the whole screen: what was refused, and what has become urgent.

Imports ``clocks``, ``glyphs`` and ``lines``.
"""

from __future__ import annotations

from shopstep.present.moments import TimerStage, timer_words
from shopstep.tui.clocks import Alarm
from shopstep.tui.glyphs import tall
from shopstep.tui.lines import EMPTY, Block, Line, Span, fold
from shopstep.tui.theme import Role
from shopstep.words import say, to_say

REST = to_say(" … touch for the rest")
"""Ends a notice that is cut: the bar itself is the way to its other words."""
MOST_NOTICE_ROWS = 6
TALL_FROM_HEIGHT = 20
SHOUTS = to_say(
    {
        TimerStage.NEARLY: "Close now",
        TimerStage.LATE: "Too late",
        TimerStage.READY: "Ready",
    }
)


def notice_rows(text: str, width: int, height: int, margin: int) -> Block:
    """The sentence in a filled bar, at most a third of the screen; no rows when there is none."""
    if not text:
        return ()
    rows = fold(text, width - 2 * margin)
    most = max(2, min(MOST_NOTICE_ROWS, height // 3))
    if len(rows) > most:
        kept = f"{rows[most - 1]} "[: width - 2 * margin - len(say(REST))].rpartition(" ")[0]
        rows = [*rows[: most - 1], f"{kept}{say(REST)}"]
    return tuple(Line((Span(" " * margin + row, Role.NOTICE),), Role.NOTICE) for row in rows)


def alarm_rows(
    alarms: tuple[Alarm, ...],
    now_s: int,
    zone: str,
    width: int,
    height: int,
    margin: int,
    *,
    may_be_tall: bool = True,
) -> Block:
    """The first alarm across the screen: tall letters on a large one, else bold; () for none.

    Without ``may_be_tall`` the word is not drawn in tall letters, so that what is under it keeps
    its size.
    """
    if not alarms:
        return ()
    text = timer_words(alarms[0].timer, now_s, zone)
    count = say(" ({alarms} more)", alarms=len(alarms) - 1) if len(alarms) > 1 else ""
    body = fold(text, width - 2 * margin)
    if height >= TALL_FROM_HEIGHT:
        answer = say("{text}.  Touch this bar or press any key{count}.", text=text, count=count)
        shout = tall(say(SHOUTS[alarms[0].stage])) if may_be_tall else []
        body = [*shout, *fold(answer, width - 2 * margin)]
    fill = Role.ALARM
    rows = [Line((Span(" " * margin + row, fill),), fill) for row in body]
    bare = Line((), fill)
    return (bare, *rows, bare, EMPTY) if height >= TALL_FROM_HEIGHT else tuple(rows)
