"""What the engine is asked: activities that share resources, and lags between their starts.

Times are whole numbers in any unit the caller likes; the first moment is 0. Imports nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass


class BadProblem(ValueError):
    """The problem contradicts its own shape; the sentence says what, where and what is right."""


@dataclass(frozen=True, slots=True)
class Resource:
    """Something that several activities use at once, and that is given back afterwards."""

    name: str
    capacity: int


@dataclass(frozen=True, slots=True)
class Activity:
    """Work that runs without a break once it has begun."""

    name: str
    duration: int
    demands: tuple[tuple[int, int], ...] = ()
    """(Index of the resource, amount used from start to end); each resource once at most."""
    release: int = 0
    """Earliest start."""


@dataclass(frozen=True, slots=True)
class Lag:
    """``start(after) >= start(before) + least``, by the activities' indices.

    A positive ``least`` is a minimum lag. A negative one is a maximum lag read backwards:
    'b at most 10 after a' is ``Lag(b, a, -10)``.
    """

    before: int
    after: int
    least: int


@dataclass(frozen=True, slots=True)
class Problem:
    """Everything must be done, no resource overdrawn, every lag kept, the last end early."""

    resources: tuple[Resource, ...]
    activities: tuple[Activity, ...]
    lags: tuple[Lag, ...] = ()
    frozen: tuple[tuple[int, int], ...] = ()
    """(Activity, start) of what has begun already: it keeps its start, whatever its release."""


def length_of(problem: Problem, starts: tuple[int, ...]) -> int:
    """The moment at which the last activity ends; 0 where there is none."""
    pairs = zip(starts, problem.activities, strict=True)
    return max((start + activity.duration for start, activity in pairs), default=0)


def check_problem(problem: Problem) -> None:
    """Raises ``BadProblem`` with the first thing that makes no sense."""
    for complaint in _complaints(problem):
        raise BadProblem(complaint)


def _complaints(problem: Problem) -> Iterator[str]:
    for resource in problem.resources:
        if resource.capacity < 0:
            yield f"Resource '{resource.name}' has capacity {resource.capacity}; 0 is the least."
    for activity in problem.activities:
        yield from _of_activity(activity, len(problem.resources))
    count = len(problem.activities)
    for lag in problem.lags:
        if not (0 <= lag.before < count and 0 <= lag.after < count):
            yield (
                f"A lag joins activities {lag.before} and {lag.after}; there are 0 to {count - 1}."
            )
    seen: set[int] = set()
    for number, start in problem.frozen:
        if not 0 <= number < count:
            yield f"Activity {number} is fixed; there are 0 to {count - 1}."
        elif number in seen:
            yield f"'{problem.activities[number].name}' is fixed twice."
        elif start < 0:
            yield f"'{problem.activities[number].name}' is fixed at {start}; 0 is the earliest."
        seen.add(number)


def _of_activity(activity: Activity, resources: int) -> Iterator[str]:
    if activity.duration < 0:
        yield f"'{activity.name}' takes {activity.duration}; 0 is the least."
    if activity.release < 0:
        yield f"'{activity.name}' may start at {activity.release}; 0 is the earliest."
    seen: set[int] = set()
    for resource, amount in activity.demands:
        if not 0 <= resource < resources:
            yield f"'{activity.name}' uses resource {resource}; there are 0 to {resources - 1}."
        elif resource in seen:
            yield f"'{activity.name}' names resource {resource} twice."
        elif amount < 0:
            yield f"'{activity.name}' uses {amount} of resource {resource}; 0 is the least."
        seen.add(resource)
