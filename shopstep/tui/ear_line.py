"""The line of the ear: which way it listens, how loud it is, what was heard or why not.

Imports ``lines``. One row on a small screen; a second one with what may be said where there is
room. Of the words the longest that fit are taken, by a fixed order.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.tui.lines import Block, Line, Span
from shopstep.tui.theme import Role
from shopstep.words import say, to_say

TWO_ROWS_FROM_HEIGHT = 28
"""As the empty row above the buttons (``frame``)."""
SILENT_DB, LOUD_DB = -66.0, -16.0
"""Both ends of the meter."""
CELLS = ((120, 20), (72, 12), (56, 8), (0, 5))
"""From which width on the meter has so many cells."""
ALWAYS_FROM_WIDTH = 48
"""From here on what was heard never takes the place of that word."""
TOO_LOUD = to_say(("cannot hear: too loud, tap instead", "too loud: tap instead"))


@dataclass(frozen=True, slots=True)
class EarSaid:
    """What the line is made of."""

    way: str
    """``push``, ``armed``, ``open`` or ``off``."""
    key: str
    """The key that opens and shuts it."""
    is_ready: bool = False
    is_speaking: bool = False
    left_s: float = 0.0
    """For how long it listens; 0 where it does not."""
    level_db: float = -96.0
    is_too_loud: bool = False
    news: tuple[str, ...] = ()
    """What was heard, or why not: the same in shorter and shorter words."""
    sayings: tuple[str, ...] = ()
    """What may be said now."""

    @property
    def is_open(self) -> bool:
        """Whether what is said now is judged."""
        return self.left_s > 0


def ear_rows(said: EarSaid, width: int, height: int, margin: int) -> Block:
    """The rows, each filled over the whole width."""
    role = _role(said)
    room = width - 2 * margin
    texts = [_first(said, width, room)]
    if height >= TWO_ROWS_FROM_HEIGHT:
        texts.append(_sayings(said, room))
    return tuple(Line((Span(" " * margin + text, role),), role) for text in texts)


def _role(said: EarSaid) -> Role:
    if said.way != "off" and said.is_too_loud:
        return Role.NOTICE
    return Role.PANEL if said.is_open else Role.QUIET


def _first(said: EarSaid, width: int, room: int) -> str:
    states, meter = _states(said, width), _meter(said, width)
    is_deaf = said.is_too_loud and said.way != "off"
    news = tuple(map(say, TOO_LOUD)) if is_deaf else said.news or ("",)
    choices = [
        gap.join(part for part in (state, meter, words) if part)
        for words in news
        for gap, state in (*(("  ", state) for state in states), (" ", states[-1]))
    ]
    return next((text for text in choices if len(text) <= room), _cut(choices[-1], room))


def _states(said: EarSaid, width: int) -> tuple[str, ...]:
    """Which way it listens and whether it does, in long words and short ones."""
    if said.way == "off":
        return (say("voice off"),)
    if not said.is_ready:
        return (say("{way}: hearing starts", way=said.way), f"{said.way} …")
    if said.is_speaking:
        return (say("{way}: speaks, not listening", way=said.way), f"{said.way} --")
    if said.way == "open":
        return _always(said, width)
    if said.is_open:
        left = max(1, round(said.left_s))
        return (
            say("{way}: LISTENING {left} s", way=said.way, left=left),
            say("{way} ON {left}", way=said.way, left=left),
        )
    key = say("{key} or tap here to talk", key=said.key) if said.key else say("tap here to talk")
    return (f"{said.way}: {key}", f"{said.way} ({said.key or say('tap')})")


def _always(said: EarSaid, width: int) -> tuple[str, ...]:
    """It has no end but the key: whoever comes in shall see that it listens."""
    key = say("{key} or tap", key=said.key) if said.key else say("tap")
    if said.is_open:
        short = say("open: ALWAYS ON") if width >= ALWAYS_FROM_WIDTH else say("open ON")
        long = say("open: ALWAYS LISTENING; {key}: stop", key=key)
        return (long, say("open: ALWAYS LISTENING"), short)
    long = say("open: stopped; {key} here to listen", key=key)
    return (long, say("open: stopped"), say("open OFF"))


def _meter(said: EarSaid, width: int) -> str:
    """``[###..]``; nothing while nothing is measured."""
    if said.way == "off" or not said.is_ready:
        return ""
    cells = next(count for least, count in CELLS if width >= least)
    part = (said.level_db - SILENT_DB) / (LOUD_DB - SILENT_DB)
    full = round(cells * min(max(part, 0.0), 1.0))
    return f"[{'#' * full}{'.' * (cells - full)}]"


def _sayings(said: EarSaid, room: int) -> str:
    """As many as fit, the first ones first."""
    text = ""
    for words in said.sayings:
        longer = f"{text}; {words}" if text else say("say: {words}", words=words)
        if len(longer) > room:
            break
        text = longer
    return text or _cut(
        say("say: {sayings}", sayings=said.sayings[0]) if said.sayings else "", room
    )


def _cut(text: str, room: int) -> str:
    return text if len(text) <= room else f"{text[: max(0, room - 1)].rstrip()}…"
