"""How few evenings the labour alone needs: no schedule can do with fewer.

Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Iterable

from shopstep.model.plan import Shop
from shopstep.model.step import Step
from shopstep.sequence.hours import longest_opening_s


def labour_bound(steps: Iterable[Step], shop: Shop) -> int:
    """Least number of openings of the shop that can hold the steps' hands-on time.

    The larger of two counts: all labour over the length of an opening, and the steps that are
    longer than half of one, since no two of these share it. Waits, clamps and order are left out,
    and so is the hour by which an opening grows in the night of a clock change.
    """
    opening_s = longest_opening_s(shop.calendar)
    durations = [step.duration_s for step in steps]
    long_steps = sum(2 * duration > opening_s for duration in durations)
    return max(-(-sum(durations) // opening_s), long_steps)
