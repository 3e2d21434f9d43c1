"""The timers under the card: the nearest one largest, repainted cell by cell.

Imports ``clocks``, ``glyphs`` and the painting of this room.
"""

from __future__ import annotations

from shopstep.present.card import CardTimer
from shopstep.present.moments import timer_stage, timer_words
from shopstep.tui.clocks import STAGE_ROLES, bar, big_clock, short_words, sort_timers, timer_line
from shopstep.tui.glyphs import tall
from shopstep.tui.lines import EMPTY, Block, Line, Span
from shopstep.tui.places import side_margin
from shopstep.tui.theme import Role


def band_rows(
    timers: tuple[CardTimer, ...],
    now_s: int,
    zone: str,
    width: int,
    height: int,
    scale: int,
    waited: str = "",
) -> Block:
    """The band in exactly ``height`` rows; what does not fit is counted at the end.

    ``scale`` is the size of the first timer's tall digits, 0 for none; ``waited`` the sentence of a
    card that waits, which names the timer to show first.
    """
    if not timers or height < 1:
        return ()
    ordered = sort_timers(timers, now_s, waited)
    first = _tall_rows(ordered[0], now_s, zone, width, scale) if scale else ()
    rest = ordered[1:] if scale else ordered
    room = height - len(first)
    hidden = max(0, len(rest) - room)
    rows = [
        timer_line(
            timer, now_s, zone, width, side_margin(width), hidden if index == room - 1 else 0
        )
        for index, timer in enumerate(rest[:room])
    ]
    return (*first, *rows)


def _tall_rows(timer: CardTimer, now_s: int, zone: str, width: int, scale: int) -> Block:
    """The countdown in tall digits, its words and its bar beside it where there is room."""
    drawn = tall(big_clock(timer, now_s), scale)
    role = STAGE_ROLES[timer_stage(timer, now_s)]
    beside = width - len(drawn[0]) - 7
    if beside < -3:
        return (
            timer_line(timer, now_s, zone, width, side_margin(width)),
            *(EMPTY,) * (len(drawn) - 1),
        )
    texts = [Span("")] * len(drawn)
    if beside >= 14:
        top = (len(drawn) - 3) // 2
        texts[top : top + 3] = _words_beside(timer, now_s, zone, beside)
    return tuple(
        Line(
            (Span(" " * max(0, side_margin(width) - 1)), Span(f" {row} ", role), Span("   "), text)
        )
        for row, text in zip(drawn, texts, strict=True)
    )


def _words_beside(timer: CardTimer, now_s: int, zone: str, room: int) -> list[Span]:
    """Name, words and bar; short words where the long ones do not fit."""
    role = STAGE_ROLES[timer_stage(timer, now_s)]
    words = timer_words(timer, now_s, zone)[len(timer.name) + 2 :]
    if len(words) + 2 > room:
        words = short_words(timer, now_s)
    shown = words if role in (Role.STRONG, Role.TEXT) else f" {words} "
    gone = bar(timer, now_s, max(4, min(24, room - 2)))
    name = timer.name if len(timer.name) <= room else timer.name.replace(", unit ", " u")
    return [Span(name[:room]), Span(shown[:room], role), Span(gone, Role.RULE)]
