"""A reading as typed: the length, and of a gap at a slope where it is.

Imports the card and the session's words of trials.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from shopstep.present.card import CardCheck
from shopstep.session.trials import PLACES
from shopstep.units import LENGTH_UNITS

_LITTLE = ("at", "the")
"""Words that may stand before a place: "at the toe"."""
_NAKED = re.compile(r"\d+/\d+|[½¼¾⅛⅜⅝⅞]")
"""A fraction that only a rule in inches has."""
_UNITS = frozenset({*LENGTH_UNITS, "inch", "inches", "foot", "feet"})


@dataclass(frozen=True, slots=True)
class TypedGap:
    """What was typed, taken apart."""

    length: str
    """Still text: the length with its unit."""
    where: str
    """The place as typed, in small letters; empty where none was told."""


def read_gap(text: str, asked: CardCheck | None) -> TypedGap:
    """The length and the place in what was typed for a check (None where no card is known).

    A bare 0 is 0 in any unit. Of a gap that is shown in inches a bare fraction is one of an inch;
    every other number needs its unit.
    """
    words = text.split()
    asks = asked is not None and asked.asks_where
    where = ""
    if len(words) > 1 and _is_place(words[-1].lower(), asks):
        where = words.pop().lower()
    while where and len(words) > 1 and words[-1].lower() in _LITTLE:
        words.pop()
    length = " ".join(words)
    if length == "0":
        return TypedGap("0 in", where)
    if asks and asked is not None and asked.expected.endswith(" in") and _NAKED.fullmatch(length):
        return TypedGap(f"{length} in", where)
    return TypedGap(length, where)


def _is_place(word: str, asks: bool) -> bool:
    """A place; where one is asked for also a word that is meant as one."""
    return word in PLACES or (asks and word.isalpha() and word not in _UNITS)
