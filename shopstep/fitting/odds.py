"""Worst case and odds of one fit, which is taken as linear in its levers.

Each lever is normal about its planned size, with its tolerance as three standard deviations; they
are independent, so their variances add (root-sum-square). The wood's movement is no chance: it
comes every year, so a fit must hold at the dry end, at the wet end, and in the shop.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from shopstep.model.lever import Lever
from shopstep.model.plan import Fit
from shopstep.units import Length

Movements = Mapping[str, tuple[float, float]]
"""For each material the shares of a width by which it shrinks (≤ 0) and swells (≥ 0)."""
SIGMAS = 3.0
MATTERS = 0.05
"""A lever matters if it brings at least this share of the variance."""


@dataclass(frozen=True, slots=True)
class Spread:
    """How a fit's value spreads, in nanometres."""

    value: float
    reach: float
    """Sum of all tolerances, each times its ratio: the worst case."""
    sigma: float
    shrinks: float
    """Largest change downwards by the wood's movement, 0 or less."""
    swells: float
    """Largest change upwards, 0 or more."""

    @property
    def lowest(self) -> float:
        """Worst case downwards."""
        return self.value + self.shrinks - self.reach

    @property
    def highest(self) -> float:
        """Worst case upwards."""
        return self.value + self.swells + self.reach


def spread_of(value: Length, levers: tuple[Lever, ...], movements: Movements) -> Spread:
    """The spread of a value by its levers, whose tolerances are set."""
    reaches = [abs(lever.ratio) * lever.tolerance.nm for lever in levers]
    sigma = math.sqrt(sum(reach**2 for reach in reaches)) / SIGMAS
    dry, wet = (_moved(levers, movements, state) for state in (0, 1))
    return Spread(value.nm, sum(reaches), sigma, min(dry, wet, 0.0), max(dry, wet, 0.0))


def _moved(levers: tuple[Lever, ...], movements: Movements, state: int) -> float:
    """Change of the value where all wood is dry (state 0) or wet (1)."""
    return sum(
        lever.ratio * lever.value.nm * movements[lever.material][state]
        for lever in levers
        if lever.across_grain and lever.material in movements
    )


def tails(fit: Fit, spread: Spread) -> tuple[float, float]:
    """Probabilities that the value lies below and above the range, at the season that is worse."""
    below = above = 0.0
    if fit.least is not None:
        below = _below(fit.least.nm - spread.value - spread.shrinks, spread.sigma)
    if fit.most is not None:
        above = 1 - _below(fit.most.nm - spread.value - spread.swells, spread.sigma, True)
    return below, above


def odds_of(below: float, above: float) -> float:
    """Probability that it is broken at one end or at the other.

    The two never meet in one piece while the range is wider than the movement; else every piece is
    broken in one season or the other, and the sum is held at 1.
    """
    return min(1.0, below + above)


def _below(gap: float, sigma: float, reached: bool = False) -> float:
    """P(a normal error < gap); with no spread at all, whether 0 < gap (or 0 ≤ gap)."""
    if sigma == 0:
        return float(gap >= 0 if reached else gap > 0)
    return 0.5 * (1 + math.erf(gap / (sigma * math.sqrt(2))))


def levers_that_matter(levers: tuple[Lever, ...]) -> tuple[Lever, ...]:
    """The levers that bring a good share of the spread, the strongest first.

    Of two that are equally strong, one that a check of the steps already holds comes last.
    """
    total = sum((lever.ratio * lever.tolerance.nm) ** 2 for lever in levers)
    strong = [lever for lever in levers if effect_nm(lever) ** 2 >= MATTERS * total > 0]
    return tuple(sorted(strong, key=lambda each: (-effect_nm(each), each.held is not None)))


def effect_nm(lever: Lever) -> float:
    """By how much the lever's tolerance moves the value, in nanometres."""
    return abs(lever.ratio) * lever.tolerance.nm
