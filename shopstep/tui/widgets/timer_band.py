"""The timers under the card: the nearest one largest, repainted cell by cell.

Imports ``clocks``, ``glyphs`` and the painting of this room.
"""

from __future__ import annotations

from shopstep.present.card import CardTimer
from shopstep.present.moments import timer_stage, timer_words
from shopstep.tui.clocks import STAGE_ROLES, bar, big_clock, sort_timers, timer_line
from shopstep.tui.glyphs import tall
from shopstep.tui.lines import EMPTY, Block, Line, Span
from shopstep.tui.step_sheet import BAND_TALL
from shopstep.tui.theme import Role


def band_rows(
    timers: tuple[CardTimer, ...], now_s: int, zone: str, width: int, height: int, is_tall: bool
) -> Block:
    """The band in exactly ``height`` rows; what does not fit is counted at the end."""
    if not timers or height < 1:
        return ()
    ordered = sort_timers(timers, now_s)
    first = _tall_rows(ordered[0], now_s, zone, width) if is_tall else ()
    rest = ordered[1:] if is_tall else ordered
    room = height - len(first)
    hidden = max(0, len(rest) - room)
    rows = [
        timer_line(timer, now_s, zone, width, hidden if index == room - 1 else 0)
        for index, timer in enumerate(rest[:room])
    ]
    return (*first, *rows)


def _tall_rows(timer: CardTimer, now_s: int, zone: str, width: int) -> Block:
    """The countdown in tall digits, its words and its bar beside it."""
    drawn = tall(big_clock(timer, now_s))
    role = STAGE_ROLES[timer_stage(timer, now_s)]
    beside = width - len(drawn[0]) - 7
    rest = timer_words(timer, now_s, zone)[len(timer.name) + 2 :]
    if beside < -3:
        return (timer_line(timer, now_s, zone, width), *(EMPTY,) * (BAND_TALL - 1))
    texts = [
        Span(timer.name, Role.TEXT),
        Span(f" {rest} " if role is not Role.STRONG else rest, role),
        Span(bar(timer, now_s, max(4, min(24, beside - 2))), Role.RULE),
        Span(""),
    ]
    if beside < 16:
        texts = [Span("")] * BAND_TALL
    rows = [
        Line((Span("  "), Span(f" {row} ", role), Span("   "), text))
        for row, text in zip(drawn, texts, strict=True)
    ]
    return tuple(rows)
