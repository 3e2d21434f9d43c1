"""The search for a layout that needs few bought pieces: many orders, the best is kept.

The usual decreasing orders come first, then seeded ones, so the same blanks always give the same
plan. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import chain
from random import Random

from shopstep.model.material import Material
from shopstep.model.stock import RackPiece
from shopstep.stock.items import Item
from shopstep.stock.least import least_bought
from shopstep.stock.lengths import Lengths, pack_with
from shopstep.stock.pieces import Laid, OpenPiece, Rules, Stock, lay_out
from shopstep.units import Length

_MOST_PLACINGS = 8_000
"""About so many items are laid before the best layout so far is taken."""
_FEWEST_TRIES, _MOST_TRIES = 8, 120
_BAR_WORK = 200
"""So much is spent on laying wide pieces end to end."""

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
    fewest = least_bought(items, material, rack, kerf, rules.rough_extra)
    tries = min(_MOST_TRIES, max(_FEWEST_TRIES, _MOST_PLACINGS // max(1, len(items))))
    best: Laid | None = None
    for attempt in chain(_by_bars(items, material, kerf, rules), _attempts(tries)):
        laid = try_attempt(attempt, items, material, rack, kerf, rules)
        if best is None or laid.cost < best.cost:
            best = laid
        if best.bought <= fewest:
            break
    assert best is not None, "there is always a first attempt"
    return best


def _by_bars(
    items: list[Item], material: Material, kerf: Length, rules: Rules
) -> Iterator[Attempt]:
    """What is wider than half a board lies end to end: bar by bar, as few bars hold it best.

    A board is cut into two rough lengths at least, each with its own ends.
    """
    room = material.sold_length + kerf - rules.rough_extra.times(2)
    wide = [i for i in items if i.width.times(2) > material.sold_width and i.length + kerf <= room]
    if not rules.is_board or len(wide) < 2:
        return
    by_length: dict[int, list[Item]] = {}
    for item in wide:
        by_length.setdefault(item.length.nm + kerf.nm, []).append(item)
    lengths = Lengths.of(room.nm, (n for n, own in by_length.items() for _ in own))
    places: dict[int, int] = {}
    for number, bar in enumerate(pack_with(lengths, _BAR_WORK).bars):
        places |= {id(by_length[length].pop()): -number for length in bar}
    last = -len(wide)
    yield Attempt(lambda item: (places.get(id(item), last), item.width.nm), (True,))


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
