"""The search for a layout that spends little on bought pieces: many orders, the best is kept.

The usual decreasing orders come first, then seeded ones, so the same blanks always give the same
plan. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from itertools import chain, product
from random import Random

from shopstep.model.material import Material
from shopstep.model.stock import RackPiece
from shopstep.stock.dearest import least_by_prices
from shopstep.stock.heavy import least_for_heavy, usable_boards
from shopstep.stock.items import Item
from shopstep.stock.least import least_bought
from shopstep.stock.lengths import Lengths, pack_with
from shopstep.stock.open_sheets import OpenSheet
from shopstep.stock.pieces import Laid, OpenPiece, Rules, Stock, lay_out
from shopstep.stock.repricing import fill_boards
from shopstep.stock.sheets import lay_sheets
from shopstep.stock.sold import Sold, cheaper_mixes, sold_kinds
from shopstep.stock.urging import Weights, urge_layout
from shopstep.units import ZERO, Length

_MOST_PLACINGS = 8_000
"""About so many items are laid before the best layout so far is taken."""
_MOST_SAWN = 8_000
"""About so many items are laid on sheets that are sawn into sections."""
_FEWEST_TRIES, _MOST_TRIES = 8, 120
_MOST_URGENT = 200
_URGENT_WORK = 700_000
"""So many times an item is held against a piece where what has to be bought is urged."""
_FILL_WORK = 400_000
"""About half a second for filling fewer boards than orders alone do with."""
_MOST_FILLED = 4
"""So many ways to buy less are tried in vain."""
_BAR_WORK = 200
"""So much is spent on laying wide pieces end to end."""

Rank = Callable[[Item], tuple[int, int]]


@dataclass(frozen=True, slots=True)
class Attempt:
    """One order of the items, and which pieces get long sections: one flag each, then again."""

    rank: Rank
    long: tuple[bool, ...]
    kinds: tuple[int, ...] = (0,)
    """Which of the lengths on sale bought pieces have, one each, then again; 0: the longest."""
    folds: tuple[int, ...] = (0,)
    """Of sheets: how they are sawn into sections, one each, then again (``OpenSheet.fold``)."""


@dataclass(frozen=True, slots=True)
class Found:
    """The best layout, and how little has to be spent at least."""

    laid: Laid
    least: int
    """In units of ``sold``: pieces, where only one length is sold."""


def search_layout(
    items: list[Item], material: Material, rack: list[RackPiece], kerf: Length, rules: Rules
) -> Found:
    """The layout that spends least; stops early when no layout could spend less."""
    fewest = bound_bought(items, material, rack, kerf, rules)
    best = _try_orders(items, material, rack, kerf, rules, fewest)
    if best.spent <= fewest or best.misfits:
        return Found(best, fewest)
    if rules.is_board:
        fewest = _bound_boards(items, material, rack, kerf, rules, Found(best, fewest))
        best = _fill_fewer(items, material, rack, kerf, rules, Found(best, fewest))
        return Found(best, fewest)
    found = _search_sheets(items, material, rack, kerf, rules, Found(best, fewest))
    if found.laid.spent <= found.least or found.laid.is_sawn:
        return found
    best, fewest = found.laid, found.least

    def lay(kinds: tuple[int, ...], weights: Weights, long: tuple[bool, ...]) -> Laid:
        attempt = Attempt(lambda item: (weights[id(item)], item.length.nm), long, kinds)
        return try_attempt(attempt, items, material, rack, kerf, rules)

    tries = min(_MOST_URGENT, _URGENT_WORK // (len(items) * (len(rack) + best.bought)))
    mixes = cheaper_mixes(sold_kinds(material), fewest, best.spent)
    for cost, mix in mixes:
        if cost < best.spent:
            urged = urge_layout(items, partial(lay, mix), best, fewest, tries // len(mixes))
            best = min(best, urged, key=lambda laid: laid.cost)
    return Found(best, fewest)


def _bound_boards(
    items: list[Item],
    material: Material,
    rack: list[RackPiece],
    kerf: Length,
    rules: Rules,
    first: Found,
) -> int:
    """No layout spends less, by prices where no board of the rack can be used, and by the heaviest
    sizes alone."""
    ends = kerf, rules.rough_extra, rules.edge_trim
    fewest, most = first.least, first.laid.spent
    if not usable_boards(rack, items, rules.rough_extra):
        fewest = least_by_prices(items, material, *ends, fewest, most)
    if fewest < most:
        fewest = max(fewest, least_for_heavy(items, material, rack, *ends, most))
    return fewest


def _fill_fewer(
    items: list[Item],
    material: Material,
    rack: list[RackPiece],
    kerf: Length,
    rules: Rules,
    first: Found,
) -> Laid:
    """All boards of the rack filled board by board, and with them less and less that is bought."""
    kinds, best = sold_kinds(material), first.laid
    openers, open_bought = _openers(material, rack, kerf, rules, (True,))
    mixes = cheaper_mixes(kinds, first.least, best.spent)
    if len(kinds) == 1:
        mixes = [(count, (0,) * count) for count in range(first.least, best.spent)]
    tries = min(len(mixes), _MOST_FILLED)
    for cost, mix in reversed(mixes):
        if not tries or cost >= best.spent:
            continue
        bought = [partial(open_bought, *made) for made in enumerate(mix, 1)]
        laid = fill_boards(items, [*openers, *bought], _FILL_WORK // min(len(mixes), _MOST_FILLED))
        if laid is None:
            tries -= 1
        else:
            best = min(best, laid, key=lambda one: one.cost)
    return best


def bound_bought(
    items: list[Item], material: Material, rack: list[RackPiece], kerf: Length, rules: Rules
) -> int:
    """No layout spends less, by weights alone."""
    usable = usable_boards(rack, items, rules.rough_extra) if rules.is_board else rack
    return least_bought(items, material, usable, kerf, rules.rough_extra)


def lay_within(
    items: list[Item],
    material: Material,
    rack: list[RackPiece],
    kerf: Length,
    rules: Rules,
    most: int,
) -> Laid | None:
    """A layout that spends no more than that; None where none is found by orders alone."""
    if bound_bought(items, material, rack, kerf, rules) > most:
        return None
    laid = _try_orders(items, material, rack, kerf, rules, most)
    return laid if not laid.misfits and laid.spent <= most else None


def _search_sheets(
    items: list[Item],
    material: Material,
    rack: list[RackPiece],
    kerf: Length,
    rules: Rules,
    first: Found,
) -> Found:
    """The best of all ways where sizes are few; sheets are sawn only where less is spent so."""
    kinds, best = sold_kinds(material), first.laid
    openers = _openers(material, rack, kerf, rules, (True,))
    whole = lay_sheets(items, *openers, kinds, best.spent)
    if whole is not None:
        best = min(best, whole, key=lambda laid: laid.cost)
        if rules.section_extra is None or whole.spent <= first.least:
            return Found(best, whole.spent)
    if rules.section_extra is None:
        return Found(best, first.least)
    openers = _openers(material, rack, kerf, rules, (True,), (1,))
    sawn = lay_sheets(items, *openers, kinds, best.spent)
    least = first.least if sawn is None else sawn.spent
    for attempt in () if sawn is not None else _sawn_attempts(items, len(kinds)):
        laid = try_attempt(attempt, items, material, rack, kerf, rules)
        sawn = laid if sawn is None or laid.cost < sawn.cost else sawn
        if sawn.spent <= least:
            break
    assert sawn is not None, "there is an attempt at least"
    return Found(sawn if sawn.spent < best.spent else best, least)


def _sawn_attempts(items: list[Item], kinds: int) -> Iterator[Attempt]:
    chance = Random(2)
    for _ in range(max(_FEWEST_TRIES, _MOST_SAWN // len(items))):
        folds = tuple(chance.randint(1, 2) for _ in range(3))
        mixed = tuple(chance.randrange(kinds) for _ in range(3)) if kinds > 1 else (0,)
        yield Attempt(_mixed_rank(chance), (True,), mixed, folds)


def _try_orders(
    items: list[Item],
    material: Material,
    rack: list[RackPiece],
    kerf: Length,
    rules: Rules,
    fewest: int,
) -> Laid:
    tries = min(_MOST_TRIES, max(_FEWEST_TRIES, _MOST_PLACINGS // max(1, len(items))))
    best: Laid | None = None
    kinds = len(material.lengths)
    for attempt in chain(_by_bars(items, material, kerf, rules), _attempts(tries, kinds)):
        laid = try_attempt(attempt, items, material, rack, kerf, rules)
        if best is None or laid.cost < best.cost:
            best = laid
        if best.spent <= fewest:
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


def _attempts(count: int, kinds: int) -> Iterator[Attempt]:
    for kind, is_long in product(range(kinds), (True, False)):
        yield Attempt(lambda item: (item.width.nm, item.length.nm), (is_long,), (kind,))
        yield Attempt(lambda item: (item.length.nm, item.width.nm), (is_long,), (kind,))
    chance = Random(0)
    for _ in range(count - 4):
        long = tuple(chance.randrange(2) == 1 for _ in range(3))
        mixed = tuple(chance.randrange(kinds) for _ in range(3)) if kinds > 1 else (0,)
        yield Attempt(_mixed_rank(chance), long, mixed)


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

    openers, open_bought = _openers(material, rack, kerf, rules, attempt.long, attempt.folds)
    kinds = range(len(material.lengths))

    def buy(number: int, item: Item) -> OpenPiece | None:
        first = attempt.kinds[(number - 1) % len(attempt.kinds)]
        for kind in dict.fromkeys((first, *kinds)):
            piece = open_bought(number, kind)
            if piece.place(item):
                return piece
        return None

    on_rack = [opener() for opener in openers]
    ordered = sorted(items, key=attempt.rank, reverse=True)
    sizes = {item.size: item for item in ordered}
    buyable = {size: buy(1, item) is not None for size, item in sizes.items()}
    ordered.sort(key=lambda item: (buyable[item.size], not item.length_first))
    laid = lay_out(ordered, on_rack, buy)
    return _cheapened(laid, sold_kinds(material)) if len(kinds) > 1 else laid


def _cheapened(laid: Laid, kinds: tuple[Sold, ...]) -> Laid:
    """Each bought piece of the least worth that still holds what lies on it."""
    pieces = (p if p.stock.from_rack else _cheaper(p, kinds) for p in laid.pieces)
    return Laid(tuple(pieces), laid.misfits)


def _cheaper(piece: OpenPiece, kinds: tuple[Sold, ...]) -> OpenPiece:
    items = piece.items
    for kind in sorted(kinds, key=lambda kind: kind.worth):
        if kind.worth >= piece.stock.worth:
            break
        stock = replace(piece.stock, length=kind.length, worth=kind.worth)
        fold = piece.fold if isinstance(piece, OpenSheet) else 0
        for long in (piece.long, not piece.long):
            fresh = _open(stock, piece.rules, long, fold)
            if all(fresh.place(item) for item in items):
                return fresh
    return piece


def _openers(
    material: Material,
    rack: list[RackPiece],
    kerf: Length,
    rules: Rules,
    long: tuple[bool, ...],
    folds: tuple[int, ...] = (0,),
) -> tuple[list[Callable[[], OpenPiece]], Callable[[int, int], OpenPiece]]:
    """What makes each piece of the rack, and each one that is bought (by number, and kind on sale),
    with nothing on it yet.

    ``long``: which bought pieces get long sections, one flag each, then again.
    """

    def open_rack(piece: RackPiece) -> OpenPiece:
        size = (piece.length, piece.width)
        rough = piece.thickness if piece.planed else ZERO
        stock = Stock(
            piece.id, material.id, True, *size, kerf, piece.squared,
            planed_from=rough, snipe=piece.snipe,
        )  # fmt: skip
        return _open(stock, rules, long[0], folds[0])

    kinds = sold_kinds(material)

    def open_bought(number: int, kind: int) -> OpenPiece:
        name, sold = f"buy-{material.id}-{number}", kinds[kind]
        size = (sold.length, material.sold_width)
        stock = Stock(
            name, material.id, False, *size, kerf, worth=sold.worth,
            planed_from=material.sold_thickness, snipe=material.snipe,
        )  # fmt: skip
        number -= 1
        return _open(stock, rules, long[number % len(long)], folds[number % len(folds)])

    return [partial(open_rack, piece) for piece in rack], open_bought


def _open(stock: Stock, rules: Rules, long: bool, fold: int) -> OpenPiece:
    if rules.is_board:
        return OpenPiece(stock, rules, long)
    return OpenSheet(stock, rules, long, fold=fold)
