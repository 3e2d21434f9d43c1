"""The inside of a block, decided by the engine where no order without a gap keeps its open times.

Imports the room's layout and its engine.
"""

from __future__ import annotations

from shopstep.sequence.engine.outcome import Limits
from shopstep.sequence.engine.problem import Activity, Lag, Problem, Resource
from shopstep.sequence.engine.solving import solve_problem
from shopstep.sequence.layout import Inside

LIMITS = Limits(rounds=12)
"""So many rounds decide all blocks of some twenty steps, in some hundredths of a second."""


def decide_inside(inside: Inside) -> tuple[int, ...] | None:
    """Offset of each step from the start of the block, or None where there is none.

    Unlike ``lay_inside`` it may leave hands idle: a joint is then spread later, so that it is
    still open when what it waits for is ready. What follows at once has nothing before it but
    its own wait. The block is as short as was found.
    """
    outcome = solve_problem(as_problem(inside), LIMITS)
    if outcome.starts is None:
        return None
    *starts, _ = outcome.starts
    first = min(starts)
    return tuple(start - first for start in starts)


def as_problem(inside: Inside) -> Problem:
    """The block as the engine takes it: one pair of hands, and its start as a last activity."""
    hands = ((0, 1),)
    steps = inside.steps
    activities = [Activity(step.id, step.duration_s, hands) for step in steps]
    begin = len(activities)
    lags: list[Lag] = []
    for number, step in enumerate(steps):
        for earlier, wait in inside.lags[number].items():
            lags.append(Lag(earlier, number, steps[earlier].duration_s + wait))
        for earlier, most in inside.limits[number].items():
            lags.append(Lag(number, earlier, step.duration_s - most))
        follows = inside.behind[number]
        if follows is not None:
            after = steps[follows].duration_s + inside.lags[number].get(follows, 0)
            lags.append(Lag(follows, number, after))
            lags.append(Lag(number, follows, -after))
        if number in inside.deadlines:
            lags.append(Lag(number, begin, step.duration_s - inside.deadlines[number]))
    return Problem(
        (Resource("hands", 1),),
        (*activities, Activity("begin of the block", 0)),
        tuple(lags),
        frozen=((begin, 0),),
    )
