"""Words for setting aside, stopping, scraping glue off and telling when a joint was closed.

Imports ``session``; ``phrases`` has a row for each.
"""

from __future__ import annotations

import re
from typing import Protocol

from shopstep.model.resources import parse_clamps
from shopstep.session.commands import (
    AnswerClock,
    ClosedInTime,
    Command,
    CountClamps,
    ReadLabel,
    SetAside,
    SpoilPart,
    SpreadAgain,
    StayUntil,
    StopBatch,
    TakeNote,
)
from shopstep.units import UnitError, parse_duration
from shopstep.words import say, to_say


class Spoken(Protocol):
    """The words of a command and what it is about."""

    @property
    def text(self) -> str: ...

    @property
    def rest(self) -> tuple[str, ...]: ...

    @property
    def step(self) -> str | None: ...

    @property
    def id(self) -> str: ...

    @property
    def seen(self) -> int | None: ...


ASIDE_REASONS = to_say(
    (
        "something is missing",
        "needs a second pair of hands",
        "too late tonight",
        "it did not fit",
    )
)
"""What keeps a step, to be chosen by a tap."""
NEXT_TIME = to_say(("this took too long", "the order was awkward", "the sentence was unclear"))
TO_GET = to_say(("brads", "screws", "glue", "sandpaper", "a fresh blade", "paint"))

USAGE = {
    "aside": "aside [REASON]",
    "stop": "stop [yes] [REASON]",
    "scraped": "scraped",
    "closed": "closed HH:MM",
    "next": "next time TEXT",
    "get": "get TEXT",
    "clock": "clock right|wrong",
    "until": "until HH:MM",
    "label": "label TIME|none",
    "clamps": "clamps N, or clamps N x REACH, N x REACH",
    "spoiled": "spoiled [all] PART [left|right] [unit N] [REASON]",
}
MEANING = to_say(
    {
        "aside": "do this step when nothing else is left",
        "stop": "end the batch for good; 'stop yes' means it",
        "scraped": "the glue was scraped off, the joint begins anew",
        "closed": "the joint was closed in time, at this time of day",
        "next": "a lesson for the next time",
        "get": "something to buy before the next batch",
        "spoiled": "a piece is to be made again; 'all': with what it is joined to",
        "label": "the open time on the glue's label, for example label 8 min",
        "until": "until when you stay tonight, for glue that has to be closed before",
        "clamps": "how many clamps there are, those on joints included",
        "clock": "whether the machine's clock is right although it leapt",
    }
)


def read_aside(spoken: Spoken) -> Command | str:
    """``aside no brads left``."""
    return SetAside(id=spoken.id, step=spoken.step, seen=spoken.seen, reason=spoken.text)


def read_stop(spoken: Spoken) -> Command | str:
    """``stop yes the shop is needed``; without ``yes`` it is asked again."""
    sure = bool(spoken.rest) and spoken.rest[0].lower() == "yes"
    reason = " ".join(spoken.rest[1:] if sure else spoken.rest)
    return StopBatch(id=spoken.id, step=None, seen=spoken.seen, reason=reason, sure=sure)


def read_scraped(spoken: Spoken) -> Command | str:
    """``scraped``."""
    return SpreadAgain(id=spoken.id, step=spoken.step, seen=spoken.seen)


def read_closed(spoken: Spoken) -> Command | str:
    """``closed 19:42``."""
    if not re.fullmatch(r"([01]?\d|2[0-3]):[0-5]\d", spoken.text):
        return say("Say when the joint was closed, for example: closed 19:42")
    return ClosedInTime(id=spoken.id, step=spoken.step, seen=spoken.seen, clock=spoken.text)


def read_next_time(spoken: Spoken) -> Command | str:
    """``next time cut the strips longer``."""
    words = spoken.rest[1:] if spoken.rest and spoken.rest[0].lower() == "time" else spoken.rest
    if not words:
        return say("Say what is to be otherwise: next time TEXT")
    return TakeNote(
        id=spoken.id, step=spoken.step, seen=spoken.seen, text=" ".join(words), kind="next_time"
    )


def read_to_get(spoken: Spoken) -> Command | str:
    """``get more brads``."""
    if not spoken.text.strip():
        return say("Say what is to be bought: get TEXT")
    return TakeNote(
        id=spoken.id, step=spoken.step, seen=spoken.seen, text=spoken.text, kind="to_get"
    )


def read_clock(spoken: Spoken) -> Command | str:
    """``clock right``."""
    if spoken.text not in ("right", "wrong"):
        return say("Say whether the clock is right: clock right, or clock wrong")
    return AnswerClock(id=spoken.id, seen=spoken.seen, right=spoken.text == "right")


def read_until(spoken: Spoken) -> Command | str:
    """``until 21:30``."""
    if not re.fullmatch(r"([01]?\d|2[0-3]):[0-5]\d", spoken.text):
        return say("Say until when you stay, for example: until 21:30")
    return StayUntil(id=spoken.id, seen=spoken.seen, clock=spoken.text)


def read_label(spoken: Spoken) -> Command | str:
    """``label 8 min``; ``label none`` where it gives no time."""
    if spoken.text.lower() == "none":
        seconds = 0
    else:
        try:
            seconds = parse_duration(spoken.text).s
        except UnitError:
            return say("Say the open time on the label, for example: label 8 min, or: label none")
        if seconds == 0:
            return say("Say the open time on the label, for example: label 8 min, or: label none")
    return ReadLabel(id=spoken.id, step=spoken.step, seen=spoken.seen, seconds=seconds)


def read_clamps(spoken: Spoken) -> Command | str:
    """``clamps 6``, or by their reach ``clamps 4 x 24 in, 2 x 48 in``."""
    try:
        count, sets = parse_clamps(spoken.text)
    except UnitError:
        return say(
            "Say how many clamps there are, for example: clamps 6, or by their reach: "
            "clamps 4 x 24 in, 2 x 48 in"
        )
    return CountClamps(id=spoken.id, seen=spoken.seen, count=count, sets=sets)


def _part_and_hand(words: list[str]) -> tuple[str, str, list[str]]:
    """Part, hand and what follows: ``side left`` and ``left side`` mean the same."""
    part, rest = words[0], words[1:]
    if part in HANDS and rest and rest[0] != "unit":
        return rest[0], part, rest[1:]
    hand, _, named = part.partition(" ")  # in quotes, as a drawing is asked for
    if hand in HANDS and named:
        return named, hand, rest
    return (part, rest[0], rest[1:]) if rest and rest[0] in HANDS else (part, "", rest)


def read_spoiled(spoken: Spoken) -> Command | str:
    """``spoiled side_rail left unit 2 split at the end``."""
    words = list(spoken.rest)
    if not words:
        return say("Say which piece: spoiled PART [left|right] [unit N] [REASON]")
    sure = words[0].lower() == "all" and len(words) > 1
    words = words[1:] if sure else words
    part, hand, words = _part_and_hand(words)
    unit = 1
    if len(words) > 1 and words[0] == "unit" and words[1].isdecimal():
        unit, words = int(words[1][:6]), words[2:]
    elif spoken.step is not None and spoken.step.startswith("u"):
        unit = int(spoken.step.partition("/")[0].removeprefix("u") or 1)
    return SpoilPart(
        id=spoken.id,
        seen=spoken.seen,
        part=part,
        hand=hand,
        unit=unit,
        reason=" ".join(words),
        sure=sure,
    )


HANDS = ("left", "right")
"""What a part that comes in two hands is told apart by."""

PARSERS = {
    "aside": read_aside,
    "stop": read_stop,
    "scraped": read_scraped,
    "closed": read_closed,
    "next": read_next_time,
    "get": read_to_get,
    "clock": read_clock,
    "until": read_until,
    "label": read_label,
    "clamps": read_clamps,
    "spoiled": read_spoiled,
}
