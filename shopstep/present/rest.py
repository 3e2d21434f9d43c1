"""How much work is left, with its spread, and what that rests on.

The work that is left is the sum of the plan's times, multiplied by the pace of this session: the
estimator of ``model.estimate`` over time spent to time planned. The pace is known to
``s / sqrt(PRIOR_WEIGHT + n)`` in logarithms; single steps scatter by ``s`` about it, which averages
out over many. Imports ``model`` and ``session``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shopstep.model.estimate import LEAST_TIMED_S, PRIOR_WEIGHT, estimate_factor
from shopstep.model.plan import Plan
from shopstep.session.flow import index_plan
from shopstep.session.state import State
from shopstep.words import say, say_count


@dataclass(frozen=True, slots=True)
class Rest:
    """Hands-on work that is left, in seconds; waits are not in it."""

    about_s: int
    low_s: int
    """Two times out of three it is not less than this…"""
    high_s: int
    """…and not more than this."""
    own_times: int
    """How many of the keeper's own times it rests on; 0: all is guessed."""


def rest_of(state: State, plan: Plan) -> Rest:
    """The work of all steps that are not done."""
    index = index_plan(plan)
    left = [step for step in plan.steps if step.id not in state.finished]
    planned_s = sum(step.duration_s for step in left)
    if not planned_s:
        return Rest(0, 0, 0, 0)
    ratios = _own_ratios(state, plan)
    pace = estimate_factor("pace", ratios)
    squares = sum(step.duration_s**2 for step in left) / planned_s**2
    spread = pace.spread * math.sqrt(1 / (PRIOR_WEIGHT + len(ratios)) + squares)
    about = planned_s * pace.factor
    known = {kind.id: kind.timed for kind in (index.kind_of(step) for step in left)}
    return Rest(
        round(about),
        round(about * math.exp(-spread)),
        round(about * math.exp(spread)),
        len(ratios) + sum(known.values()),
    )


def _own_ratios(state: State, plan: Plan) -> list[float]:
    """Time spent to time planned, of steps of this session that were timed."""
    steps = index_plan(plan).steps
    return [
        spent_s / steps[step].duration_s
        for step, spent_s in state.spent.items()
        if step in steps
        and step in state.finished
        and spent_s >= LEAST_TIMED_S
        and steps[step].duration_s > 0
    ]


def rest_words(rest: Rest) -> str:
    """ "About 6 h of work left (5 h to 8 h), resting on guessed times."."""
    if not rest.about_s:
        return say("No work is left.")
    unit_s = _unit_of(rest.about_s)
    about = _span(round(rest.about_s / unit_s) * unit_s or unit_s)
    low = _span(rest.low_s // unit_s * unit_s or unit_s)
    high = _span(-(-rest.high_s // unit_s) * unit_s)
    count = rest.own_times
    times = (
        say_count("{n} time of your own", "{n} times of your own", count)
        if count
        else say("guessed times")
    )
    return say(
        "About {about} of work left ({low} to {high}), resting on {times}.",
        about=about,
        low=low,
        high=high,
        times=times,
    )


def _unit_of(seconds: int) -> int:
    """To what it is rounded: hours from four hours on, half hours, five minutes, minutes."""
    if seconds >= 4 * 3600:
        return 3600
    return 1800 if seconds >= 5400 else 300 if seconds >= 900 else 60


def _span(seconds: int) -> str:
    """Hours of work, never days: "26 h", "1 h 30 min", "40 min"."""
    hours, minutes = divmod(seconds // 60, 60)
    named = [f"{hours} h" if hours else "", f"{minutes} min" if minutes else ""]
    return " ".join(text for text in named if text) or "0 min"
