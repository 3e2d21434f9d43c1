"""What had to be bought for has its pick of the rack earlier next time, again and again.

("Squeaky wheel" search: Joslin and Clements 1999, from memory.) Whole numbers and a seed only, so
the same blanks always give the same plan. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Callable
from math import isqrt
from random import Random

from shopstep.stock.items import Item
from shopstep.stock.pieces import Laid

_PARTS = 1_000_000
"""The heaviest item weighs so much at first."""
_MOST_URGED = 400_000
_PATIENCE = 25
"""After so many layouts that are no better the weights are drawn anew."""

Weights = dict[int, int]
"""By ``id`` of the item: the heaviest is laid first."""
Lay = Callable[[Weights, tuple[bool, ...]], Laid]
"""Lays all items out by weight; the flags say which pieces get long sections."""
Goal = tuple[int, int, int]


def urge_layout(items: list[Item], lay: Lay, best: Laid, fewest: int, tries: int) -> Laid:
    """The best of so many layouts and of ``best``; ends where no less can be spent."""
    chance = Random(1)
    while tries > 0 and best.spent > fewest:
        weights, long = _draw_weights(items, chance), _draw_long(chance)
        mark, stale = None, 0
        while tries > 0 and stale < _PATIENCE and best.spent > fewest:
            tries -= 1
            laid = lay(weights, long)
            best = min(best, laid, key=lambda one: one.cost)
            urgent = laid.on_bought
            goal: Goal = len(laid.misfits), laid.spent, _area(urgent)
            if mark is None or goal < mark:
                mark, stale = goal, 0
            else:
                stale += 1
                if stale % 3 == 0:
                    long = _draw_long(chance)
            for item in urgent:
                weights[id(item)] += chance.randrange(_MOST_URGED)
    return best


def _draw_weights(items: list[Item], chance: Random) -> Weights:
    """Decreasing in width and length, each to some power (in halves), and a shake for each size."""
    by_width, by_length = chance.choice((1, 2, 2, 4)), chance.choice((0, 1, 2, 2))
    shakes: dict[tuple[int, int], int] = {}
    raw: Weights = {}
    for item in items:
        size = item.length.nm, item.width.nm
        shake = shakes.setdefault(size, chance.randrange(50, 150))
        raw[id(item)] = isqrt(size[1] ** by_width * size[0] ** by_length) * shake
    most = max(raw.values())
    return {name: weight * _PARTS // most for name, weight in raw.items()}


def _draw_long(chance: Random) -> tuple[bool, ...]:
    return tuple(chance.randrange(2) == 1 for _ in range(3))


def _area(items: list[Item]) -> int:
    return sum(item.length.nm * item.width.nm for item in items)
