"""Which cut of each risky fit is to be measured at the bench, and how far it may be off."""

from __future__ import annotations

import math

from shopstep.fitting.advice import STOCK_KINDS
from shopstep.fitting.odds import effect_nm, levers_that_matter
from shopstep.model.lever import Lever, Watch
from shopstep.model.plan import Fit
from shopstep.units import SIXTY_FOURTH, Length


def watch_cuts(fits: tuple[Fit, ...]) -> tuple[Watch, ...]:
    """For every fit that may break by its cuts, the cut that moves it most; the first one counts.

    Its tolerance is its share of the room that the fit has at its planned sizes: if every size
    keeps to its share, the fit holds whatever the others do. Never finer than 1/64 in, which is
    what a rule shows.
    """
    found: dict[str, Watch] = {}
    for fit in fits:
        cuts = [each for each in levers_that_matter(fit.levers) if each.kind not in STOCK_KINDS]
        if fit.advice and cuts:
            lever = cuts[0]
            found.setdefault(lever.name, Watch(fit.name, lever, _tolerance(fit, lever)))
    return tuple(found.values())


def _tolerance(fit: Fit, lever: Lever) -> Length:
    ends = [end for end in (fit.least, fit.most) if end is not None]
    room = min((abs((fit.value - end).nm) for end in ends), default=0)
    total = sum(effect_nm(each) for each in fit.levers)
    share = room * lever.tolerance.nm / total if total else 0.0
    marks = max(1, math.floor(share / SIXTY_FOURTH.nm))
    return SIXTY_FOURTH.times(marks)
