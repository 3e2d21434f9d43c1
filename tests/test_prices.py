"""Prices and several lengths on sale: exact money, and the least of it; sizes of common lumber.

Prices are invented. Lengths of 6, 8 and 10 ft are standard lengths of softwood lumber in steps of
2 ft (PS 20, American Softwood Lumber Standard; from memory).
"""

from __future__ import annotations

import json
from dataclasses import replace
from itertools import product
from pathlib import Path
from random import Random

import pytest

from shopstep.cli.main import run
from shopstep.model.material import Material
from shopstep.model.plan import BuildFileError
from shopstep.model.price import Price, Priced, parse_price
from shopstep.model.stock import LeastBought, Measure
from shopstep.planner.pricing import with_prices
from shopstep.stock import plan_stock
from shopstep.stock.items import Item
from shopstep.stock.least import least_bought
from shopstep.stock.loads import Work, cheapest_more
from shopstep.stock.sold import sold_kinds
from shopstep.units import ZERO, Length, UnitError
from tests.floor import FILE
from tests.sample_floor import BOARD, CLOTH, KERF, PLY, inch
from tests.stock_checker import check_all_there, check_board, check_piece, check_sheet
from tests.test_least_bought import cut_up
from tests.test_stock_layout import blank

FOOT = Length.inches(12)
SEVERAL = replace(
    BOARD, sold_as="1×6", sold_length=inch("120"), other_lengths=(inch("96"), inch("72"))
)


def priced(material: Material, *told: str) -> Material:
    """The material with prices typed as ``NAME=PRICE``."""
    pairs = (text.split("=") for text in told)
    return with_prices((material,), tuple(Priced(name, text) for name, text in pairs))[0]


@pytest.mark.parametrize(
    ("text", "hundredths", "words"),
    [
        ("4.80", 480, "4.80"),
        ("$4.8", 480, "$4.80"),
        ("£ 7", 700, "£7.00"),
        ("4,80 EUR", 480, "4.80 EUR"),
        ("EUR 4.80", 480, "EUR 4.80"),
        ("0.07", 7, "0.07"),
        ("1.10€/m", 110, "1.10 €"),
        ("120 kr", 12_000, "120.00 kr"),
    ],
)
def test_a_price_is_exact_and_keeps_its_currency(text: str, hundredths: int, words: str) -> None:
    price = parse_price(text)
    assert (price.hundredths, price.words) == (hundredths, words)


@pytest.mark.parametrize("text", ["", "cheap", "-4", "4.805", "0", "$4$", "4.80/in", "1e3", "."])
def test_what_is_no_price_is_refused_in_a_sentence(text: str) -> None:
    with pytest.raises(UnitError, match="price"):
        parse_price(text)


def test_by_length_a_half_of_a_cent_is_rounded_up() -> None:
    """0.15 a foot: 1.5 ft are 22.5 cents; three such pieces 69, as each is paid by itself."""
    price = parse_price("0.15/ft")
    assert price.of(inch("18")).hundredths == 23
    assert price.of(inch("18"), 3) == Price(69)
    assert parse_price("0.10/m").of(Length.mm(2440)).hundredths == 24


def test_prices_are_laid_beside_what_is_sold() -> None:
    told = priced(SEVERAL, "board=0.90/ft", "board 6 ft=5.00")
    assert [p.of(n).hundredths for p, n in zip(told.prices, told.lengths, strict=True) if p] == [
        900, 720, 500,
    ]  # fmt: skip
    named = priced(BOARD, "1×6, 8 ft=$7.10")
    assert named.prices == (Price(710, before="$"),)


def test_a_typed_price_stands_before_a_kept_one() -> None:
    told = (Priced("board", "9.00"), Priced("board", "8.00", typed=False))
    assert with_prices((BOARD,), told[::-1])[0].prices == (Price(900),)


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ((Priced("bord", "4.80"),), "'bord' is no material of this plan; did you mean 'board'?"),
        ((Priced("board", "dear"),), "'dear' is no price"),
        ((Priced("board 7 ft", "4.80"),), "not sold in that length"),
        ((Priced("cloth", "4.80"),), "/ft or /m"),
        ((Priced("board", "$4"), Priced("ply", "4 EUR")), "give all of them in one"),
    ],
)
def test_what_cannot_be_meant_is_said(told: tuple[Priced, ...], said: str) -> None:
    with pytest.raises(BuildFileError) as refused:
        with_prices((BOARD, PLY, CLOTH), told)
    assert said in str(refused.value)


def test_a_kept_price_may_be_for_another_build() -> None:
    assert with_prices((BOARD,), (Priced("acrylic", "30", typed=False),)) == (BOARD,)


def bought(material: Material, *sizes: tuple[str, int]) -> tuple[list[int], LeastBought]:
    """Lengths that are bought in feet for so many full-width pieces, and how good that is."""
    blanks = tuple(
        blank(f"p{n}", inch(length), BOARD.sold_width, count)
        for n, (length, count) in enumerate(sizes)
    )
    plan = plan_stock(blanks, (material,), (), KERF)
    assert plan.findings == ()
    check_all_there(blanks, plan.pieces, turned=False)
    for piece in plan.pieces:
        check_piece(piece)
        check_board(piece)
        assert piece.length in material.lengths
    return sorted(piece.length.nm // FOOT.nm for piece in plan.pieces), plan.least[0]


def test_without_prices_the_least_area_is_bought() -> None:
    """Two pieces of 50 in fit 10 ft, one fits 6 ft: three take 16 ft and not 20."""
    feet, least = bought(SEVERAL, ("50", 3))
    assert feet == [6, 10]
    assert (least.measure, least.bought, least.is_proved) == (
        Measure.LENGTH, inch("192").nm, True,
    )  # fmt: skip


def test_with_prices_the_least_money_is_spent() -> None:
    """Where 6 ft are cheap three of them are bought, although that is more wood."""
    cheap = priced(SEVERAL, "board 6 ft=3.00", "board 8 ft=6.00", "board 10 ft=9.50")
    feet, least = bought(cheap, ("50", 3))
    assert feet == [6, 6, 6]
    assert (least.measure, least.bought, least.least) == (Measure.MONEY, 900, 900)
    dear = priced(SEVERAL, "board 6 ft=6.00", "board 8 ft=6.10", "board 10 ft=6.20")
    assert bought(dear, ("50", 3))[0] == [6, 10]


def test_where_one_price_is_missing_area_counts_and_the_known_ones_are_shown() -> None:
    some = priced(SEVERAL, "board 6 ft=3.00")
    assert bought(some, ("50", 3))[0] == [6, 10]
    plan = plan_stock((blank("p", inch("50"), BOARD.sold_width, 3),), (some,), (), KERF)
    assert [line.text for line in plan.buy] == [
        "1 × 3/4 in pine board, 1×6, 10 ft",
        "1 × 3/4 in pine board, 1×6, 6 ft: 3.00",
    ]


@pytest.mark.parametrize("seed", range(12))
def test_no_layout_of_full_width_pieces_spends_less(seed: int) -> None:
    """Held against every way of putting the pieces end to end on boards of three lengths."""
    chance = Random(seed)
    lengths = [chance.randint(13, 80) for _ in range(chance.randint(2, 6))]
    costs = [chance.randint(300, 1200) for _ in range(3)]
    names = ("board 10 ft", "board 8 ft", "board 6 ft")
    pairs = zip(names, costs, strict=True)
    material = priced(SEVERAL, *(f"{n}={cost // 100}.{cost % 100:02}" for n, cost in pairs))
    _, least = bought(material, *((str(length), 1) for length in lengths))
    best = _cheapest_bars(lengths, dict(zip((120, 96, 72), costs, strict=True)))
    assert least.least <= best <= least.bought
    assert least.bought * 10 <= best * 11, "in so small a case the search comes near"


def _cheapest_bars(lengths: list[int], costs: dict[int, int]) -> int:
    """Each piece is a rough length of its own here: half an inch for its ends, a kerf between."""
    best = 10**9
    for places in product(range(len(lengths)), repeat=len(lengths)):
        if any(place > n for n, place in enumerate(places)):
            continue
        spent = 0
        for bar in set(places):
            own = [length for length, place in zip(lengths, places, strict=True) if place == bar]
            least = sum(own) + 0.5 + 0.125 * (len(own) - 1)
            fitting = [cost for length, cost in costs.items() if least <= length]
            spent += min(fitting, default=10**9)
        best = min(best, spent)
    return best


@pytest.mark.parametrize("seed", range(40))
def test_what_is_cut_from_known_pieces_never_needs_more_than_they_cost(seed: int) -> None:
    chance = Random(seed)
    material = replace(PLY, sold_length=inch("96"), other_lengths=(inch("48"), inch("36")))
    if chance.random() < 0.5:
        told = (f"ply {n} ft={chance.randint(5, 40)}" for n in (8, 4, 3))
        material = priced(material, *told)
    taken = [chance.choice(sold_kinds(material)) for _ in range(chance.randint(1, 4))]
    items: list[Item] = []
    for kind in taken:
        items += cut_up(chance, kind.length.nm, material.sold_width.nm, KERF.nm)
    found = least_bought(items, material, (), KERF, ZERO)
    assert found <= sum(kind.worth for kind in taken)


def test_the_cheapest_loads_are_chosen() -> None:
    """A load of three for 5, and one of one for 2: four are had for 7, not for 8 or 10."""
    found = cheapest_more({(0,): ()}, [([(3,)], 5), ([(1,)], 2)], (4,), 20, Work(1000))
    assert found is not None
    assert (found.cost, sorted(found.kinds)) == (7, [0, 1])
    assert cheapest_more({(0,): ()}, [([(3,)], 5)], (4,), 9, Work(1000)) is None


def test_sheets_of_several_lengths_are_proved_and_safe() -> None:
    """Three of 24 by 12 in side by side on 4 ft, the fourth on a sheet of 2 ft."""
    material = replace(PLY, sold_as="1/4 in, 2 ft wide", other_lengths=(inch("24"),))
    blanks = (blank("p", inch("24"), inch("12"), 5, material),)
    plan = plan_stock(blanks, (material,), (), ZERO)
    assert sorted(piece.length.nm // FOOT.nm for piece in plan.pieces) == [2, 4]
    assert plan.least[0].is_proved
    for piece in plan.pieces:
        check_piece(piece)
        check_sheet(piece, set())


def build_of_several(folder: Path) -> str:
    """The screened floor, with boards on sale in three lengths."""
    text = FILE.read_text().replace("sold_length: 8 ft", "sold_length: [6 ft, 8 ft, 10 ft]")
    assert "[6 ft" in text
    path = folder / "several.yaml"
    path.write_text(text.replace("sold_as: 1×6, 8 ft", "sold_as: 1×6"))
    return str(path)


def test_money_is_shown_in_the_plan_and_its_json_only_where_it_was_given(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    build = build_of_several(tmp_path)
    assert run(["plan", build, "--no-rack", "--price", "board=$0.90/ft", "--price",
                "cloth=$2.40/ft"]) == 0  # fmt: skip
    shown = capsys.readouterr().out
    assert "× 3/4 in pine board, sound, kiln-dried, 1×6, 8 ft: $7.20" in shown
    assert "$7.20 to spend" in shown
    assert "together, of what has a price: $" in shown
    assert run(["plan", build, "--no-rack", "--price", "board=$0.90/ft", "--json"]) == 0
    plan = json.loads(capsys.readouterr().out)
    lines = {line["item"]: line for line in plan["buy"]}
    board = lines["3/4 in pine board, sound, kiln-dried"]
    assert board["cost"] == {"amount": "7.20", "currency": "$", "per": None}
    assert board["each"] == {"amount": "0.90", "currency": "$", "per": "ft"}
    assert "cost" not in lines["exterior plywood"]
    least = next(each for each in plan["least_bought"] if each["material"] == "board")
    assert least["measure"] == "money"
    assert least["bought"] == {"amount": "7.20", "currency": "$", "per": None}
    assert run(["plan", build, "--no-rack"]) == 0
    shown = capsys.readouterr().out
    assert "$" not in shown
    assert "8 ft to buy" in shown


def test_prices_come_from_the_settings_and_a_wrong_one_names_its_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    settings_file = tmp_path / "config" / "shopstep" / "settings.toml"
    settings_file.parent.mkdir(parents=True)
    settings_file.write_text('[shops.bench.prices]\n"1×6, 8 ft" = "7,10 EUR"\n')
    assert run(["plan", str(FILE), "--no-rack"]) == 0
    assert "1×6, 8 ft: 7.10 EUR" in capsys.readouterr().out
    settings_file.write_text('[shops.bench.prices]\n"1×6, 8 ft" = "dear"\n')
    assert run(["plan", str(FILE), "--no-rack"]) == 2
    said = capsys.readouterr().err
    assert "'dear' is no price" in said
    assert "line 2" in said


def test_a_roll_has_one_least_length(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = FILE.read_text()
    broken = text.replace("sold_length: 1 ft", "sold_length: [1 ft, 2 ft]")
    assert broken != text
    path = tmp_path / "broken.yaml"
    path.write_text(broken)
    assert run(["plan", str(path)]) == 2
    assert "of a roll is one length" in capsys.readouterr().err
