"""Cloth and the list to buy: whole feet, turned where that saves, read as in a shop."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import assume, given, settings

from shopstep.milling import plan_milling
from shopstep.model.material import Form, Material
from shopstep.model.operation import Blank
from shopstep.stock import plan_stock
from shopstep.units import ZERO
from tests.sample_floor import CLOTH, KERF, MATERIALS, PARTS, inch
from tests.test_stock_layout import blank, board_blanks


@pytest.mark.parametrize(
    ("display", "quantity", "unit", "text"),
    [
        ("in", 3, "ft", "3 ft of 8-mesh wire cloth, 36 in wide"),
        ("mm", 80, "cm", "0.8 m of 8-mesh wire cloth, 36 in wide"),
    ],
)
def test_cloth_is_bought_by_the_whole_foot_or_the_tenth_of_a_metre(
    display: str, quantity: int, unit: str, text: str
) -> None:
    blanks = (blank("cloth", inch("30"), inch("35"), 1, CLOTH),)
    plan = plan_stock(blanks, MATERIALS, (), KERF, display)
    line = plan.buy[0]
    assert (line.quantity, line.unit, line.text) == (quantity, unit, text)


def test_cloth_is_turned_where_that_saves_length() -> None:
    blanks = (blank("cloth", inch("30"), inch("12"), 3, CLOTH),)
    piece = plan_stock(blanks, MATERIALS, (), KERF).pieces[0]
    assert piece.length == inch("36")
    assert max(c.at_length + c.length for c in piece.cuts) <= inch("36")


def test_no_less_cloth_is_bought_than_is_sold() -> None:
    ten_feet = Material("mesh", "mesh", Form.ROLL, ZERO, inch("36"), inch("120"), "roll of 10 ft")
    plan = plan_stock((blank("p", inch("2"), inch("2"), 1, ten_feet),), (ten_feet,), (), KERF)
    assert plan.buy[0].quantity == 10


def test_the_shopping_list_reads_as_a_shop_assistant_would_say_it() -> None:
    milling = plan_milling(PARTS, MATERIALS, 2, KERF)
    lines = plan_stock(milling.blanks, MATERIALS, (), KERF).buy
    assert [line.text for line in lines] == [
        "2 × 3/4 in pine board, 1×6, 8 ft",
        "1 × 1/4 in exterior plywood, 2 ft × 4 ft",
        "2 ft of 8-mesh wire cloth, 36 in wide",
    ]
    assert [line.unit for line in lines] == ["board", "sheet", "ft"]


@given(board_blanks)
@settings(max_examples=10, deadline=None)
def test_the_same_blanks_always_give_the_same_plan(blanks: tuple[Blank, ...]) -> None:
    assume(sum(b.count for b in blanks) < 15)
    first, again = (plan_stock(blanks, MATERIALS, (), KERF) for _ in range(2))
    assert first == again


def test_pieces_to_buy_are_numbered_without_a_gap() -> None:
    blanks = (blank("p", inch("90"), inch("5 1/2"), 4),)
    ids = [piece.id for piece in plan_stock(blanks, MATERIALS, (), KERF).pieces]
    numbers = [int(name.removeprefix("buy-board-")) for name in ids]
    assert all(b - a == 1 for a, b in pairwise(numbers))
    assert numbers[0] == 1
