"""How long work takes this keeper, against what a plan guesses: an estimator with its spread.

Times at a bench are about log-normal (common practice, no source): what counts is the ratio of the
time spent to the time guessed. The plan's guess is worth ``PRIOR_WEIGHT`` observations of ratio 1
with a spread of ``PRIOR_SPREAD`` in logarithms; with n own ratios r the estimate is

    log f = sum(log r) / (PRIOR_WEIGHT + n)
    s² = (PRIOR_WEIGHT · PRIOR_SPREAD² + sum((log r − log f)²)) / (PRIOR_WEIGHT + n)

which is the posterior mean of a normal mean with a normal prior, its weight in observations. A
ratio outside of 1/4 to 4 counts as its end, so that a forgotten step or a long telephone call
moves little. Imports nothing of the project.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

PRIOR_WEIGHT = 3.0
PRIOR_SPREAD = 0.35
LEAST, MOST = 0.25, 4.0
LEAST_TIMED_S = 5
"""A step that was ticked sooner than this was not timed."""


@dataclass(frozen=True, slots=True)
class TimeFactor:
    """What a guess is to be multiplied by."""

    key: str
    """``BUILD:STEP-KIND`` for one step of one build, ``work:STAGE`` for like work in any build."""
    factor: float
    spread: float
    """Standard deviation of the factor's logarithm."""
    count: int
    """How many own times it rests on."""


def estimate_factor(key: str, ratios: Iterable[float]) -> TimeFactor:
    """The factor from ratios of time spent to time guessed; ValueError for one that is not > 0."""
    logs = [math.log(min(max(ratio, LEAST), MOST)) for ratio in _checked(ratios)]
    weight = PRIOR_WEIGHT + len(logs)
    mean = sum(logs) / weight
    squares = PRIOR_WEIGHT * PRIOR_SPREAD**2 + sum((each - mean) ** 2 for each in logs)
    return TimeFactor(key, math.exp(mean), math.sqrt(squares / weight), len(logs))


def _checked(ratios: Iterable[float]) -> list[float]:
    found = list(ratios)
    if not all(ratio > 0 for ratio in found):
        raise ValueError("a ratio of times is more than 0")
    return found


def own_key(build_id: str, kind_id: str) -> str:
    """The key of one step of one build."""
    return f"{build_id}:{kind_id}"


def work_key(stage: str) -> str:
    """The key of like work in any build: the machine steps that the program makes."""
    return f"work:{stage}"
