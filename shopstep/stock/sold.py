"""What is on sale of a material, and what is kept low where it is bought.

Of one size that is the count of pieces; of several lengths the money, where each has its price,
and else the area. Imports ``shopstep.model``.
"""

from __future__ import annotations

from dataclasses import dataclass
from heapq import heappop, heappush
from math import gcd

from shopstep.model.material import Material
from shopstep.model.stock import Measure
from shopstep.units import Length

_MOST_MIXES = 24
_MOST_BEGUN = 20_000


@dataclass(frozen=True, slots=True)
class Sold:
    """One length that a material is sold in."""

    length: Length
    worth: int
    """What is kept low, in whole units of the material (``unit_of``)."""


def measure_of(material: Material) -> Measure:
    """What is kept low where the material is bought."""
    if not material.other_lengths:
        return Measure.COUNT
    return Measure.MONEY if _is_priced(material) else Measure.LENGTH


def sold_kinds(material: Material) -> tuple[Sold, ...]:
    """Each length on sale, the longest first."""
    worths, unit = _worths(material), unit_of(material)
    return tuple(
        Sold(length, worth // unit) for length, worth in zip(material.lengths, worths, strict=True)
    )


def cheaper_mixes(
    kinds: tuple[Sold, ...], least: int, most: int
) -> list[tuple[int, tuple[int, ...]]]:
    """What could be bought for ``least`` up to below ``most``: cost and kinds, the cheapest first.

    Of one kind there is nothing to choose; of several only so many ways are named.
    """
    if len(kinds) == 1:
        return [(least, (0,))]
    found: list[tuple[int, tuple[int, ...]]] = []
    begun: list[tuple[int, tuple[int, ...]]] = [(0, ())]
    while begun and len(found) < _MOST_MIXES:
        cost, mix = heappop(begun)
        if mix and cost >= least:
            found.append((cost, mix))
        for kind in range(mix[-1] if mix else 0, len(kinds)):
            if cost + kinds[kind].worth < most and len(begun) < _MOST_BEGUN:
                heappush(begun, (cost + kinds[kind].worth, (*mix, kind)))
    return found


def unit_of(material: Material) -> int:
    """One unit of worth: so many pieces, nanometres or hundredths."""
    return gcd(*_worths(material))


def _worths(material: Material) -> list[int]:
    measure = measure_of(material)
    if measure is Measure.COUNT:
        return [1]
    if measure is Measure.LENGTH:
        return [length.nm for length in material.lengths]
    pairs = zip(material.lengths, material.prices, strict=True)
    return [price.of(length).hundredths for length, price in pairs if price is not None]


def _is_priced(material: Material) -> bool:
    return len(material.prices) == len(material.lengths) and None not in material.prices
