"""Longest waits that begin in an evening of the plan, in words. Imports ``model`` and moments."""

from __future__ import annotations

from collections.abc import Mapping

from shopstep.model.plan import Plan
from shopstep.model.step import WaitKind
from shopstep.present.moments import day_clock
from shopstep.words import say


def by_lines(plan: Plan, ends: Mapping[str, int], begin_s: int, end_s: int) -> list[str]:
    """What has to begin by when, of all whose time begins to run in a span: the first, how many.

    ``ends``: when each step ends. "Begin by Thu 8 Jan 18:00: first coat, unit 1, and 3 more."
    """
    found = sorted(
        (ends[wait.after] + wait.seconds, wait.title)
        for wait in plan.waits
        if wait.kind is WaitKind.WITHIN and begin_s < ends.get(wait.after, 0) <= end_s
    )
    if not found:
        return []
    due_s, title = found[0]
    more = say(", and {found} more after it", found=len(found) - 1) if len(found) > 1 else ""
    return [
        say(
            "Begin by {day_clock}: {title}{more}.",
            day_clock=day_clock(due_s, plan.zone),
            title=title,
            more=more,
        )
    ]
