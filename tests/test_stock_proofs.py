"""Proofs of the least that is bought: held against searches that share no code with them."""

from __future__ import annotations

from functools import cache
from random import Random

import pytest

from shopstep.model.stock import RackPiece
from shopstep.stock import plan_stock
from shopstep.stock.cloth import lay_cloth
from shopstep.stock.heavy import least_for_heavy, usable_boards
from shopstep.stock.items import Item
from shopstep.stock.loads import Work
from shopstep.stock.pieces import Rules
from shopstep.stock.search import search_layout
from shopstep.stock.straight import StraightCuts
from tests.sample_floor import BOARD, CLOTH, KERF, MATERIALS, PLY, inch
from tests.stock_checker import check_piece
from tests.test_stock_layout import blank


def loads_by_every_cut(
    sizes: tuple[tuple[int, int], ...], wanted: tuple[int, ...], length: int, width: int
) -> set[tuple[int, ...]]:
    """All loads of an oblong, with a cut tried at every whole number, each piece either way."""

    @cache
    def loads(x: int, y: int) -> frozenset[tuple[int, ...]]:
        found = {(0,) * len(sizes)}
        for number, (a, b) in enumerate(sizes):
            if (a <= x and b <= y) or (b <= x and a <= y):
                found.add(tuple(int(n == number) for n in range(len(sizes))))
        halves = [(loads(c, y), loads(x - c, y)) for c in range(1, x // 2 + 1)]
        halves += [(loads(x, c), loads(x, y - c)) for c in range(1, y // 2 + 1)]
        for before, behind in halves:
            for one in before:
                for other in behind:
                    both = zip(one, other, wanted, strict=True)
                    found.add(tuple(min(a + b, most) for a, b, most in both))
        return frozenset(found)

    return set(loads(length, width))


@pytest.mark.parametrize("seed", range(12))
def test_no_way_of_cutting_straight_is_missed(seed: int) -> None:
    chance = Random(seed)
    sizes = tuple((chance.randint(2, 7), chance.randint(2, 7)) for _ in range(2))
    wanted = (chance.randint(1, 4), chance.randint(1, 4))
    length, width = chance.randint(6, 14), chance.randint(6, 12)
    ways = StraightCuts.of(sizes, wanted, (length, width), Work(10**7), turning=True)
    found = ways.loads(length, width)
    every = loads_by_every_cut(sizes, wanted, length, width)
    best = {
        load
        for load in every
        if not any(o != load and all(a >= b for a, b in zip(o, load, strict=True)) for o in every)
    }
    assert set(found) == best
    for load in best:
        places = list(ways.places(length, width, load))
        for number in range(2):
            assert sum(place[0] == number for place in places) >= load[number]


def test_cloth_is_bought_no_longer_than_need_be() -> None:
    """Three of 18 by 12 lie turned, side by side, on 18 in; the fourth takes another foot."""
    items = [Item("p", None, inch("18"), inch("12"))] * 4 + [Item("q", None, inch("6"), inch("9"))]
    feet = [inch(str(12 * n)) for n in range(7)]
    laid = lay_cloth(items, CLOTH.sold_width, (), feet)
    assert laid is not None
    assert laid.length == inch("36")
    assert len(laid.roll) == 5
    assert lay_cloth(items, CLOTH.sold_width, (), feet[:2]) is None


@pytest.mark.parametrize("seed", range(10))
def test_of_sheets_no_layout_of_the_search_beats_what_is_proved(seed: int) -> None:
    """Where the exact way has an answer, many random orders of the same rules find none better."""
    chance = Random(seed)
    blanks = tuple(
        blank(
            f"p{n}", inch(str(chance.randint(6, 20))), inch(str(chance.randint(4, 14))),
            chance.randint(2, 7), PLY, length_first=chance.random() < 0.5,
        )
        for n in range(3)
    )  # fmt: skip
    rack = tuple(
        RackPiece(f"r{n}", "ply", inch(str(long)), inch(str(chance.randint(6, 24))))
        for n, long in enumerate(chance.choices(range(10, 41), k=3))
    )  # fmt: skip
    plan = plan_stock(blanks, MATERIALS, rack, KERF)
    (least,) = plan.least
    assert least.is_proved
    for piece in plan.pieces:
        check_piece(piece)
    shuffled = list(blanks)
    for _ in range(5):
        chance.shuffle(shuffled)
        again = plan_stock(tuple(shuffled), MATERIALS, rack, KERF)
        assert again.least[0].bought == least.bought


def test_the_heavy_pieces_alone_show_that_a_board_is_needed() -> None:
    """By area the rack would hold it all; of a strip half as wide as a rail nothing is cut."""
    rack = tuple(RackPiece(f"r{n}", "board", inch("90"), inch("3")) for n in range(4))
    rails = [Item("rail", None, inch("22 1/2"), inch("3 1/2"))] * 8
    found = search_layout(rails, BOARD, list(rack), KERF, Rules(True, inch("1/2"), inch("1/8")))
    assert (found.laid.bought, found.least) == (2, 2)
    assert least_for_heavy(rails, BOARD, rack, KERF, inch("1/2"), 5) == 2


def test_what_cannot_be_ripped_counts_for_nothing() -> None:
    items = [Item("p", None, inch("6"), inch("3"))]
    short = RackPiece("r1", "board", inch("10"), inch("5"))
    alike = RackPiece("r2", "board", inch("10"), inch("3"))
    rough = RackPiece("r3", "board", inch("30"), inch("5"), squared=False)
    usable = usable_boards((short, alike, rough), items, inch("1/2"))
    assert [(piece.id, piece.length) for piece in usable] == [
        ("r2", inch("10")),
        ("r3", inch("29 1/2")),
    ]


def test_a_rack_that_needs_an_unusual_order_is_still_used_up() -> None:
    """Long thin sticks would fill the one wide board; the narrow ones on the rack are for them."""
    rack = [
        RackPiece("wide", "board", inch("48"), inch("5 1/2"), squared=True),
        *(RackPiece(f"s{n}", "board", inch("40"), inch("1")) for n in range(6)),
    ]
    items = [Item("stick", None, inch("36"), inch("3/4"))] * 6
    items += [Item("rail", None, inch("22"), inch("5"))] * 2
    rules = Rules(True, inch("1/2"), inch("1/8"))
    found = search_layout(items, BOARD, rack, KERF, rules)
    assert (found.laid.bought, found.least) == (0, 0)
    assert not found.laid.misfits
