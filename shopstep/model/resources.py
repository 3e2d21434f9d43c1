"""What a shop has besides hours: clamps by their reach, a helper's times, a thickness planer."""

from __future__ import annotations

import re
from dataclasses import dataclass

from shopstep.units import Length, UnitError, parse_length, plain_length
from shopstep.words import say

_ROW = re.compile(r"\s*(\d{1,3})\s*[x×*]\s*(.+?)\s*")
MOST_OF_A_KIND = 500
MOST_DIGITS = 4


@dataclass(frozen=True, slots=True)
class ClampSet:
    """Clamps of one reach; of a joint: so many clamps that must reach so far."""

    count: int
    reach: Length


@dataclass(frozen=True, slots=True)
class HelperTime:
    """When a second pair of hands is there, every week."""

    days: tuple[int, ...]
    """Weekdays, Monday = 0."""
    from_min: int
    """Minutes after midnight, local."""
    to_min: int


@dataclass(frozen=True, slots=True)
class Planer:
    """A thickness planer, as its manual says."""

    least_length: Length
    """Nothing shorter goes through it."""
    widest: Length
    deepest: Length
    """The most that one pass takes off."""
    snipe: Length
    """So much at each end may come out thinner, and is cut off afterwards."""


def parse_clamp_set(text: str) -> ClampSet:
    """``4 x 24 in``: how many, and how far each reaches; UnitError says what would be right."""
    found = _ROW.fullmatch(text)
    if found is None:
        raise UnitError(
            say("'{text}' names no clamps; write how many and their reach, '4 x 24 in'", text=text)
        )
    count, reach = int(found.group(1)), parse_length(found.group(2))
    if not 1 <= count <= MOST_OF_A_KIND or reach <= Length(0):
        raise UnitError(
            say(
                "'{text}' names no clamps; write 1 to {most_of_a_kind} and a reach above 0",
                text=text,
                most_of_a_kind=MOST_OF_A_KIND,
            )
        )
    return ClampSet(count, reach)


def parse_clamps(text: str) -> tuple[int, tuple[ClampSet, ...]]:
    """``6``, or by their reach ``4 x 24 in, 2 x 48 in``: how many in all, and the sets."""
    if text.isdecimal() and len(text) <= MOST_DIGITS:
        return int(text), ()
    sets = tuple(parse_clamp_set(row) for row in text.split(","))
    return sum(each.count for each in sets), sets


def count_reaching(total: int, sets: tuple[ClampSet, ...], reach: Length) -> int:
    """How many clamps reach so far: all, where nobody says how far any reaches."""
    if not sets or reach <= Length(0):
        return total
    return sum(each.count for each in sets if each.reach >= reach)


def sets_of(total: int, sets: tuple[ClampSet, ...]) -> tuple[ClampSet, ...]:
    """The sets where ``total`` clamps were counted and not as many as the sets have.

    What is missing is taken from the longest, what is more has a reach that nobody knows.
    """
    missing = sum(each.count for each in sets) - total
    left: list[ClampSet] = []
    for each in sorted(sets, key=lambda each: -each.reach.nm):
        gone = min(max(0, missing), each.count)
        missing -= gone
        if each.count > gone:
            left.append(ClampSet(each.count - gone, each.reach))
    return tuple(reversed(left))


def with_more(sets: tuple[ClampSet, ...], more: int, reach: Length) -> tuple[ClampSet, ...]:
    """The sets with so many more clamps of a reach, by reach."""
    counts = {each.reach: 0 for each in (*sets, ClampSet(0, reach))}
    for each in (*sets, ClampSet(more, reach)):
        counts[each.reach] += each.count
    return tuple(ClampSet(counts[r], r) for r in sorted(counts, key=lambda r: r.nm))


def set_words(sets: tuple[ClampSet, ...], display: str) -> str:
    """``4 x 24 in, 2 x 48 in``, as it is typed."""
    return ", ".join(f"{each.count} x {plain_length(each.reach, display)}" for each in sets)
