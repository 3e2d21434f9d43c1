"""What is to be cut, and how it was cut. Imports nothing of the project."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass


class BadLengths(ValueError):
    """A piece longer than the bar, or no positive number; one plain sentence."""


@dataclass(frozen=True, slots=True)
class Lengths:
    """So many pieces of each size, from bars of one length."""

    capacity: int
    sizes: tuple[int, ...]
    """All different, the largest first."""
    demands: tuple[int, ...]
    """How many of each size."""

    @classmethod
    def of(cls, capacity: int, sizes: Iterable[int]) -> Lengths:
        """From a list of pieces; BadLengths where one cannot be cut."""
        counted = Counter(sizes)
        if capacity <= 0:
            raise BadLengths(f"the bar is {capacity} long; it must be more than nothing")
        for size in counted:
            if not 0 < size <= capacity:
                raise BadLengths(f"a piece of {size} does not fit a bar of {capacity}")
        ordered = sorted(counted, reverse=True)
        return cls(capacity, tuple(ordered), tuple(counted[size] for size in ordered))

    @property
    def count(self) -> int:
        """How many pieces."""
        return sum(self.demands)

    @property
    def total(self) -> int:
        """Length of all pieces together."""
        return sum(size * count for size, count in zip(self.sizes, self.demands, strict=True))


Bars = list[list[int]]
"""For each bar the sizes that are cut from it."""


@dataclass(frozen=True, slots=True)
class Packing:
    """The best that was found, and how few bars any way needs at least."""

    bars: tuple[tuple[int, ...], ...]
    bound: int

    @property
    def is_proved(self) -> bool:
        """Whether no way needs fewer bars."""
        return len(self.bars) == self.bound
