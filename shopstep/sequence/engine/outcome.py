"""What the engine answers, and how much it may spend on the answer. Imports nothing."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Limits:
    """When to stop: at the first of the two.

    ``rounds`` counts units of search (a few dozen schedules or cases each), so the same seed and
    the same rounds give the same answer on every machine; seconds do not.
    """

    seconds: float | None = None
    rounds: int | None = None


@dataclass(frozen=True, slots=True)
class Outcome:
    """The best schedule that was found, and what is known about any better one."""

    starts: tuple[int, ...] | None
    """A start for every activity in the problem's order; None where none was found."""
    length: int | None
    """The last end of that schedule."""
    bound: int
    """No schedule ends earlier; 0 where the problem is infeasible."""
    infeasible: bool = False
    """True only where it is proved that no schedule exists."""
    reason: str = ""
    """Why there is none, in words, where one contradiction can be named."""
    rounds: int = 0
    """How many were spent."""

    @property
    def proved(self) -> bool:
        """Whether nothing is left open: the best length is the bound, or there is no schedule."""
        return self.infeasible or (self.length is not None and self.length <= self.bound)


@dataclass(frozen=True, slots=True)
class Answer:
    """What a prover outside found."""

    starts: tuple[int, ...] | None = None
    bound: int = 0
    infeasible: bool = False
    """No schedule exists at all."""
