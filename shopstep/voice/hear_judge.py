"""Whether a phrase that fits best was really said: bounds on how well it fits, found by measuring.

Imports ``recogniser`` for its shape only. The bounds were set on synthetic voices that no
benchmark uses (``tests/benchmarks/hearing.py`` has the table); `voice enrol` sets a person's own.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from shopstep.voice.recogniser import Found


@dataclass(frozen=True, slots=True)
class Bounds:
    """What a phrase must reach; log scores a frame, 0 is a perfect fit."""

    weakest: float
    whole: float
    lead: float
    outside: float


USUAL = Bounds(weakest=-0.008, whole=-0.004, lead=0.0005, outside=-0.01)
PERSON = Bounds(weakest=-0.014, whole=-0.006, lead=-0.0005, outside=-0.02)
"""For a phrase that the personal model is sure of: the grammar only has to think it possible."""
LONG = replace(USUAL, lead=0.0)
"""For the sentences of cautions and for numbers, which are read back or have no rival."""


def doubt_of(found: Found, bounds: Bounds) -> str:
    """Why the phrase is not believed, in words; empty where it is."""
    if found.weakest < bounds.weakest:
        return "one of the words was another"
    if found.whole < bounds.whole:
        return "it only sounds a little like it"
    if found.lead < bounds.lead:
        return "another phrase fits nearly as well"
    if found.outside < bounds.outside:
        return "more was said than the phrase"
    return ""
