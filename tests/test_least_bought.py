"""The least that any layout buys: never more than what a layout that is known really takes."""

from __future__ import annotations

import json
from dataclasses import replace
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopstep.cli.main import run
from shopstep.model.operation import Blank
from shopstep.model.stock import LeastBought, RackPiece
from shopstep.present.stock_text import least_lines
from shopstep.stock import plan_stock
from shopstep.stock.items import Item
from shopstep.stock.least import least_bought, least_off_roll
from shopstep.units import ZERO, Length
from tests.floor import FILE, floor_plan
from tests.sample_floor import BOARD, CLOTH, KERF, MATERIALS, PLY, inch
from tests.test_stock_layout import (
    blank,
    board_blanks,
    cloth_blanks,
    fewest_bins,
    racks,
    sheet_blanks,
)


def cut_up(chance: Random, length: int, width: int, kerf: int) -> list[Item]:
    """A piece of stock cut up at random by straight cuts, a kerf at each; most of it is used."""
    if chance.random() < 0.25 or min(length, width) < 25_400_000:
        return [Item("p", None, Length(length), Length(width))] if chance.random() < 0.95 else []
    if chance.random() < 0.5:
        at = chance.randint(1, length - kerf - 1)
        return [*cut_up(chance, at, width, kerf), *cut_up(chance, length - at - kerf, width, kerf)]
    at = chance.randint(1, width - kerf - 1)
    return [*cut_up(chance, length, at, kerf), *cut_up(chance, length, width - at - kerf, kerf)]


@given(st.integers(0, 10**6), st.integers(1, 3), racks, st.sampled_from([ZERO, KERF]))
@settings(max_examples=120, deadline=None)
def test_pieces_cut_from_so_many_sheets_never_need_more(
    seed: int, count: int, rack: tuple[RackPiece, ...], kerf: Length
) -> None:
    """Also where some of them came off the rack, of any size."""
    chance = Random(seed)
    stock = [(PLY.sold_length.nm, PLY.sold_width.nm)] * count
    stock += [(piece.length.nm, piece.width.nm) for piece in rack]
    items = [item for size in stock for item in cut_up(chance, *size, kerf.nm)]
    assert least_bought(items, PLY, rack, kerf, ZERO) <= count


@pytest.mark.parametrize("rack", [0, 1])
def test_by_area_alone_a_full_sheet_counts_as_one(rack: int) -> None:
    """Nine of 24 by 12 in, four to a sheet of 48 by 24: three sheets, one of which may be there."""
    items = [Item("p", None, inch("24"), inch("12"))] * 9
    whole = RackPiece("r1", PLY.id, PLY.sold_length, PLY.sold_width)
    assert least_bought(items, PLY, (whole,) * rack, ZERO, ZERO) == 3 - rack


@given(st.integers(0, 10**6), st.integers(2, 40))
@settings(max_examples=60, deadline=None)
def test_cloth_cut_from_a_length_never_needs_more(seed: int, tenths: int) -> None:
    length = CLOTH.sold_width.nm * tenths // 20
    chance = Random(seed)
    items = cut_up(chance, length, CLOTH.sold_width.nm, 0)
    turned = [item.turned() if chance.random() < 0.5 else item for item in items]
    assert least_off_roll(turned, CLOTH.sold_width, ()) <= Length(length)


@given(st.lists(st.integers(12, 90), min_size=1, max_size=7))
@settings(max_examples=60, deadline=None)
def test_for_pieces_of_full_width_the_least_is_that_of_all_ways(lengths: list[int]) -> None:
    items = [Item("p", None, inch(str(n)), BOARD.sold_width) for n in lengths]
    least = least_bought(items, BOARD, (), KERF, inch("1/2"))
    # a kerf goes with each piece and one is free; half an inch squares the ends
    assert least == fewest_bins(tuple(n * 8 + 1 for n in lengths), 96 * 8 - 4 + 1)


@given(st.one_of(board_blanks, sheet_blanks, cloth_blanks), racks)
@settings(max_examples=60, deadline=None)
def test_a_plan_never_buys_less_than_the_least(
    blanks: tuple[Blank, ...], rack: tuple[RackPiece, ...]
) -> None:
    plan = plan_stock(blanks, MATERIALS, rack, KERF)
    for least in plan.least:
        assert least.bought >= least.least >= 0
        own = [p for p in plan.pieces if p.material == least.material and not p.from_rack]
        sold = sum(p.length.nm for p in own) if least.material == CLOTH.id else len(own)
        assert least.bought == sold


@pytest.mark.parametrize(
    ("bought", "least", "proved", "percent"),
    [(2, 2, True, 0), (3, 2, False, 50), (0, 0, True, 0), (6, 5, False, 20), (1, 0, False, 100)],
)
def test_how_far_above_the_least_a_plan_is(
    bought: int, least: int, proved: bool, percent: int
) -> None:
    told = LeastBought("board", bought, least)
    assert (told.is_proved, told.percent_over) == (proved, percent)


def test_no_share_of_nothing_is_told() -> None:
    """Where the bound is nothing to buy, a percentage over it would say nothing."""
    plan = floor_plan(units=1)
    told = least_lines(replace(plan, least_bought=(LeastBought("board", 1, 0),)))
    assert told == [
        "3/4 in pine board, sound, kiln-dried: 1 to buy, "
        "it is not proved that the rack alone would not do."
    ]


def test_what_the_rack_holds_is_not_bought() -> None:
    rack = (RackPiece("r", "board", inch("96"), inch("5 1/2")),)
    plan = plan_stock((blank("p", inch("40"), inch("5 1/2"), 2),), MATERIALS, rack, KERF)
    assert plan.least == (LeastBought("board", 0, 0),)


def test_each_plan_says_how_good_it_is(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["plan", str(FILE), "--now", "2026-01-15T18:00", "--units", "2"]
    assert run(words) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert run([*words, "--json"]) == 0
    plan = json.loads(capsys.readouterr().out)
    assert {e["material"] for e in plan["least_bought"]} == {s["material"] for s in plan["stock"]}
    for entry in plan["least_bought"]:
        verdict = "proved least." if entry["proved"] else f"at most {entry['percent_over']} % above"
        amount = entry["bought"]["text"] if isinstance(entry["bought"], dict) else entry["bought"]
        assert f"{entry['title']}: {amount} to buy, {verdict}" in said
