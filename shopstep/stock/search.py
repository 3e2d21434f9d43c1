"""The search for a layout that needs few bought pieces: many orders, the best is kept.

The usual decreasing orders come first, then seeded ones, so the same blanks always give the same
plan. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from random import Random

from shopstep.model.material import Material
from shopstep.model.stock import RackPiece
from shopstep.stock.items import Item
from shopstep.stock.pieces import Laid, OpenPiece, Rules, Stock, lay_out
from shopstep.units import Length

_MOST_PLACINGS = 8_000
"""About so many items are laid before the best layout so far is taken."""
_FEWEST_TRIES, _MOST_TRIES = 8, 120

Rank = Callable[[Item], tuple[int, int]]


@dataclass(frozen=True, slots=True)
class Attempt:
    """One order of the items, and which pieces get long sections: one flag each, then again."""

    rank: Rank
    long: tuple[bool, ...]


def search_layout(
    items: list[Item], material: Material, rack: list[RackPiece], kerf: Length, rules: Rules
) -> Laid:
    """The layout with least bought; stops early when no layout could need less."""
    fewest = 0 if rack else _area_bound(items, material, kerf)
    tries = min(_MOST_TRIES, max(_FEWEST_TRIES, _MOST_PLACINGS // max(1, len(items))))
    best: Laid | None = None
    for attempt in _attempts(tries):
        laid = try_attempt(attempt, items, material, rack, kerf, rules)
        if best is None or laid.cost < best.cost:
            best = laid
        if best.bought <= fewest:
            break
    assert best is not None, "there is always a first attempt"
    return best


def _area_bound(items: list[Item], material: Material, kerf: Length) -> int:
    """No layout needs fewer pieces; each item takes a kerf with it on two sides."""
    need = sum((item.length.nm + kerf.nm) * (item.width.nm + kerf.nm) for item in items)
    have = (material.sold_length.nm + kerf.nm) * (material.sold_width.nm + kerf.nm)
    return -(-need // have)


def _attempts(count: int) -> Iterator[Attempt]:
    for long in (True, False):
        yield Attempt(lambda item: (item.width.nm, item.length.nm), (long,))
        yield Attempt(lambda item: (item.length.nm, item.width.nm), (long,))
    chance = Random(0)
    for _ in range(count - 4):
        yield Attempt(_mixed_rank(chance), tuple(chance.randrange(2) == 1 for _ in range(3)))


def _mixed_rank(chance: Random) -> Rank:
    """Decreasing in width and length, each with its own weight and a shake for each size.

    Whole numbers only, so that every machine gives the same order.
    """
    by_width, by_length = chance.randrange(1, 12), chance.randrange(4)
    shakes: dict[tuple[int, int], int] = {}

    def rank(item: Item) -> tuple[int, int]:
        width, length = item.width.nm, item.length.nm
        shake = shakes.setdefault((width, length), chance.randrange(50, 150))
        return (width * by_width + length * by_length) * shake, length

    return rank


def try_attempt(
    attempt: Attempt,
    items: list[Item],
    material: Material,
    rack: list[RackPiece],
    kerf: Length,
    rules: Rules,
) -> Laid:
    """One layout; what no bought piece can hold has its pick of the rack before all else.

    Of sheets, what is cut to its length first lies before what is cut to its width first.
    """

    def open_bought(number: int) -> OpenPiece:
        name = f"buy-{material.id}-{number}"
        size = (material.sold_length, material.sold_width)
        stock = Stock(name, material.id, False, *size, kerf)
        ways = attempt.long
        return OpenPiece(stock, rules, ways[(number - 1) % len(ways)])

    on_rack = [
        OpenPiece(
            Stock(piece.id, material.id, True, piece.length, piece.width, kerf, piece.squared),
            rules,
            attempt.long[0],
        )
        for piece in rack
    ]
    ordered = sorted(items, key=attempt.rank, reverse=True)
    sizes = {item.size: item for item in ordered}
    buyable = {size: open_bought(1).place(item) for size, item in sizes.items()}
    ordered.sort(key=lambda item: (buyable[item.size], not item.length_first))
    return lay_out(ordered, on_rack, open_bought)
