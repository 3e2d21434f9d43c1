"""What to do with the time that is left tonight, in lines.

Imports ``model``, ``session`` and the words of this room.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.model.plan import Plan
from shopstep.model.step import Step
from shopstep.present.columns import fold_item, fold_rows
from shopstep.present.evenings import EveningPlan, name_units
from shopstep.present.leaving import make_safe_after
from shopstep.present.moments import local_date, local_time
from shopstep.present.put_off import by_lines
from shopstep.session.flow import index_plan
from shopstep.session.state import State
from shopstep.session.timers import local_clock
from shopstep.units import format_span
from shopstep.words import say, say_count


@dataclass(frozen=True, slots=True)
class Tonight:
    """The steps that go into the time that is left."""

    steps: tuple[Step, ...]
    """By start; none where nothing can be finished or safely left in time."""
    until_s: int
    now_s: int


def tonight_of(state: State, plan: Plan, now_s: int, until_s: int) -> Tonight:
    """From a plan whose hours end tonight at ``until_s``: the steps of this day that are open."""
    today = local_date(now_s, plan.zone)
    steps = tuple(
        step
        for step in plan.steps
        if step.id not in state.finished and local_date(step.start_s, plan.zone) == today
    )
    return Tonight(steps, until_s, now_s)


def tonight_lines(found: Tonight, plan: Plan, width: int = 78) -> list[str]:
    """What is to be done when, what then waits over night, and what makes the shop safe."""
    zone = plan.zone
    left = format_span(max(0, found.until_s - found.now_s))
    head = say("Until {time}, {left}", time=local_time(found.until_s, zone), left=left)
    if not found.steps:
        said = say("{head}: nothing can be finished or safely left in that time.", head=head)
        return fold_item(f"{said}{_first_after(plan, found)}", width, "")
    evening = EveningPlan(local_date(found.now_s, zone), found.steps)
    work = format_span(evening.hands_on_s)
    count = say_count("{n} step", "{n} steps", len(found.steps))
    lines = fold_item(
        say("{head}: {count}, {work} of work.", head=head, count=count, work=work), width, ""
    )
    index = index_plan(plan)
    rows = [
        [local_time(run[0].start_s, zone), index.kind_of(run[0]).title, name_units(run)]
        for run in evening.runs
    ]
    lines += [f"  {line}" for line in fold_rows(rows, width - 2)]
    for words in _waits_after(found, plan):
        lines += fold_item(words, width, "")
    safe = make_safe_after(plan, (step.id for step in found.steps))
    if safe:
        lines += fold_item(say("Then make safe: ") + " ".join(row.text for row in safe), width, "")
    return lines


def _waits_after(found: Tonight, plan: Plan) -> list[str]:
    """What dries or cures when tonight's work is done."""
    done = {step.id: step.end_s for step in found.steps}
    words = [
        say(
            "Over night: {wait_title}, {kind} time until {clock}.",
            wait_title=wait.title,
            kind=say(wait.kind.replace("_", " ")),
            clock=local_clock(done[wait.after] + wait.seconds, found.now_s, plan.zone),
        )
        for wait in plan.waits
        if wait.after in done
        and wait.before not in done
        and wait.is_least
        and done[wait.after] + wait.seconds > found.until_s
    ]
    words += by_lines(plan, done, found.now_s, found.until_s)
    return list(dict.fromkeys(words))


def _first_after(plan: Plan, found: Tonight) -> str:
    later = [step for step in plan.steps if step.start_s >= found.until_s]
    if not later:
        return ""
    first = min(later, key=lambda step: step.start_s)
    title = index_plan(plan).kind_of(first).title
    return say(
        " Next: {title}, {clock}.",
        title=title,
        clock=local_clock(first.start_s, found.now_s, plan.zone),
    )
