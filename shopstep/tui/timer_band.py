"""The timers under the card: the nearest one largest, repainted cell by cell.

Imports ``clocks``, ``glyphs`` and the painting of this room. Open glue takes the whole width, and
each of its stages has a word, a shape and a colour: digits alone; a frame at both ends from half
on; filled beside the digits from four fifths on; filled with notched ends when it is too late. The
digits themselves stay light on dark (or dark on light), so that they read alike at every stage.
"""

from __future__ import annotations

from shopstep.present.card import CardTimer
from shopstep.present.moments import TimerStage, timer_stage, timer_words
from shopstep.tui.clocks import STAGE_ROLES, bar, big_clock, short_words, sort_timers, timer_line
from shopstep.tui.glyphs import tall, tall_width
from shopstep.tui.lines import EMPTY, Block, Line, Span
from shopstep.tui.places import side_margin
from shopstep.tui.theme import Role

STAGE_TITLES = {
    TimerStage.HALF: ("half", "gone"),
    TimerStage.NEARLY: ("close", "now"),
    TimerStage.LATE: ("too", "late"),
}
"""Two short words that say a stage of open glue in tall letters."""
STAGE_EDGES = {
    TimerStage.RUNNING: ("  ", "  "),
    TimerStage.HALF: ("▌ ", " ▐"),
    TimerStage.NEARLY: ("  ", "  "),
    TimerStage.LATE: ("▀▄", "▄▀"),
}
"""Ends of a row of open glue, by its stage."""
DIGITS = {TimerStage.HALF: Role.HALF, TimerStage.NEARLY: Role.HALF}
"""Stages whose digits have another colour."""
TITLE_ROWS = 4


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
    first = _first_rows(ordered[0], now_s, zone, width, scale, height) if scale else ()
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


def _first_rows(
    timer: CardTimer, now_s: int, zone: str, width: int, scale: int, height: int
) -> Block:
    if not timer.is_most:
        return _tall_rows(timer, now_s, zone, width, scale)
    rows = _glue_rows(timer, now_s, width, scale)
    return (*rows, _glue_bar(timer, now_s, width)) if height > len(rows) else rows


def _glue_rows(timer: CardTimer, now_s: int, width: int, scale: int) -> Block:
    """The countdown of open glue across the whole screen, name and stage beside the digits."""
    stage = timer_stage(timer, now_s)
    role = STAGE_ROLES[stage]
    digits = DIGITS.get(stage, Role.STRONG)
    drawn = tall(big_clock(timer, now_s), scale)
    left, right = STAGE_EDGES[stage]
    room = max(0, width - len(drawn[0]) - len(left) - len(right) - 3)
    beside = _beside_glue(timer, now_s, len(drawn), room)
    return tuple(
        Line(
            (
                Span(f"{left}{row} ", digits),
                Span(f"  {text.ljust(room)}"[: width - len(row) - 5], role),
                Span(right, digits),
            )
        )
        for row, text in zip(drawn, beside, strict=True)
    )


def _beside_glue(timer: CardTimer, now_s: int, height: int, room: int) -> list[str]:
    """The name, and the stage in tall letters where there is room, else in a row of words."""
    texts = [""] * height
    if room < 8:
        return texts
    name = timer.name if len(timer.name) <= room else timer.name.replace(", unit ", " u")
    titles = STAGE_TITLES.get(timer_stage(timer, now_s), ())
    whole = " ".join(titles)
    if not titles:
        texts[min(1, height - 1)] = short_words(timer, now_s)[:room]
    elif tall_width(whole) <= room and height > TITLE_ROWS:
        top = (height - TITLE_ROWS) // 2
        texts[top : top + TITLE_ROWS] = tall(whole)
    elif max(tall_width(word) for word in titles) <= room and height > 2 * TITLE_ROWS:
        top = max(1, (height - 2 * TITLE_ROWS) // 2)
        texts[top : top + 2 * TITLE_ROWS] = [row for word in titles for row in tall(word)]
    else:
        words = short_words(timer, now_s)
        texts[min(1, height - 1)] = words if len(words) <= room else whole.upper()
    texts[0] = name[:room]
    return texts


def _glue_bar(timer: CardTimer, now_s: int, width: int) -> Line:
    """How much of the open time is gone, from one edge of the screen to the other."""
    margin = side_margin(width)
    cells = bar(timer, now_s, width - 2 * margin)
    return Line((Span(" " * margin), Span(cells, Role.RULE)))


def _tall_rows(timer: CardTimer, now_s: int, zone: str, width: int, scale: int) -> Block:
    """A wait in tall digits, its words and its bar beside it where there is room."""
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
