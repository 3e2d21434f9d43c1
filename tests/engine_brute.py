"""Small scheduling problems by brute force: shares no code with the engine.

Time step after time step every start is tried; so only for a handful of short activities.
"""

from __future__ import annotations

from shopstep.sequence.engine.problem import Problem


def is_schedule(problem: Problem, starts: tuple[int, ...]) -> bool:
    """Whether starts keep lags, releases, what is frozen, and capacities at every moment."""
    activities = problem.activities
    if any(s < a.release for s, a in zip(starts, activities, strict=True)):
        return False
    if any(starts[number] != start for number, start in problem.frozen):
        return False
    if any(starts[lag.after] < starts[lag.before] + lag.least for lag in problem.lags):
        return False
    end = max((s + a.duration for s, a in zip(starts, activities, strict=True)), default=0)
    for moment in range(end):
        used = [0] * len(problem.resources)
        for start, activity in zip(starts, activities, strict=True):
            if start <= moment < start + activity.duration:
                for resource, amount in activity.demands:
                    used[resource] += amount
        if any(u > r.capacity for u, r in zip(used, problem.resources, strict=True)):
            return False
    return True


def shortest(problem: Problem, horizon: int) -> int | None:
    """The least last end of any schedule that ends by the horizon; None where there is none."""
    activities = problem.activities
    best: int | None = None
    starts: list[int] = []

    def go_on(end: int) -> None:
        nonlocal best
        if best is not None and end >= best:
            return
        number = len(starts)
        if number == len(activities):
            if is_schedule(problem, tuple(starts)):
                best = end
            return
        activity = activities[number]
        for start in range(activity.release, horizon - activity.duration + 1):
            if all(
                start >= starts[lag.before] + lag.least
                for lag in problem.lags
                if lag.after == number and lag.before < number
            ) and all(
                starts[lag.after] >= start + lag.least
                for lag in problem.lags
                if lag.before == number and lag.after < number
            ):
                starts.append(start)
                go_on(max(end, start + activity.duration))
                starts.pop()

    go_on(0)
    return best
