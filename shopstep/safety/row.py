"""The shape of a row of the safety tables. Imports ``shopstep.model`` and ``shopstep.units``."""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.model.step import Caution
from shopstep.units import Length
from shopstep.words import to_say

SIGNALS = to_say(("DANGER", "WARNING", "CAUTION", "NOTICE"))
"""Most serious first. ANSI Z535.4: DANGER only where death or serious injury *will* follow,
WARNING where it could, CAUTION for minor or moderate injury, NOTICE for none."""


@dataclass(frozen=True, slots=True)
class Work:
    """Sizes of the parts in hand; None where not known (or no part is in hand)."""

    shortest: Length | None = None
    """Length of the shortest part (its longest dimension, where a hand could hold it). Where the
    free hand's place was worked out: None where there is one, 0 where there is none."""
    narrowest: Length | None = None
    """Width of the narrowest part, or the way from blade to fence where that is less."""
    thinnest: Length | None = None
    """Thickness of the thinnest part."""


@dataclass(frozen=True, slots=True)
class Below:
    """A condition on the work: one of its sizes lies below a limit."""

    size: str
    """``shortest``, ``narrowest`` or ``thinnest``."""
    limit: Length

    def is_met(self, work: Work) -> bool:
        """Whether the work is known to be smaller than the limit."""
        sizes = {
            "shortest": work.shortest,
            "narrowest": work.narrowest,
            "thinnest": work.thinnest,
        }
        value = sizes[self.size]
        return value is not None and value < self.limit


@dataclass(frozen=True, slots=True)
class SafetyRow:
    """One caution, and when it stands before a step."""

    tool: str
    kinds: tuple[str, ...]
    """Kinds of operation; empty: all. An empty string among them: where the kind is not known."""
    below: Below | None
    """None: for work of any size."""
    stands_for: tuple[str, ...]
    """Ids of rows that need not be shown beside this one, because it says the same and more."""
    caution: Caution

    def applies(self, tool: str, kind: str, work: Work) -> bool:
        """Whether the caution belongs before this operation."""
        if tool != self.tool or (self.kinds and kind not in self.kinds):
            return False
        return self.below is None or self.below.is_met(work)
