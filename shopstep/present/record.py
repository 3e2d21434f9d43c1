"""The record of a batch: what was measured and when, and how long each step took.

Imports ``model``, ``session`` and the words of this room. Planned times are those of the steps
that were finished, so that planned and actual compare the same work.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from shopstep.model.plan import Plan
from shopstep.model.step import Check, Step, StepKind, stage_of
from shopstep.present.facts import headline_of
from shopstep.session.events import (
    BatchCompleted,
    BatchHeld,
    BatchResumed,
    DeviationAccepted,
    Envelope,
    Event,
    GlueScraped,
    MeasureTaken,
    NoteTaken,
    StepBegun,
    StepFinished,
    StepReopened,
    StepsVoided,
)
from shopstep.session.evolve import OPEN_TIME, PUT_OFF
from shopstep.session.flow import index_plan
from shopstep.units import Length
from shopstep.words import say

ABSENT_S = 3 * 3600
"""Nobody stands at a step so much longer than planned without an entry: the lid was closed over it
(our rule). Less than that may well be how long it took."""


@dataclass(frozen=True, slots=True)
class StepRecord:
    """How long one finished step took."""

    step: str
    title: str
    """Headline without the unit; the step's id where the plan has it no more."""
    unit: int | None
    headline: str
    stage: str
    finished_s: int
    """Seconds since 1970 UTC, the last time it was finished."""
    planned_s: int
    spent_s: int | None
    """Seconds at the bench, without holds; all goes added up where it was done again.

    None where nobody saw it come to the bench (done out of turn, first after a wait, or ticked on
    paper), or where nobody was there for ``ABSENT_S`` more than it was planned to take.
    """
    times: int
    """How often it was finished."""


@dataclass(frozen=True, slots=True)
class MeasureRecord:
    """One reading, as taken."""

    step: str
    headline: str
    name: str
    text: str
    """What the check asks; empty where the plan no longer has it."""
    at_s: int
    value: Length
    expected: Length | None
    within: bool
    accepted: str | None
    """Why it was kept although outside; None where it was not accepted."""
    where: str = ""
    """Of a gap at a slope: ``toe``, ``heel`` or ``even``; else empty."""


@dataclass(frozen=True, slots=True)
class NoteRecord:
    """One note in the person's own words."""

    headline: str
    text: str
    at_s: int


@dataclass(frozen=True, slots=True)
class Record:
    """A batch looked back on."""

    title: str
    units: int
    zone: str
    display: str
    started_s: int
    """Seconds since 1970 UTC; 0 where nothing has happened."""
    completed_s: int | None
    held_s: int
    """Seconds on hold, over all holds that were ended."""
    steps: tuple[StepRecord, ...]
    """In the order of finishing."""
    measures: tuple[MeasureRecord, ...]
    notes: tuple[NoteRecord, ...]
    late_joints: tuple[str, ...]
    """Headlines of joints that were closed after the open time, and kept."""
    put_off: tuple[str, ...]
    """Headlines of steps that were put off for too long, and done all the same."""

    @property
    def total(self) -> Times:
        """All finished steps whose time is known."""
        return add_times("", self.steps)

    @property
    def stages(self) -> tuple[Times, ...]:
        """Each stage, in the order in which the stages were finished first."""
        names = dict.fromkeys(step.stage for step in self.steps)
        return tuple(
            add_times(name, tuple(step for step in self.steps if step.stage == name))
            for name in names
        )


@dataclass(frozen=True, slots=True)
class Times:
    """Planned against actual, over the steps whose actual time is known."""

    stage: str
    planned_s: int
    spent_s: int
    known: int
    """How many steps these are."""
    unknown: int
    """Finished steps whose time nobody knows; they count in neither sum."""


def add_times(stage: str, steps: tuple[StepRecord, ...]) -> Times:
    """Planned and spent seconds of several steps, compared like with like."""
    known = [(step.planned_s, step.spent_s) for step in steps if step.spent_s is not None]
    return Times(
        stage=stage,
        planned_s=sum(planned for planned, _ in known),
        spent_s=sum(spent for _, spent in known),
        known=len(known),
        unknown=len(steps) - len(known),
    )


def record(envelopes: Iterable[Envelope], plan: Plan) -> Record:
    """What the events of a session add up to under its plan."""
    book = _Book(plan)
    for envelope in envelopes:
        book.enter(envelope.event, envelope.moment.at_s)
    return book.close()


@dataclass(slots=True)
class _Book:
    """The pages that fill up while the events are read in order."""

    plan: Plan
    started_s: int = 0
    completed_s: int | None = None
    held_since: int | None = None
    held_s: int = 0
    bench: str | None = None
    last_s: int = 0
    left_alone: set[str] = field(default_factory=set)
    spent: dict[str, int] = field(default_factory=dict)
    times: dict[str, int] = field(default_factory=dict)
    finished: dict[str, int] = field(default_factory=dict)
    measures: list[tuple[MeasureTaken, int]] = field(default_factory=list)
    accepted: dict[tuple[str, str], str] = field(default_factory=dict)
    notes: list[NoteRecord] = field(default_factory=list)

    def enter(self, event: Event, at_s: int) -> None:
        """Take one event into the book; kinds that say nothing here change nothing."""
        self.started_s = self.started_s or at_s
        self._look_for_absence(at_s)
        match event:
            case StepBegun(step=step):
                self.bench = step
            case StepFinished(step=step, spent_s=spent_s, told_s=told_s):
                self.left_alone |= {step} if told_s else set()  # paper tells when, not how long
                self._finish(step, spent_s, told_s or at_s)
            case StepReopened(step=step):
                self.bench = step
                self.finished.pop(step, None)
                self.completed_s = None
                self.accepted = {k: v for k, v in self.accepted.items() if k[0] != step}
            case GlueScraped(step=step, reopened=reopened):
                for gone in {step, *reopened}:
                    self.finished.pop(gone, None)
                self.completed_s = None
            case StepsVoided(steps=steps):
                for gone in steps:
                    self.finished.pop(gone, None)
                self.completed_s = None
            case MeasureTaken():
                self.measures.append((event, at_s))
                self.accepted.pop((event.step, event.name), None)
            case DeviationAccepted(step=step, name=name, reason=reason):
                self.accepted[step, name] = reason
            case NoteTaken():
                self.notes.append(NoteRecord(note_about(self.plan, event), event.text, at_s))
            case BatchHeld():
                self.held_since = at_s
            case BatchResumed():
                self.held_s += max(at_s - self.held_since, 0) if self.held_since else 0
                self.held_since = None
            case BatchCompleted():
                self.completed_s = at_s
            case _:
                pass

    def _look_for_absence(self, at_s: int) -> None:
        """Marks the step at the bench where nobody was there; a hold is not counted anyway."""
        gap_s, self.last_s = at_s - self.last_s, at_s
        if self.bench is None or self.held_since is not None:
            return
        found = find_step(self.plan, self.bench)
        if gap_s >= ABSENT_S + (found[0].duration_s if found else 0):
            self.left_alone.add(self.bench)

    def _finish(self, step: str, spent_s: int, at_s: int) -> None:
        if self.bench == step:
            self.spent[step] = self.spent.get(step, 0) + spent_s
            self.bench = None
        self.times[step] = self.times.get(step, 0) + 1
        self.finished.pop(step, None)
        self.finished[step] = at_s

    def close(self) -> Record:
        """The record of what was entered."""
        late = [step for step, name in self.accepted if name == OPEN_TIME]
        return Record(
            title=self.plan.build_title,
            units=self.plan.units,
            zone=self.plan.zone,
            display=self.plan.display,
            started_s=self.started_s,
            completed_s=self.completed_s,
            held_s=self.held_s,
            steps=tuple(self._step_record(step) for step in self.finished),
            measures=tuple(
                self._measure_record(place, event, at_s)
                for place, (event, at_s) in enumerate(self.measures)
            ),
            notes=tuple(self.notes),
            late_joints=tuple(step_headline(self.plan, step) for step in late),
            put_off=tuple(
                step_headline(self.plan, step) for step, name in self.accepted if name == PUT_OFF
            ),
        )

    def _step_record(self, step_id: str) -> StepRecord:
        found = find_step(self.plan, step_id)
        return StepRecord(
            step=step_id,
            title=found[1].title if found else step_id,
            unit=found[0].unit if found else None,
            headline=step_headline(self.plan, step_id),
            stage=stage_of(step_id),
            finished_s=self.finished[step_id],
            planned_s=found[0].duration_s if found else 0,
            spent_s=None if step_id in self.left_alone else self.spent.get(step_id),
            times=self.times[step_id],
        )

    def _measure_record(self, place: int, event: MeasureTaken, at_s: int) -> MeasureRecord:
        check = _find_check(self.plan, event.step, event.name)
        later = self.measures[place + 1 :]
        is_last = not any((e.step, e.name) == (event.step, event.name) for e, _ in later)
        return MeasureRecord(
            step=event.step,
            headline=step_headline(self.plan, event.step),
            name=event.name,
            text=check.text if check else "",
            at_s=at_s,
            value=Length(event.nm),
            expected=check.value if check else None,
            within=event.within,
            accepted=self.accepted.get((event.step, event.name)) if is_last else None,
            where=event.where,
        )


def find_step(plan: Plan, step_id: str) -> tuple[Step, StepKind] | None:
    """A step of the plan with its kind; None where the plan has it no more."""
    index = index_plan(plan)
    step = index.steps.get(step_id)
    return (step, index.kind_of(step)) if step else None


def note_about(plan: Plan, note: NoteTaken) -> str:
    """What a note is about: a unit in service, a step, or nothing (an empty string)."""
    if note.unit:
        return say("unit {note_unit} in service", note_unit=note.unit)
    return step_headline(plan, note.step) if note.step else ""


def step_headline(plan: Plan, step_id: str) -> str:
    """Headline and unit of a step; its id where the plan has it no more."""
    found = find_step(plan, step_id)
    return headline_of(*found) if found else step_id


def _find_check(plan: Plan, step_id: str, name: str) -> Check | None:
    found = find_step(plan, step_id)
    if found is None:
        return None
    return next((check for check in found[1].checks if check.name == name), None)
