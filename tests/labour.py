"""How few evenings the work alone needs, whatever waits, clamps and order say."""

from __future__ import annotations

from collections.abc import Iterable

from shopstep.model.plan import Shop
from shopstep.model.step import Step
from shopstep.sequence.bound import packing_bound
from shopstep.sequence.hours import longest_opening_s


def labour_bound(steps: Iterable[Step], shop: Shop) -> int:
    """Least number of openings of the shop that can hold the steps' hands-on time.

    The hour by which an opening grows in the night of a clock change is left out.
    """
    return packing_bound([step.duration_s for step in steps], longest_opening_s(shop.calendar))
