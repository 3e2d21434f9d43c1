"""Boards filled by price: no load is worth more, each can be cut, and fewer are bought."""

from __future__ import annotations

from collections import Counter
from functools import partial
from random import Random

import pytest

from shopstep.desk import Wish
from shopstep.stock.dearest_loads import Board, Cutting, DearestLoads
from shopstep.stock.items import Item
from shopstep.stock.loads import Work
from shopstep.stock.pieces import OpenPiece, Rules, Stock
from shopstep.stock.repricing import fill_boards
from shopstep.units import Length
from shopstep.wiring.desks import open_desk
from tests.floor import BEGIN_S
from tests.random_racks import lay_floors
from tests.sample_floor import KERF, inch
from tests.stock_checker import check_board, check_piece
from tests.test_stock_proofs import cut_by_three_cuts

RULES = Rules(is_board=True, rough_extra=inch("1/2"), edge_trim=inch("1/8"))
EXTRA, TRIM = RULES.rough_extra.nm, RULES.edge_trim.nm
TENTH = inch("1/10").nm


def draw_sizes(chance: Random, narrowest: int) -> list[tuple[int, int]]:
    """Six lengths, in lanes of three widths."""
    widths = [chance.randint(narrowest, 40) * TENTH for _ in range(3)]
    return [(chance.randint(30, 300) * TENTH, chance.choice(widths)) for _ in range(6)]


def open_board(length: Length, width: Length, *, from_rack: bool, squared: bool) -> OpenPiece:
    """A board with nothing on it."""
    return OpenPiece(Stock("b", "board", from_rack, length, width, KERF, squared), RULES, True)


@pytest.mark.parametrize("seed", range(60))
def test_no_load_of_a_board_is_worth_more_than_the_dearest(seed: int) -> None:
    """What was cut off a board at random is a load of it, whatever the prices are."""
    chance = Random(seed)
    sizes = draw_sizes(chance, 8)
    length, width = chance.randint(13, 96), chance.randint(2, 9)
    board = Board(inch(str(length)).nm, inch(str(width)).nm, 0, whole=False)
    loads = DearestLoads(sizes, KERF.nm, EXTRA, Work(10**7), proves=True)
    prices = [chance.randint(0, 100) for _ in sizes]
    worth, _ = loads.load(board, prices, (99,) * len(sizes))
    for _ in range(20):
        items = cut_by_three_cuts(chance, board.length, board.width, sizes, EXTRA)
        best = [
            max(
                p
                for p, size in zip(prices, sizes, strict=True)
                if size == (i.length.nm, i.width.nm)
            )
            for i in items
        ]
        assert sum(best) <= worth
    (again,) = loads.of_lengths(board, [board.length], prices, (99,) * len(sizes))
    assert again[0] == worth


@pytest.mark.parametrize("seed", range(60))
def test_a_dearest_load_can_be_cut_and_is_safe(seed: int) -> None:
    """Also slices, boards that are ripped as they are, and those that are bought."""
    chance = Random(seed)
    sizes = draw_sizes(chance, 2)
    from_rack, squared = seed % 3 > 0, seed % 3 > 1
    length, width = inch(str(chance.randint(8, 96))), inch(str(chance.randint(1, 9)))
    if seed % 5 == 0:
        width = Length(sizes[0][1])
    piece = open_board(length, width, from_rack=from_rack, squared=squared)
    trim = 0 if from_rack else TRIM
    board = Board(length.nm, width.nm, trim, whole=from_rack and squared)
    loads = DearestLoads(sizes, KERF.nm, EXTRA, Work(10**7), proves=False)
    prices = [chance.randint(1, 100) for _ in sizes]
    worth, cutting = loads.load(board, prices, (4,) * len(sizes))
    laid = lay_cutting(piece, cutting, sizes)
    assert sum(prices[number] for number in laid) == worth
    if laid:
        closed = piece.close()
        check_piece(closed)
        check_board(closed)
        assert len(closed.cuts) == len(laid)


def lay_cutting(piece: OpenPiece, cutting: Cutting, sizes: list[tuple[int, int]]) -> list[int]:
    """The piece cut so; the number of the size of each of its pieces."""
    laid: list[int] = []
    for inner, lanes in cutting:
        own = [number for lane in lanes for number, count in lane for _ in range(count)]
        sides = [sizes[number] for number in own]
        items = [Item("p", None, Length(long), Length(wide)) for long, wide in sides]
        assert piece.open_length(Length(inner) if inner else None, items)
        laid += own
    return laid


def test_boards_are_filled_where_orders_alone_buy_more() -> None:
    """Two boards hold four of 30 and four of 16 in, with two and two on either."""
    rails = [Item("long", None, inch("30"), inch("5"))] * 4
    rails += [Item("short", None, inch("16"), inch("5"))] * 4
    opener = partial(open_board, inch("96"), inch("5 1/2"), from_rack=False, squared=True)
    laid = fill_boards(rails, [opener, opener], 10_000)
    assert laid is not None
    assert (len(laid.pieces), laid.misfits) == (2, ())
    assert Counter(item for piece in laid.pieces for item in piece.items) == Counter(rails)
    assert fill_boards([*rails, rails[0]], [opener, opener], 10_000) is None
    assert fill_boards(rails, [opener], 10_000) is None
    assert fill_boards(rails, [], 10_000) is None
    short = partial(open_board, inch("6"), inch("1"), from_rack=True, squared=True)
    assert fill_boards(rails, [short], 1_000) is None, "also where nothing serves at all"


@pytest.mark.parametrize("seed", [230, 471])
def test_a_rack_that_holds_all_the_boards_of_six_floors_is_enough(seed: int) -> None:
    """By orders alone a board was bought; ``lay_floors`` holds the layout to the rules."""
    plan = lay_floors(seed)
    assert all(least.is_proved for least in plan.least)
    assert not any(p.material == "board" and not p.from_rack for p in plan.pieces)
    assert lay_floors(seed) == plan, "the same request has the same plan"


def test_all_sizes_prove_what_the_largest_alone_do_not() -> None:
    """Six metric floors take six boards: the strips need room beside what the others leave."""
    plan = open_desk().plan(Wish("metric-floor", units=6, uses_rack=False), BEGIN_S)
    (least,) = [each for each in plan.least_bought if each.material == "board"]
    assert (least.bought, least.least) == (6, 6)
