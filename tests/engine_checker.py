"""Independent judges of the scheduling engine: share only the problem's shape with it.

One reads a schedule moment by moment; the others find the shortest length by trying everything.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import permutations, product

from shopstep.sequence.engine.problem import Problem


def violations(problem: Problem, starts: Sequence[int]) -> list[str]:
    """Everything that is wrong with the starts; empty where they are a schedule."""
    activities = problem.activities
    if len(starts) != len(activities):
        return [f"{len(starts)} starts for {len(activities)} activities"]
    wrong = []
    fixed = dict(problem.frozen)
    for number, (activity, start) in enumerate(zip(activities, starts, strict=True)):
        if number in fixed and start != fixed[number]:
            wrong.append(f"{activity.name} is fixed at {fixed[number]} and starts at {start}")
        if number not in fixed and start < activity.release:
            wrong.append(f"{activity.name} starts before its release")
    for lag in problem.lags:
        if starts[lag.after] - starts[lag.before] < lag.least:
            wrong.append(f"the lag of {lag.least} from {lag.before} to {lag.after} is broken")
    for moment in range(min(starts, default=0), _end(problem, starts)):
        for number, resource in enumerate(problem.resources):
            used = sum(
                amount
                for activity, start in zip(activities, starts, strict=True)
                for taken, amount in activity.demands
                if taken == number and start <= moment < start + activity.duration
            )
            if used > resource.capacity:
                wrong.append(f"{used} of {resource.name} at {moment}")
    return wrong


def _end(problem: Problem, starts: Sequence[int]) -> int:
    pairs = zip(starts, problem.activities, strict=True)
    return max((start + activity.duration for start, activity in pairs), default=0)


def shortest_by_trying(problem: Problem) -> int | None:
    """The least last end over all whole-numbered starts, or None where there are none.

    For a handful of activities with short durations: every start up to a horizon is tried.
    """
    for length in range(horizon_of(problem) + 1):
        if _fits(problem, length):
            return length
    return None


def horizon_of(problem: Problem) -> int:
    """A moment by which a problem that has a schedule has one that ends.

    Were there a moment after all releases and fixed starts at which nothing runs and no minimum
    lag runs, all that is later could be moved up.
    """
    latest = max(
        [activity.release for activity in problem.activities]
        + [start for _, start in problem.frozen]
        + [0]
    )
    horizon = latest
    for number, activity in enumerate(problem.activities):
        lags = [lag.least for lag in problem.lags if lag.before == number]
        horizon += max([activity.duration, *lags])
    return horizon


def _fits(problem: Problem, length: int) -> bool:
    fixed = dict(problem.frozen)
    windows = []
    for number, activity in enumerate(problem.activities):
        low = fixed.get(number, activity.release)
        high = fixed.get(number, length - activity.duration)
        windows.append((low, high))
    return all(
        high + activity.duration <= length
        for (_, high), activity in zip(windows, problem.activities, strict=True)
    ) and _try(problem, windows, ())


def _try(problem: Problem, windows: list[tuple[int, int]], chosen: tuple[int, ...]) -> bool:
    """Whether the first activities' starts can be completed."""
    narrowed = _narrow(problem, windows)
    if narrowed is None:
        return False
    at = len(chosen)
    if at == len(windows):
        return not violations(problem, chosen)
    for start in range(narrowed[at][0], narrowed[at][1] + 1):
        tried = [*narrowed[:at], (start, start), *narrowed[at + 1 :]]
        if _is_overdrawn(problem, (*chosen, start)):
            continue
        if _try(problem, tried, (*chosen, start)):
            return True
    return False


def _narrow(problem: Problem, windows: list[tuple[int, int]]) -> list[tuple[int, int]] | None:
    """The windows after the lags have been applied until nothing changes."""
    windows = list(windows)
    changed = True
    while changed:
        changed = False
        for lag in problem.lags:
            (low, _), (_, high) = windows[lag.before], windows[lag.after]
            if low + lag.least > windows[lag.after][0]:
                windows[lag.after] = (low + lag.least, windows[lag.after][1])
                changed = True
            if high - lag.least < windows[lag.before][1]:
                windows[lag.before] = (windows[lag.before][0], high - lag.least)
                changed = True
            if windows[lag.after][0] > windows[lag.after][1]:
                return None
            if windows[lag.before][0] > windows[lag.before][1]:
                return None
    return windows if all(low <= high for low, high in windows) else None


def _is_overdrawn(problem: Problem, starts: tuple[int, ...]) -> bool:
    placed = list(zip(starts, problem.activities, strict=False))
    for number, resource in enumerate(problem.resources):
        for moment in starts:
            used = sum(
                dict(activity.demands).get(number, 0)
                for start, activity in placed
                if start <= moment < start + activity.duration
            )
            if used > resource.capacity:
                return True
    return False


def shortest_shop_by_trying(jobs: list[list[tuple[int, int]]]) -> int:
    """The least length of a job shop, from every order on every machine.

    ``jobs`` are rows of (machine, duration) pairs.
    """
    places = [(job, turn) for job, row in enumerate(jobs) for turn in range(len(row))]
    machines = sorted({machine for row in jobs for machine, _ in row})
    users = [[p for p in places if jobs[p[0]][p[1]][0] == machine] for machine in machines]
    lengths = [
        length
        for orders in product(*(permutations(row) for row in users))
        if (length := _length_of_orders(jobs, orders)) is not None
    ]
    return min(lengths)


def _length_of_orders(
    jobs: list[list[tuple[int, int]]], orders: tuple[tuple[tuple[int, int], ...], ...]
) -> int | None:
    """The length with these orders, or None where they wait for each other in a circle."""
    ends: dict[tuple[int, int], int] = {}
    queues = [list(order) for order in orders]
    while any(queues):
        moved = False
        for queue in queues:
            while queue and (queue[0][1] == 0 or (queue[0][0], queue[0][1] - 1) in ends):
                job, turn = queue.pop(0)
                machine = jobs[job][turn][0]
                free = max(
                    (end for (j, t), end in ends.items() if jobs[j][t][0] == machine), default=0
                )
                ends[job, turn] = max(free, ends.get((job, turn - 1), 0)) + jobs[job][turn][1]
                moved = True
        if not moved:
            return None
    return max(ends.values())
