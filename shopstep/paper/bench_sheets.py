"""The steps on paper: by evenings, with boxes to tick, cautions, waits, and blanks for numbers.

Imports ``model``, ``session`` and the words of ``present``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from shopstep.model.plan import Plan
from shopstep.model.step import Caution, Check, Step, StepKind, Wait, WaitKind
from shopstep.present.evenings import EveningPlan, plan_evenings
from shopstep.present.facts import hand_words, pencil_mark, show_fastener, value_text
from shopstep.present.leaving import make_safe_after
from shopstep.present.moments import day_words, local_time, ready_words
from shopstep.present.plan_text import evening_words
from shopstep.session.flow import index_plan
from shopstep.session.state import State
from shopstep.units import format_length, format_span
from shopstep.words import say, to_say

Sheet = dict[str, object]
Pictured = tuple[str, str]
"""A picture as SVG, and the words below it."""
LATER = to_say(
    "Back at the screen, enter all ticks in one go: shopstep do LAST done-until NAME, with the "
    "small name of the last step that is done. It asks when each joint was closed and each coat "
    "ended, so write those times down."
)


def bench_sheet(plan: Plan, state: State | None, pictures: Mapping[str, Pictured]) -> Sheet:
    """All steps by evenings; ``pictures`` by step kind.

    A kind of step is written out where it comes first; where it comes again, it names that place
    and keeps its numbers. A caution stands whole the first time in each evening, then with what
    keeps fingers whole.
    """
    writer = _Writer(plan, state, pictures)
    return {
        "kind": "steps",
        "title": say("At the bench"),
        "later": say(LATER),
        "evenings": [
            writer.evening(number, evening) for number, evening in enumerate(plan_evenings(plan), 1)
        ],
    }


def tonight_sheet(plan: Plan, state: State | None, day: date) -> Sheet:
    """One day's open steps with clock times, in few words; each caution of theirs once."""
    writer = _Writer(plan, state, {})
    found = [evening for evening in plan_evenings(plan) if evening.day == day]
    runs = [run for evening in found for run in map(writer.open_steps, evening.runs) if run]
    rows = [writer.run(run) for run in runs]
    index = index_plan(plan)
    cautions = {c.id: c for run in runs for c in index.kind_of(run[0]).cautions}
    done_today = (step.id for evening in found for step in evening.steps)
    return {
        "kind": "tonight",
        "title": say("Tonight, {day}", day=day_words(day)),
        "rows": rows,
        "later": say(LATER),
        "cautions": [
            {"signal": caution.signal, "words": " ".join(_keeps_whole(caution))}
            for caution in cautions.values()
        ],
        "safe": [row.text for row in make_safe_after(plan, done_today)],
    }


def _keeps_whole(caution: Caution) -> list[str]:
    """How to avoid it, and where the other hand goes."""
    return [say(words) for words in (caution.avoid, caution.hand) if words]


@dataclass
class _Writer:
    """Numbers the steps of a sheet, and knows where a kind was written out."""

    plan: Plan
    state: State | None
    pictures: Mapping[str, Pictured]
    count: int = 0
    written: dict[str, int] = field(default_factory=dict)
    cautioned: set[str] = field(default_factory=set)
    """Ids of cautions that stand whole on this evening's sheet."""

    def evening(self, number: int, evening: EveningPlan) -> Sheet:
        """One evening with its runs of equal steps."""
        self.cautioned.clear()
        safe = make_safe_after(self.plan, (step.id for step in evening.steps))
        return {
            "head": evening_words(evening, self.plan.zone),
            "number": number,
            "steps": [self.run(run) for run in evening.runs],
            "safe": [row.text for row in safe],
        }

    def open_steps(self, run: tuple[Step, ...]) -> tuple[Step, ...]:
        """Those that are not done."""
        return tuple(step for step in run if not self._is_done(step))

    def _is_done(self, step: Step) -> bool:
        return self.state is not None and step.id in self.state.finished

    def run(self, run: tuple[Step, ...]) -> Sheet:
        """Equal steps of several units, as one entry."""
        self.count += 1
        kind = index_plan(self.plan).kind_of(run[0])
        before = self.written.setdefault(kind.id, self.count)
        is_again = before != self.count
        display = self.plan.display
        picture, below = ("", "") if is_again else self.pictures.get(kind.id, ("", ""))
        return {
            "number": self.count,
            "as": before if is_again else 0,
            "at": local_time(run[0].start_s, self.plan.zone),
            "title": kind.title,
            "name": kind.id,
            "boxes": [
                {"label": self._mark(step, kind), "done": self._is_done(step)} for step in run
            ],
            "text": "" if is_again else " ".join([kind.text, *hand_words(kind)]),
            "picture": picture,
            "below": below,
            "numbers": [
                [say(number.label), value_text(number.value, display)] for number in kind.numbers
            ],
            "fasteners": [show_fastener(each, display) for each in kind.fasteners],
            "checks": [self._check(check, len(run)) for check in kind.checks],
            "cautions": [self._caution(caution) for caution in kind.cautions],
            "waits": self._waits(run[0], kind),
        }

    def _caution(self, caution: Caution) -> Sheet:
        is_known = caution.id in self.cautioned
        self.cautioned.add(caution.id)
        if is_known:
            words = say(caution.hand or caution.avoid)
            return {"signal": caution.signal, "words": words, "whole": False}
        whole = (caution.harm, caution.avoid, caution.hand, caution.done)
        words = " ".join(say(part) for part in whole if part)
        return {"signal": caution.signal, "words": words, "whole": True}

    def _mark(self, step: Step, kind: StepKind) -> str:
        return pencil_mark(self.plan, step, kind) or "all"

    def _check(self, check: Check, units: int) -> Sheet:
        """A number is written down once for each unit."""
        if check.value is None:
            return {"text": check.text, "expects": "", "blanks": 0}
        value = format_length(check.value, self.plan.display)
        tolerance = format_length(check.tolerance, self.plan.display)
        return {"text": check.text, "expects": f"{value} ± {tolerance}", "blanks": units}

    def _waits(self, step: Step, kind: StepKind) -> list[str]:
        """Limits that begin with the step, in words that hold for each unit of the run."""
        index = index_plan(self.plan)
        told = [
            wait_words(wait, index.kind_of(index.steps[wait.before]).title)
            for wait in index.waits_after.get(step.id, ())
            if wait.before in index.steps
        ]
        return list(dict.fromkeys(told))


def wait_words(wait: Wait, then: str) -> str:
    """One limit as it stands on paper, with a line for the moment from which it counts."""
    span = format_span(wait.seconds)
    if wait.kind is WaitKind.OPEN:
        return say(
            "First glue at ______: you have {span} until this is done: {then}", span=span, then=then
        )
    if wait.kind is WaitKind.WITHIN:
        return say(
            "Finished on ______: within {span} begin: {then}. Later: {late}",
            span=span,
            then=then,
            late=say(wait.late),
        ).strip()
    return say(
        "Finished at ______ and {span} more: {ready}. Not before: {then}",
        span=span,
        ready=ready_words(wait.kind),
        then=then,
    )
