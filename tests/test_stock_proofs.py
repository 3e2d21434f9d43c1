"""Proofs of the least that is bought: held against searches that share no code with them."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import product
from random import Random

import pytest

from shopstep.desk import Wish
from shopstep.model.stock import RackPiece
from shopstep.stock import plan_stock
from shopstep.stock.cloth import lay_cloth
from shopstep.stock.dearest import least_by_prices
from shopstep.stock.dearest_loads import pack_dearest
from shopstep.stock.heavy import least_for_heavy, usable_boards
from shopstep.stock.items import Item
from shopstep.stock.loads import Work
from shopstep.stock.pieces import Rules
from shopstep.stock.search import search_layout
from shopstep.stock.sold import sold_kinds
from shopstep.stock.straight import StraightCuts
from shopstep.stock.three_cuts import ThreeCuts
from shopstep.units import Length
from shopstep.wiring.desks import open_desk
from tests.floor import BEGIN_S
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
    assert least_for_heavy(rails, BOARD, rack, KERF, inch("1/2"), inch("1/8"), 5) == 2


def cut_by_three_cuts(
    chance: Random, length: int, width: int, sizes: list[tuple[int, int]], extra: int
) -> list[Item]:
    """Pieces off one board, drawn at random: rough lengths, lanes of one width, crosscuts."""
    items: list[Item] = []
    left = length
    while left >= inch("12").nm:
        section = chance.randint(inch("12").nm, left)
        room = width
        while room > 0:
            wide = chance.choice(sizes)[1]
            if wide > room:
                break
            room -= wide + KERF.nm
            at = section - extra
            while fitting := [long for long, own in sizes if own == wide and long <= at]:
                long = chance.choice(fitting)
                items.append(Item("p", None, Length(long), Length(wide)))
                at -= long + KERF.nm
        left -= section + KERF.nm
    return items


@pytest.mark.parametrize("seed", range(60))
def test_what_was_cut_from_so_many_boards_never_needs_more(seed: int) -> None:
    """Some boards came off the rack; one that is square at both ends was ripped as it was."""
    chance = Random(seed)
    widths = [chance.randint(12, 50) * inch("1/10").nm for _ in range(2)]
    sizes = [(chance.randint(40, 400) * inch("1/10").nm, chance.choice(widths)) for _ in range(4)]
    extra, trim, count = inch("1/2"), inch("1/8"), chance.randint(1, 2)
    rack = tuple(
        RackPiece(f"r{n}", "board", inch(str(chance.randint(13, 60))),
                  inch(str(chance.randint(2, 9))),
                  squared=chance.random() < 0.5)
        for n in range(chance.randint(0, 3))
    )  # fmt: skip
    items: list[Item] = []
    for piece in rack:
        items += cut_by_three_cuts(chance, piece.length.nm, piece.width.nm, sizes, extra.nm)
    for _ in range(count):
        wide = BOARD.sold_width.nm - trim.nm
        items += cut_by_three_cuts(chance, BOARD.sold_length.nm, wide, sizes, extra.nm)
    found = least_for_heavy(items, BOARD, rack, KERF, extra, trim, count) if items else 0
    assert found <= count
    more = least_for_heavy(items, BOARD, rack, KERF, extra, trim, count + 3) if items else 0
    assert more <= count, "also where it may look further"


def test_loads_of_a_board_keep_to_lanes_and_square_ends() -> None:
    """Of 20 by 3 3/4 and 9 by 1 1/2 in: half an inch goes off, unless it is ripped as it is."""
    sizes = [(inch("20").nm, inch("3 3/4").nm), (inch("9").nm, inch("3/2").nm)]
    ways = ThreeCuts(sizes, (1, 9), 0, inch("1/2").nm, Work(10**6))
    loads = ways.loads(inch("20 1/2").nm, inch("5 1/2").nm, 0, whole=False)
    assert set(loads) == {(1, 2), (0, 6)}
    assert set(ways.loads(inch("20").nm, inch("5 1/2").nm, 0, whole=False)) == {(0, 6)}
    assert (1, 2) in ways.loads(inch("20").nm, inch("5 1/2").nm, 0, whole=True)


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


@pytest.mark.parametrize("seed", range(60))
def test_no_prices_say_that_more_is_needed_than_what_it_was_cut_from(seed: int) -> None:
    """Boards of one length, and of three: what all pieces were cut from is enough for them."""
    chance = Random(seed)
    widths = [chance.randint(5, 50) * inch("1/10").nm for _ in range(3)]
    sizes = [(chance.randint(40, 400) * inch("1/10").nm, chance.choice(widths)) for _ in range(6)]
    extra, trim = inch("1/2"), inch("1/8")
    lengths = (inch("120"), inch("96"), inch("72")) if seed % 2 else (inch("96"),)
    board = replace(BOARD, sold_length=lengths[0], other_lengths=lengths[1:])
    worths = {kind.length: kind.worth for kind in sold_kinds(board)}
    items: list[Item] = []
    spent = 0
    for _ in range(chance.randint(1, 3)):
        long = chance.choice(lengths)
        spent += worths[long]
        wide = BOARD.sold_width.nm - trim.nm
        items += cut_by_three_cuts(chance, long.nm, wide, sizes, extra.nm)
    if items:
        assert least_by_prices(items, board, KERF, extra, trim, 0, 10**6) <= spent


def test_prices_prove_what_the_heaviest_sizes_alone_do_not() -> None:
    """Four floors take four boards, and no layout of three holds them; by area three would do."""
    plan = open_desk().plan(Wish("screened-floor", units=4), BEGIN_S)
    (least,) = [each for each in plan.least_bought if each.material == "board"]
    assert (least.bought, least.least) == (4, 4)
    items = [
        Item(cut.part, None, cut.length, cut.width)
        for piece in plan.stock if piece.material == "board"
        for cut in piece.cuts if not cut.spare
    ]  # fmt: skip
    board = next(m for m in plan.materials if m.id == "board")
    area = sum((i.length + KERF).nm * (i.width + KERF).nm for i in items)
    assert 2 < area / (board.sold_length.nm * board.sold_width.nm) < 3.01
    ends = KERF, inch("1/2"), inch("1/8")
    assert least_for_heavy(items, board, (), *ends, 4) == 3


@pytest.mark.parametrize("seed", range(40))
def test_the_dearest_pack_is_the_best_of_all(seed: int) -> None:
    """Every second thing is a slice, for which there is less room."""
    chance = Random(seed)
    things = [
        (size := chance.randint(2, 9), size * (n % 2), chance.randint(0, 12), chance.randint(1, 4))
        for n in range(4)
    ]
    room = chance.randint(1, 40)
    thin = chance.randint(0, room)

    def use(counts: tuple[int, ...], which: int) -> int:
        return sum(n * thing[which] for n, thing in zip(counts, things, strict=True))

    every = [
        use(counts, 2)
        for counts in product(*(range(most + 1) for _, _, _, most in things))
        if use(counts, 0) <= room and use(counts, 1) <= thin
    ]
    worth, found = pack_dearest(things, room, thin, 0, Work(10**6))
    assert worth == max(every)
    counts = tuple(dict(found).get(n, 0) for n in range(4))
    assert use(counts, 2) == worth
    assert use(counts, 0) <= room
    assert use(counts, 1) <= thin
    assert pack_dearest(things, room, thin, worth, Work(10**6)) == (worth, ())
