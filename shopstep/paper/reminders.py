"""What a calendar should remind of: glue that is cured, paint that is dry, evenings at the bench.

Imports ``model``, ``session`` and ``present``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from uuid import NAMESPACE_OID, UUID, uuid5

from shopstep.model.plan import Plan
from shopstep.model.step import WaitKind
from shopstep.present.evenings import EveningPlan, name_units, plan_evenings
from shopstep.present.moments import ready_words, span_left
from shopstep.session.flow import index_plan
from shopstep.session.state import State
from shopstep.session.timers import Timer, running_timers
from shopstep.words import say

LOOK_S = 15 * 60
"""How long a calendar shows a moment."""
WARM_UP_S = 30 * 60
"""An evening is told of so long before it begins: the shop and the glue want to be warm."""
LAST_DAY_S = 86_400
"""What may not be put off any longer is told of a day before."""


@dataclass(frozen=True, slots=True)
class Reminder:
    """One entry of a calendar."""

    id: UUID
    """The same whenever the same thing of the same session is reminded of."""
    start_s: int
    """Seconds since 1970 UTC."""
    end_s: int
    alarm_s: int
    """So long before ``start_s`` the calendar calls."""
    title: str
    text: str


def make_reminders(
    session: str, state: State, plan: Plan, now_s: int, *, all_evenings: bool = False
) -> tuple[Reminder, ...]:
    """Waits that run and the next evening (or all), by their moments.

    ``plan`` has its times from now on (``Workbench.ahead``). ``session`` is what no other session
    has, such as the id of its first command. What is over is left out.
    """
    evenings = _evenings(session, state, plan, now_s)
    waits = [
        _wait(session, plan, timer)
        for timer in running_timers(state, plan)
        if timer.wait.kind is not WaitKind.OPEN and timer.due_s > now_s
    ]
    told = [*waits, *(evenings if all_evenings else evenings[:1])]
    return tuple(sorted(told, key=lambda each: (each.start_s, each.title)))


def _wait(session: str, plan: Plan, timer: Timer) -> Reminder:
    index, wait = index_plan(plan), timer.wait
    step = index.steps[wait.before]
    unit = "" if step.unit is None else say(", unit {step_unit}", step_unit=step.unit)
    return Reminder(
        _id(session, "wait", wait.id),
        timer.due_s,
        timer.due_s + LOOK_S,
        0 if wait.is_least else LAST_DAY_S,
        f"{wait.title}: {ready_words(wait.kind)}",
        say(
            "{build_title}. Then: {kind_of_title}{unit}.",
            build_title=plan.build_title,
            kind_of_title=index.kind_of(step).title,
            unit=unit,
        ),
    )


def _evenings(session: str, state: State, plan: Plan, now_s: int) -> list[Reminder]:
    """Evenings that are still to come, each with its open steps.

    They are numbered by their place among those to come, and that is their identity: when the
    plan changes, the first one is still the next evening.
    """
    to_come = [evening for evening in plan_evenings(plan) if evening.start_s > now_s]
    steps = [tuple(s for s in one.steps if s.id not in state.finished) for one in to_come]
    left = [EveningPlan(one.day, s) for one, s in zip(to_come, steps, strict=True) if s]
    index = index_plan(plan)
    return [
        Reminder(
            _id(session, "evening", str(number)),
            evening.start_s,
            evening.end_s,
            WARM_UP_S,
            say(
                "{build_title}: {span_left} at the bench",
                build_title=plan.build_title,
                span_left=span_left(evening.hands_on_s),
            ),
            _lines(
                f"{index.kind_of(run[0]).title} {_units(name_units(run))}".strip()
                for run in evening.runs
            ),
        )
        for number, evening in enumerate(left, 1)
    ]


def _units(units: str) -> str:
    return f"({units})" if units else ""


def _lines(words: Iterable[str]) -> str:
    return "\n".join(words)


def _id(session: str, kind: str, name: str) -> UUID:
    return uuid5(uuid5(NAMESPACE_OID, session), f"{kind}/{name}")
