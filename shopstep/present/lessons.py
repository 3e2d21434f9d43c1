"""What past sessions teach: notes for next time, what to get, deviations, times against guesses.

Imports ``model``, ``session`` and the words of this room.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from statistics import median

from shopstep.model.estimate import (
    LEAST,
    LEAST_TIMED_S,
    TimeFactor,
    estimate_factor,
    own_key,
    work_key,
)
from shopstep.model.plan import Plan
from shopstep.model.step import Source, StepKind
from shopstep.present.lines import wrap_lines
from shopstep.present.moments import day_words, local_date
from shopstep.present.record import note_about, record
from shopstep.session.events import Envelope, NoteTaken
from shopstep.session.flow import index_plan
from shopstep.units import format_length, format_span
from shopstep.words import figure, say, say_count


@dataclass(frozen=True, slots=True)
class Past:
    """One past session."""

    plan: Plan
    envelopes: tuple[Envelope, ...]


@dataclass(frozen=True, slots=True)
class LessonNote:
    """One note, with where and when."""

    text: str
    headline: str
    day: str
    build: str
    at_s: int


@dataclass(frozen=True, slots=True)
class Lessons:
    """All that was gathered."""

    sessions: int
    next_time: tuple[LessonNote, ...]
    to_get: tuple[LessonNote, ...]
    service: tuple[LessonNote, ...]
    """What became of units in use."""
    deviations: tuple[str, ...]
    times: tuple[tuple[str, int, TimeFactor], ...]
    """Title of the step, guessed seconds, and the factor."""
    only_tried: int = 0
    """Sessions that were ticked faster than hands work: their times teach nothing."""


def gather_lessons(pasts: Iterable[Past], build_id: str) -> Lessons:
    """The lessons of one build, oldest first."""
    own = [past for past in pasts if past.plan.build_id == build_id]
    factors = {factor.key: factor for factor in time_factors(own)}
    titles = {
        own_key(build_id, kind.id): (kind.title, kind.guessed_s or kind.duration_s)
        for past in own
        for kind in past.plan.kinds
    }
    return Lessons(
        sessions=len(own),
        next_time=notes_about(own, "next_time"),
        to_get=notes_about(own, "to_get"),
        service=notes_about(own, "service"),
        deviations=tuple(words for past in own for words in _deviations(past)),
        times=tuple((*titles[key], factors[key]) for key in titles if key in factors),
        only_tried=sum(_only_tried(_timed(past)) for past in own),
    )


def notes_about(pasts: Iterable[Past], about: str) -> tuple[LessonNote, ...]:
    """Notes of one kind, oldest first."""
    found = [
        LessonNote(
            envelope.event.text,
            note_about(past.plan, envelope.event),
            day_words(local_date(envelope.moment.at_s, past.plan.zone)),
            past.plan.build_id,
            envelope.moment.at_s,
        )
        for past in pasts
        for envelope in past.envelopes
        if isinstance(envelope.event, NoteTaken) and envelope.event.about == about
    ]
    return tuple(sorted(found, key=lambda note: note.at_s))


def _deviations(past: Past) -> list[str]:
    display = past.plan.display
    return [
        say(
            "{headline}: {measure} was {measure_value}",
            headline=measure.headline,
            measure=measure.text or measure.name,
            measure_value=format_length(measure.value, display),
        )
        + (
            say(", planned {expected}", expected=format_length(measure.expected, display))
            if measure.expected
            else ""
        )
        + (
            say(", kept: {accepted}", accepted=measure.accepted)
            if measure.accepted
            else say(", kept")
        )
        for measure in record(past.envelopes, past.plan).measures
        if measure.accepted is not None
    ]


def time_factors(pasts: Iterable[Past]) -> tuple[TimeFactor, ...]:
    """A factor for each step of each build, and for each kind of machine work over all builds.

    A session that was only tried, ticked through without working, gives none.
    """
    ratios: dict[str, list[float]] = {}
    for past in pasts:
        timed = _timed(past)
        for kind, ratio in () if _only_tried(timed) else timed:
            ratios.setdefault(own_key(past.plan.build_id, kind.id), []).append(ratio)
            if kind.source is Source.DERIVED:
                ratios.setdefault(work_key(kind.stage), []).append(ratio)
    return tuple(estimate_factor(key, found) for key, found in sorted(ratios.items()))


def _timed(past: Past) -> list[tuple[StepKind, float]]:
    """Steps that were timed, and the time spent on each over the time guessed."""
    index = index_plan(past.plan)
    found = []
    for done in record(past.envelopes, past.plan).steps:
        step = index.steps.get(done.step)
        if step is None or done.spent_s is None or done.spent_s < LEAST_TIMED_S:
            continue
        kind = index.kind_of(step)
        found.append((kind, done.spent_s / (kind.guessed_s or kind.duration_s)))
    return found


def _only_tried(timed: list[tuple[StepKind, float]]) -> bool:
    """Whether half of the timed steps took less than a quarter of their guess.

    Common practice, no source: a slow guess is seldom four times too long, and never all are.
    """
    return bool(timed) and median(ratio for _, ratio in timed) < LEAST


def lesson_lines(lessons: Lessons, width: int = 78) -> list[str]:
    """The lessons for a person."""
    count = say_count("{n} session", "{n} sessions", lessons.sessions)
    lines = [say("From {count}.", count=count)]
    if lessons.only_tried:
        lines.append(_tried_words(lessons.only_tried))
    lines += _section(say("For next time"), [_note_words(note) for note in lessons.next_time])
    lines += _section(say("To get"), [_note_words(note) for note in lessons.to_get])
    lines += _section(say("In service"), [_note_words(note) for note in lessons.service])
    lines += _section(say("Kept outside their tolerance"), list(lessons.deviations))
    lines += _section(
        say("Times (guessed, and yours)"), [_time_words(*row) for row in lessons.times]
    )
    if len(lines) == 1:
        lines.append(say("Nothing is noted, and no step was timed yet."))
    return wrap_lines(lines, width)


def _tried_words(count: int) -> str:
    if count == 1:
        return say(
            "1 of them was only tried, ticked faster than hands work: its times are left out."
        )
    return say(
        "{count} of them were only tried, ticked faster than hands work: their times are left out.",
        count=count,
    )


def _section(title: str, rows: list[str]) -> list[str]:
    return [title, *(f"  {row}" for row in rows)] if rows else []


def _note_words(note: LessonNote) -> str:
    where = f" ({note.headline})" if note.headline else ""
    return f"{note.day}{where}: {note.text}"


def _time_words(title: str, guessed_s: int, factor: TimeFactor) -> str:
    yours = format_span(max(1, round(guessed_s * factor.factor)))
    times = say_count("{n} time", "{n} times", factor.count)
    return say(
        "{title}: {guessed}, yours {yours}, within a factor"
        " {spread} two times out of three, from {times}",
        title=title,
        guessed=format_span(guessed_s),
        yours=yours,
        spread=figure(2.718281828**factor.spread, ".2f"),
        times=times,
    )


def lessons_document(lessons: Lessons) -> dict[str, object]:
    """The lessons as JSON values, version 1."""
    return {
        "version": 1,
        "sessions": lessons.sessions,
        "only_tried": lessons.only_tried,
        "next_time": [_note_entry(note) for note in lessons.next_time],
        "to_get": [_note_entry(note) for note in lessons.to_get],
        "service": [_note_entry(note) for note in lessons.service],
        "deviations": list(lessons.deviations),
        "times": [
            {
                "step": title,
                "guessed_s": guessed_s,
                "factor": round(factor.factor, 4),
                "spread": round(factor.spread, 4),
                "count": factor.count,
            }
            for title, guessed_s, factor in lessons.times
        ],
    }


def _note_entry(note: LessonNote) -> dict[str, object]:
    return {"text": note.text, "step": note.headline, "day": note.day, "build": note.build}
