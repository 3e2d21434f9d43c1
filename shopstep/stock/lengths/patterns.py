"""The linear relaxation over all cutting patterns, by column generation; its bound is exact.

Gilmore and Gomory (1961): each pattern is a column, and the pattern that is worth most at the
present prices comes next. The revised simplex here works in floating point; what it proves is
worked out again in whole numbers (Farley 1990), so rounding cannot spoil it. Imports nothing of
the project.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from shopstep.stock.lengths.problem import Lengths

Pattern = tuple[int, ...]
"""How many of each size; a column with one -1 is a surplus."""
_TINY = 1e-9
_SCALE = 10**7
"""Prices are rounded down to so many parts before they prove anything."""
MOST_ROUNDS = 2_000


@dataclass(frozen=True, slots=True)
class Relaxation:
    """What the relaxation says."""

    bound: int
    """No way needs fewer bars."""
    patterns: tuple[tuple[Pattern, float], ...]
    """Patterns in use, and how often."""


def relax(lengths: Lengths, is_late: Callable[[], bool]) -> Relaxation | None:
    """The relaxation; None where the time did not suffice for any proof."""
    most = [
        min(lengths.capacity // size, demand)
        for size, demand in zip(lengths.sizes, lengths.demands, strict=True)
    ]
    table = Basis(most, lengths.demands)
    for _ in range(MOST_ROUNDS):
        prices = table.prices()
        lowest = min(range(len(prices)), key=lambda n: prices[n])
        if prices[lowest] < -_TINY:
            column: Pattern = tuple(-1 if n == lowest else 0 for n in range(len(prices)))
        else:
            if is_late():
                return None
            worth, column = dearest(lengths, [max(0.0, price) for price in prices], is_late)
            if worth <= 1 + 1e-7:
                break
        if not table.bring_in(column):
            break
    return _prove(lengths, table, is_late)


def _prove(lengths: Lengths, table: Basis, is_late: Callable[[], bool]) -> Relaxation | None:
    """With whole prices p and the dearest pattern worth w, no way needs less than p·demand / w."""
    whole = [max(0, int(price * _SCALE)) for price in table.prices()]
    worth, _ = dearest(lengths, whole, is_late)
    if worth <= 0 or is_late():
        return None
    value = sum(p * d for p, d in zip(whole, lengths.demands, strict=True))
    bound = -(-value // int(worth))
    used = [(p, x) for p, x in zip(table.columns, table.amounts, strict=True) if min(p) >= 0]
    return Relaxation(bound, tuple((p, x) for p, x in used if x > _TINY))


class Basis:
    """The basis of a relaxation: its columns, the inverse, and how much of each column is used."""

    def __init__(self, most: Sequence[int], demands: Sequence[int], cost: float = 1.0) -> None:
        """Begins with a column of each size by itself: so many of it, at that cost."""
        count = len(most)
        self.columns: list[Pattern] = [
            tuple(most[n] if n == k else 0 for n in range(count)) for k in range(count)
        ]
        self._costs = [cost] * count
        self._inverse = [[1 / most[n] if n == k else 0.0 for n in range(count)]
                         for k in range(count)]  # fmt: skip
        self.amounts = [d / m for d, m in zip(demands, most, strict=True)]

    def prices(self) -> list[float]:
        """What one piece of each size costs at the present basis."""
        totals = [0.0] * len(self._costs)
        for cost, row in zip(self._costs, self._inverse, strict=True):
            if cost:
                totals = [t + cost * r for t, r in zip(totals, row, strict=True)]
        return totals

    def bring_in(self, column: Pattern, cost: float = 1.0) -> bool:
        """The column comes into the basis, for the one that runs out first; False if none does.
        A surplus costs nothing."""
        where = [n for n, count in enumerate(column) if count]
        change = [sum(row[n] * column[n] for n in where) for row in self._inverse]
        steps = [(self.amounts[k] / change[k], k) for k in range(len(change)) if change[k] > _TINY]
        if not steps:
            return False
        step, out = min(steps)
        pivot = [value / change[out] for value in self._inverse[out]]
        for k, row in enumerate(self._inverse):
            factor = change[k]
            if k != out and abs(factor) > 1e-13:
                self._inverse[k] = [r - factor * p for r, p in zip(row, pivot, strict=True)]
                self.amounts[k] = max(0.0, self.amounts[k] - factor * step)
        self._inverse[out] = pivot
        self.amounts[out] = step
        self.columns[out] = column
        self._costs[out] = 0.0 if min(column) < 0 else cost
        return True


def dearest(
    lengths: Lengths, prices: list[float] | list[int], is_late: Callable[[], bool]
) -> tuple[float, Pattern]:
    """The pattern that is worth most at these prices, and its worth: a bounded knapsack.

    Depth first along falling price for length, with the usual bound. Out of time it gives the best
    so far, which proves nothing; the caller asks the clock.
    """
    sizes, demands = lengths.sizes, lengths.demands
    order = sorted(
        (n for n in range(len(sizes)) if prices[n] > 0), key=lambda n: -prices[n] / sizes[n]
    )
    best: list[float] = [0]
    best_counts: dict[int, int] = {}
    counts: dict[int, int] = {}
    steps = 0
    late = False

    def go(place: int, room: int, worth: float) -> None:
        nonlocal steps, best_counts, late
        steps += 1
        if steps % 4096 == 0 and is_late():
            late = True
        if worth > best[0]:
            best[0] = worth
            best_counts = dict(counts)
        if late or place == len(order):
            return
        n = order[place]
        if worth + prices[n] * room / sizes[n] <= best[0]:
            return
        for count in range(min(demands[n], room // sizes[n]), -1, -1):
            counts[n] = count
            go(place + 1, room - count * sizes[n], worth + count * prices[n])
        del counts[n]

    go(0, lengths.capacity, 0)
    return best[0], tuple(best_counts.get(n, 0) for n in range(len(sizes)))
