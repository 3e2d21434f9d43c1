"""What the shop has of each resource, and what a hold draws on.

Clamps that must reach far are counted twice: among all clamps, and among those that reach so far.
With needs nested like that no more has to be counted: where the clamps in use with a need of at
least r never exceed the clamps of reach r and more, for every r, each joint finds its own.
Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from shopstep.model.plan import Shop
from shopstep.model.resources import count_reaching
from shopstep.model.step import Hold
from shopstep.units import ZERO, Length, format_length
from shopstep.words import say


@dataclass(frozen=True, slots=True)
class Resource:
    """Something that is counted."""

    name: str
    """As a hold names it."""
    reach: Length = ZERO
    """Of clamps: only those that reach so far; 0: all of them."""

    def serves(self, hold: Hold) -> bool:
        """Whether the hold draws on it."""
        return hold.resource == self.name and hold.reach >= self.reach

    def words(self, display: str, count: int = 2) -> str:
        """``drying places``, ``clamps of 48 in reach``, ``clamp``."""
        name = self.name.replace("_", " ")
        told = name if count != 1 else name.removesuffix("s")
        return (
            say("{told} of {reach} reach", told=told, reach=format_length(self.reach, display))
            if self.reach
            else told
        )


KNOWN = ("clamps", "drying_places", "bench_places")
"""What a step can take."""


def capacities(shop: Shop, holds: Iterable[Hold]) -> dict[Resource, int]:
    """How much of each resource the shop has; what is never too few is left out."""
    have = {Resource("clamps"): shop.clamps, Resource("drying_places"): shop.drying_places}
    if shop.bench_places is not None:
        have[Resource("bench_places")] = shop.bench_places
    if shop.clamp_sets:
        for reach in sorted({h.reach for h in holds if h.resource == "clamps"} - {ZERO}):
            have[Resource("clamps", reach)] = count_reaching(shop.clamps, shop.clamp_sets, reach)
    return have
