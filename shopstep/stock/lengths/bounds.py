"""Bars that any way needs at least, from weights that no full bar can exceed.

A dual feasible function f maps sizes to weights so that whatever fits one bar weighs 1 at most;
then no way needs fewer bars than all pieces weigh together. The families are those of Fekete and
Schepers, "New classes of fast lower bounds for bin packing problems" (Math. Programming 91, 2001;
from memory): they contain the bound L2 of Martello and Toth (1990). Imports nothing of the project.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction

from shopstep.stock.lengths.problem import Lengths

Weigh = Callable[[int], Fraction]
MOST_ROUNDINGS = 12
"""Roundings to multiples of 1/1 to 1/12 are tried."""


def weights(capacity: int, sizes: tuple[int, ...]) -> Iterator[Weigh]:
    """Functions worth trying for these sizes, the plain one first."""
    yield lambda size: Fraction(size, capacity)
    for least in sorted({size for size in sizes if 2 * size <= capacity}):
        yield _large_first(capacity, least)
    for parts in range(1, MOST_ROUNDINGS + 1):
        yield _rounded(capacity, parts)


def _large_first(capacity: int, least: int) -> Weigh:
    """What leaves room for less than ``least`` weighs 1, what is smaller than that nothing."""

    def weigh(size: int) -> Fraction:
        if size > capacity - least:
            return Fraction(1)
        return Fraction(size, capacity) if size >= least else Fraction(0)

    return weigh


def _rounded(capacity: int, parts: int) -> Weigh:
    """Rounded down to a multiple of 1/``parts``, but for exact multiples of 1/(``parts`` + 1)."""

    def weigh(size: int) -> Fraction:
        whole, rest = divmod(size * (parts + 1), capacity)
        return Fraction(size, capacity) if rest == 0 else Fraction(whole, parts)

    return weigh


def least_bars(lengths: Lengths) -> int:
    """The best bound that these weights give."""
    best = 0
    for weigh in weights(lengths.capacity, lengths.sizes):
        pairs = zip(lengths.sizes, lengths.demands, strict=True)
        weight = sum((weigh(size) * count for size, count in pairs), Fraction(0))
        best = max(best, -(-weight.numerator // weight.denominator))
    return best
