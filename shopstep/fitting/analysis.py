"""The door of this room: fits with levers → fits with worst case, odds and advice; findings."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from shopstep.fitting.advice import Advice, Risk, find_risk, write_advice
from shopstep.fitting.odds import (
    Movements,
    levers_that_matter,
    odds_of,
    spread_of,
    tails,
)
from shopstep.fitting.tolerances import Readings, with_tolerance
from shopstep.model.plan import Finding, Fit, Level, Where
from shopstep.units import Length

WARN_ABOVE = 0.05
"""Odds of a broken *must* from which on it is a warning, else a note."""


@dataclass(frozen=True, slots=True)
class Fitting:
    """The fits of a design, looked at in all three ways."""

    fits: tuple[Fit, ...]
    findings: tuple[Finding, ...]


def analyse_fits(
    fits: tuple[Fit, ...], movements: Movements, readings: Readings, display: str
) -> Fitting:
    """Worst case, odds and advice for every fit; a finding for each *must* that may break.

    ``movements``: for each material, shares of a width by which it shrinks and swells outdoors.
    ``readings``: the keeper's own numbers. Range ends count as they are, also where the build
    works them out. What is broken at its planned sizes already has its finding.
    """
    looked_at = [_analyse(fit, movements, readings, display) for fit in fits]
    return Fitting(
        tuple(fit for fit, _ in looked_at),
        tuple(finding for _, finding in looked_at if finding is not None),
    )


def _analyse(
    fit: Fit, movements: Movements, readings: Readings, display: str
) -> tuple[Fit, Finding | None]:
    levers = tuple(with_tolerance(lever, readings) for lever in fit.levers)
    spread = spread_of(fit.value, levers, movements)
    chances = tails(fit, spread)
    strong = levers_that_matter(levers)
    measured = bool(strong) and all(lever.readings >= 2 for lever in strong)
    fit = replace(
        fit,
        levers=levers,
        worst=(Length(math.floor(spread.lowest)), Length(math.ceil(spread.highest))),
        odds=odds_of(*chances),
        odds_measured=measured,
    )
    risk = find_risk(fit, spread, chances, measured) if fit.ok else None
    if risk is None:
        return fit, None
    advice = write_advice(fit, spread, risk, display)
    fit = replace(fit, advice=f"{advice.text} {advice.remedy}")
    return fit, _finding(fit, risk, advice) if fit.level == "must" else None


def _finding(fit: Fit, risk: Risk, advice: Advice) -> Finding:
    level = Level.WARN if risk.chance > WARN_ABOVE else Level.NOTE
    where = Where(fit.file, fit.line, fit.name)
    return Finding(level, f"fit_margin:{fit.name}", advice.text, where, advice.remedy)
