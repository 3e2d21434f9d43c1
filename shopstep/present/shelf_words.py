"""What stands on the start screen: sessions that can be gone on with, builds, a plan in one page.

Imports ``model``, ``session`` and the words of this room.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from shopstep.model.measure import MeasureQuestion, Reading
from shopstep.model.plan import Plan
from shopstep.present.air import air_sentences
from shopstep.present.evenings import plan_evenings
from shopstep.present.moments import day_words, local_date, local_time
from shopstep.present.readings import kept_words
from shopstep.present.rest import rest_of, rest_words
from shopstep.present.summary import summary_of
from shopstep.session.state import State
from shopstep.session.statuses import BatchStatus, batch_status
from shopstep.units import format_length
from shopstep.words import say, say_count


@dataclass(frozen=True, slots=True)
class SessionLook:
    """A session as somebody chooses it."""

    title: str
    where: str
    """Last done and next, in one or two sentences."""
    when: str
    """The day and the time of the last entry."""
    is_open: bool
    """Whether there is something left to do in it."""


def look_at_session(state: State, plan: Plan, now_s: int) -> SessionLook:
    """Where it stood when it was left."""
    told = summary_of(state, plan, now_s)
    status = batch_status(state, plan)
    done = sum(1 for step in plan.steps if step.id in state.finished)
    far = say("{done} of {steps} steps done", done=done, steps=len(plan.steps))
    following = (
        say("next: {following}", following=told.following) if told.following else say(status.value)
    )
    day = day_words(local_date(state.last_s, plan.zone))
    return SessionLook(
        state.title or plan.build_title,
        f"{far}, {following}.",
        f"{day}, {local_time(state.last_s, plan.zone)}",
        status in (BatchStatus.RUNNING, BatchStatus.HELD),
    )


@dataclass(frozen=True, slots=True)
class MeasureLook:
    """What a shop has kept of what a build asks for."""

    rows: tuple[str, ...]
    """One for each measurement."""
    missing: tuple[str, ...]
    """Names, in words, of those that nobody measured."""
    total: int

    @property
    def words(self) -> str:
        """ "all 5 measured", "2 of 5 measured"."""
        if not self.total:
            return say("nothing to measure")
        kept = self.total - len(self.missing)
        return (
            say("all {total} measured", total=self.total)
            if not self.missing
            else say("{kept} of {total} measured", kept=kept, total=self.total)
        )


@dataclass(frozen=True, slots=True)
class KeptSession:
    """A session that can be gone on with."""

    name: str
    """What the door opens it by."""
    look: SessionLook


@dataclass(frozen=True, slots=True)
class ShelfBuild:
    """A build on the shelf."""

    id: str
    title: str
    summary: str
    problem: str
    """Why it cannot be read; empty where it can."""
    measures: MeasureLook


@dataclass(frozen=True, slots=True)
class NotOpened:
    """A session that could not be opened, in words, and whether the build file has changed."""

    text: str
    is_changed: bool = False


def look_at_measures(
    questions: Sequence[MeasureQuestion],
    kept: Mapping[str, Sequence[Reading]],
    unit: str,
    zone: str,
) -> MeasureLook:
    """Each measurement with what is kept for it, or the usual value that stands in."""
    missing = tuple(_name(q) for q in questions if not kept.get(q.name))
    return MeasureLook(
        tuple(_measure_row(q, kept.get(q.name, ()), unit, zone) for q in questions),
        missing,
        len(questions),
    )


def _name(question: MeasureQuestion) -> str:
    return question.name.replace("_", " ")


def _measure_row(
    question: MeasureQuestion, readings: Sequence[Reading], unit: str, zone: str
) -> str:
    if readings:
        return f"{_name(question)}: {kept_words(readings, question.several, unit, zone)}"
    return say(
        "{question}: not measured; usually {usual}",
        question=_name(question),
        usual=format_length(question.usual, unit),
    )


_WOOD = ("board", "sheet", "roll")
"""Units of buy lines that are named in the outline; the others are counted."""


def outline_rows(plan: Plan) -> list[tuple[str, str]]:
    """The plan in one page: labels and words. Whole lists are in ``plan_text``."""
    evenings = plan_evenings(plan)
    units = say_count("{n} unit", "{n} units", plan.units)
    pieces = sum(part.count(plan.units) for part in plan.parts)
    rows = [
        (
            "makes",
            say(
                "{build_title}, {units}: {pieces} parts of {parts} kinds",
                build_title=plan.build_title,
                units=units,
                pieces=pieces,
                parts=len(plan.parts),
            ),
        )
    ]
    if evenings:
        first, last = evenings[0], evenings[-1]
        begin = f"{day_words(first.day)}, {local_time(first.start_s, plan.zone)}"
        count = say_count("{n} evening", "{n} evenings", len(evenings))
        rows.append(
            (
                "takes",
                say(
                    "{count}; the first {begin}, done on {day}",
                    count=count,
                    begin=begin,
                    day=day_words(last.day),
                ),
            )
        )
    rows.append(("work", rest_words(rest_of(State(), plan))))
    rows += [("air", text) for text in air_sentences(plan.findings)]
    rows.append(("buy", _buy_words(plan)))
    usual = [each.name.replace("_", " ") for each in plan.measured if each.usual]
    if usual:
        rows.append(
            (
                "usual",
                say("not measured, the usual values stand in: {usual}", usual=", ".join(usual)),
            )
        )
    return rows


def _buy_words(plan: Plan) -> str:
    """Boards and sheets by name, all else as a number of lines."""
    wood = [line.text for line in plan.buy if line.unit in _WOOD]
    others = len(plan.buy) - len(wood)
    more = (
        say_count("{n} line more on the list", "{n} lines more on the list", others)
        if others
        else ""
    )
    return "; ".join(text for text in (*wood, more) if text) or say("nothing")
