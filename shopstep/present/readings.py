"""Readings of a measurement: which value counts, how far they spread, and the words for both.

The same words go to the page, the plain lines and the plan. Imports ``model``, ``units``, the
session's zones and the days of this room.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from shopstep.model.measure import MeasureQuestion, Reading
from shopstep.present.moments import day_words, utc_text
from shopstep.session.timers import zone_of
from shopstep.units import Length, format_length
from shopstep.words import say

_PICKS: dict[str, Callable[[Sequence[Length]], Length]] = {
    "latest": lambda values: values[-1],
    "thickest": max,
    "thinnest": min,
    "mean": lambda values: Length(sum(value.nm for value in values)).over(len(values)),
}


@dataclass(frozen=True, slots=True)
class MeasureCard:
    """One measurement as every face asks for it."""

    question: MeasureQuestion
    unit: str
    """``in`` or ``mm``: what is shown, and what bare keys mean."""
    title: str
    """The measurement's name in words."""
    usual: str
    """What stands in for it where nobody measured."""
    allowed: str
    """The range in words."""
    kept: str
    """What is kept for it; empty where nothing is."""


def measure_card(
    question: MeasureQuestion, readings: Sequence[Reading], unit: str, zone: str
) -> MeasureCard:
    """The card of one measurement, with the readings that are kept for it."""
    least, most = (format_length(value, unit) for value in (question.least, question.most))
    return MeasureCard(
        question=question,
        unit=unit,
        title=question.name.replace("_", " "),
        usual=say("Usually {usual}", usual=format_length(question.usual, unit)),
        allowed=say("{least} to {most}", least=least, most=most),
        kept=kept_words(readings, question.several, unit, zone) if readings else "",
    )


def pick_value(readings: Sequence[Reading], several: str) -> Length:
    """The value that counts, of readings in the order in which they were taken (at least one)."""
    return _PICKS[several]([reading.value for reading in readings])


def spread_of(readings: Sequence[Reading]) -> Length:
    """How far the largest reading lies from the smallest."""
    values = [reading.value for reading in readings]
    return max(values) - min(values)


def origin_words(readings: Sequence[Reading], several: str, unit: str) -> str:
    """Where a kept value comes from: "kept", "kept (thickest of 3 readings, spread 1/32 in)"."""
    if len(readings) == 1:
        return "kept"
    spread = format_length(spread_of(readings), unit)
    return say(
        "kept ({several} of {readings} readings, spread {spread})",
        several=several,
        readings=len(readings),
        spread=spread,
    )


def kept_words(readings: Sequence[Reading], several: str, unit: str, zone: str) -> str:
    """What is kept: "25/32 in, 15 Jan 2026", or "25/32 in, thickest of 3/4 in, 25/32 in, …"."""
    counts = format_length(pick_value(readings, several), unit)
    day = _day(readings[-1].at_s, zone)
    if len(readings) == 1:
        return f"{counts}, {day}"
    each = ", ".join(format_length(reading.value, unit) for reading in readings)
    spread = format_length(spread_of(readings), unit)
    return say(
        "{counts}, {several} of {readings} readings ({each}; spread {spread}), {day}",
        counts=counts,
        several=several,
        readings=len(readings),
        each=each,
        spread=spread,
        day=day,
    )


def range_complaint(question: MeasureQuestion, value: Length, unit: str) -> str:
    """Why a value does not suit the build; empty where it does."""
    if question.least <= value <= question.most:
        return ""
    least, most = (format_length(end, unit) for end in (question.least, question.most))
    return say(
        "{value} lies outside {least} to {most}, the range of this build.",
        value=format_length(value, unit),
        least=least,
        most=most,
    )


def kept_lines(
    kept: Mapping[str, Sequence[Reading]],
    questions: Sequence[MeasureQuestion],
    unit: str,
    zone: str,
) -> list[str]:
    """All that is kept, one line for each measurement; what a build asks for comes first."""
    several = {question.name: question.several for question in questions}
    names = [*(name for name in several if name in kept), *(n for n in kept if n not in several)]
    return [
        f"{name}: {kept_words(kept[name], several.get(name, 'latest'), unit, zone)}"
        for name in names
    ]


def kept_document(kept: Mapping[str, Sequence[Reading]]) -> dict[str, object]:
    """All that is kept, as JSON values: exact nanometres and ISO 8601 moments by name."""
    return {
        name: [{"nm": reading.value.nm, "at": utc_text(reading.at_s)} for reading in readings]
        for name, readings in kept.items()
    }


def _day(at_s: int, zone: str) -> str:
    return day_words(datetime.fromtimestamp(at_s, zone_of(zone)).date())


MOST_NAMED = 3
"""Parts and fits that are told by name; of more, how many there are."""


def decides_words(question: MeasureQuestion) -> str:
    """ " It decides 2 parts (panel, tray) and 1 fit (panel slides)."; empty where not known."""
    fits = [name.replace("_", " ") for name in question.decides]
    said = [
        f"{len(names)} {word if len(names) == 1 else f'{word}s'} ({_some(names)})"
        for names, word in ((question.shapes, "part"), (fits, "fit"))
        if names
    ]
    return say(" It decides {said}.", said=say(" and ").join(said)) if said else ""


def _some(names: Sequence[str]) -> str:
    more = (
        say(" and {names} more", names=len(names) - MOST_NAMED) if len(names) > MOST_NAMED else ""
    )
    return f"{', '.join(names[:MOST_NAMED])}{more}"
