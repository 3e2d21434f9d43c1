"""Bars across the whole screen: what was refused, and what has become urgent.

Imports ``clocks``, ``big_type`` and ``lines``.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.message import Message

from shopstep.present.moments import timer_words
from shopstep.tui.big_type import fold_tall
from shopstep.tui.clocks import Alarm
from shopstep.tui.glyphs import tall
from shopstep.tui.lines import Block, Line, Span, fold
from shopstep.tui.theme import Role
from shopstep.tui.widgets.painting import Rows

if TYPE_CHECKING:
    from textual import events

MOST_NOTICE_ROWS = 6


class Bar(Rows):
    """A bar that can be tapped away."""

    class Tapped(Message):
        """Sent when the bar is touched."""

        def __init__(self, bar: Bar) -> None:
            super().__init__()
            self.bar = bar
            """The bar that was touched."""

    def on_click(self, event: events.Click) -> None:
        """A tap anywhere on the bar."""
        event.stop()
        self.post_message(self.Tapped(self))


def notice_rows(text: str, width: int, margin: int) -> Block:
    """The sentence in a filled bar; no rows when there is none."""
    if not text:
        return ()
    rows = fold(text, width - 2 * margin)[:MOST_NOTICE_ROWS]
    return tuple(Line((Span(" " * margin + row, Role.NOTICE),), Role.NOTICE) for row in rows)


def alarm_rows(
    alarms: tuple[Alarm, ...], now_s: int, zone: str, width: int, height: int, margin: int
) -> Block:
    """The first alarm across the screen: tall letters on a large one, else bold; () for none."""
    if not alarms:
        return ()
    text = timer_words(alarms[0].timer, now_s, zone)
    count = f" (1 of {len(alarms)})" if len(alarms) > 1 else ""
    answer = f"touch this bar or press any key{count}"
    fill = Role.ALARM
    bare = Line((), fill)
    large = alarms[0].timer.name
    if height >= 36 and fold_tall(large, width - 2 * margin, 1, 1):
        words = text[len(large) + 2 :]
        body = [*tall(large), f"{words}   {answer}"]
    elif height >= 20:
        body = [*fold(text, width - 2 * margin), answer]
    else:
        body = fold(text, width - 2 * margin)
    rows = [Line((Span(" " * margin + row, fill),), fill) for row in body]
    return (bare, *rows, bare) if height >= 20 else tuple(rows)
