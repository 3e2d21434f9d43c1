"""A helper's times in the settings: ``sat 14:00-17:00``. Imports the names of the days."""

from __future__ import annotations

import re

from shopstep.model.resources import HelperTime
from shopstep.storage.shop_defaults import DAYS
from shopstep.words import say

_TIME = re.compile(
    r"\s*(?P<days>[a-z ,]+?)\s+(?P<from>\d{1,2}:\d\d)\s*[-–]\s*(?P<to>\d{1,2}:\d\d)\s*"
)
_LONG = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_EVERY_DAY = "every day"
_DAY_MIN = 24 * 60


def parse_helper_time(text: str) -> HelperTime:
    """``saturday 14:00-17:00``, ``mon, thu 19:00-20:30``, ``every day 19:00-20:00``.

    ValueError says what would be right.
    """
    found = _TIME.fullmatch(text.lower())
    if found is None:
        raise ValueError(
            say("'{text}' is no helper time; write a day and hours, 'sat 14:00-17:00'", text=text)
        )
    days = _days(found["days"], text)
    from_min, to_min = (_minute(found[end], text) for end in ("from", "to"))
    if from_min >= to_min:
        raise ValueError(
            say("'{text}' ends before it begins; write for example 'sat 14:00-17:00'", text=text)
        )
    return HelperTime(days, from_min, to_min)


def _days(words: str, text: str) -> tuple[int, ...]:
    if " ".join(words.split()) == _EVERY_DAY:
        return tuple(range(7))
    days = []
    for word in re.split(r"[ ,]+", words):
        if word not in (*DAYS, *_LONG):
            raise ValueError(
                say(
                    "'{word}' in '{text}' is no day; write one of {days}",
                    word=word,
                    text=text,
                    days=", ".join(DAYS),
                )
            )
        days.append(DAYS.index(word[:3]))
    return tuple(sorted(set(days)))


def _minute(clock: str, text: str) -> int:
    hours, minutes = (int(part) for part in clock.split(":"))
    if minutes > 59 or hours * 60 + minutes > _DAY_MIN:
        raise ValueError(
            say(
                "'{clock}' in '{text}' is no time of day; write for example 14:00",
                clock=clock,
                text=text,
            )
        )
    return hours * 60 + minutes
