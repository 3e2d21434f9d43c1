"""Lengths from bars: published instances, every way tried on small ones, bounds that never lie.

Sources: the roll example is Chvátal, *Linear Programming* (1983), chapter 13: rolls of 100 in, 453
are needed (from memory; the same numbers stand in public worked examples). The paper machine's 13
widths are those of the usual encyclopedia article on cutting stock: 73 rolls of 5,600 mm. The
u120 instances are numbers 17 to 19 of Falkenauer's uniform class in J. E. Beasley's OR-Library
(file binpack1), with the best known values that stand there.
"""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopstep.stock import benchmark
from shopstep.stock.lengths import BadLengths, Lengths, Packing, pack_lengths, pack_with
from shopstep.stock.lengths.bounds import least_bars, weights
from shopstep.stock.lengths.completing import complete_in
from shopstep.stock.lengths.filling import best_fit, first_fit, fullest_first, pieces_of
from shopstep.stock.lengths.patterns import dearest, relax
from shopstep.stock.lengths.reading import Unreadable, read_instances
from tests.test_stock_layout import fewest_bins

FOLDER = Path(__file__).parent / "lengths"


def check_packing(lengths: Lengths, found: Packing) -> None:
    """Every piece once, no bar too long, the bound not above the best."""
    cut = Counter(piece for bar in found.bars for piece in bar)
    assert cut == dict(zip(lengths.sizes, lengths.demands, strict=True))
    assert all(bar and sum(bar) <= lengths.capacity for bar in found.bars)
    assert found.bound <= len(found.bars)


@pytest.mark.parametrize(
    ("file", "bars"), [("rolls.txt", [453]), ("paper.csp", [73]), ("u120.txt", [52, 49, 49])]
)
def test_published_instances_are_cut_with_the_published_number_of_bars(
    file: str, bars: list[int]
) -> None:
    for instance, best in zip(
        read_instances(file, (FOLDER / file).read_text("utf-8")), bars, strict=True
    ):
        found = pack_with(instance.lengths, 3000)
        check_packing(instance.lengths, found)
        assert (len(found.bars), found.bound) == (best, best)
        assert instance.best_known in (None, best)


def triplets(seed: int, bars: int) -> list[int]:
    """Pieces that fill so many bars of 1,000 by threes to the last millimetre.

    Made as Falkenauer describes his triplet class (*A hybrid grouping genetic algorithm for bin
    packing*, 1996; from memory): one piece of 380 to 490, one of 250 to half of the rest, the rest.
    """
    chance = Random(seed)
    pieces: list[int] = []
    for _ in range(bars):
        first = chance.randint(380, 490)
        second = chance.randint(250, (1000 - first) // 2)
        pieces += [first, second, 1000 - first - second]
    return pieces


@pytest.mark.parametrize("seed", [1, 2])
def test_triplets_are_put_together_again(seed: int) -> None:
    pieces = triplets(seed, 20)
    lengths = Lengths.of(1000, pieces)
    found = pack_with(lengths, 20_000)
    check_packing(lengths, found)
    assert (len(found.bars), found.bound) == (20, 20)
    assert len(first_fit(sorted(pieces, reverse=True), 1000)) > 20


small = st.tuples(
    st.integers(10, 60).flatmap(
        lambda bar: st.tuples(st.just(bar), st.lists(st.integers(1, bar), min_size=1, max_size=8))
    )
).map(lambda pair: pair[0])


@given(small)
@settings(max_examples=150, deadline=None)
def test_small_ones_are_cut_with_the_fewest_bars_of_all_ways(given_: tuple[int, list[int]]) -> None:
    bar, pieces = given_
    lengths = Lengths.of(bar, pieces)
    best = fewest_bins(tuple(pieces), bar)
    found = pack_with(lengths, 10_000)
    check_packing(lengths, found)
    assert (len(found.bars), found.bound) == (best, best)


@given(small)
@settings(max_examples=100, deadline=None)
def test_no_bound_is_above_the_truth_and_no_search_misses_it(
    given_: tuple[int, list[int]],
) -> None:
    bar, pieces = given_
    lengths = Lengths.of(bar, pieces)
    best = fewest_bins(tuple(pieces), bar)
    assert least_bars(lengths) <= best
    relaxed = relax(lengths, lambda: False)
    assert relaxed is not None
    assert relaxed.bound <= best
    assert complete_in(lengths, best - 1, lambda: False) is None
    found = complete_in(lengths, best, lambda: False)
    assert found is not None
    check_packing(lengths, Packing(tuple(map(tuple, found)), best))
    for way in (first_fit, best_fit):
        check_packing(lengths, Packing(tuple(map(tuple, way(pieces_of(lengths), bar))), 0))
    check_packing(lengths, Packing(tuple(map(tuple, fullest_first(lengths, Random(1)))), 0))


@given(st.integers(5, 80), st.data())
@settings(max_examples=100, deadline=None)
def test_whatever_fits_one_bar_weighs_one_at_most_and_weights_grow(
    bar: int, data: st.DataObject
) -> None:
    sizes: list[int] = []
    while sum(sizes) < bar:
        sizes.append(data.draw(st.integers(1, bar - sum(sizes))))
    if data.draw(st.booleans()):
        sizes.pop()
    for weigh in weights(bar, tuple(sizes)):
        assert sum(weigh(size) for size in sizes) <= 1
        for a in sizes:
            for b in sizes:
                if a + b <= bar:
                    assert weigh(a) + weigh(b) <= weigh(a + b)


def test_the_dearest_pattern_is_the_best_of_all() -> None:
    chance = Random(5)
    for _ in range(60):
        bar = chance.randint(20, 60)
        lengths = Lengths.of(bar, [chance.randint(5, bar) for _ in range(8)])
        prices = [chance.randint(0, 50) for _ in lengths.sizes]
        best = {0: 0}
        for size, price, count in zip(lengths.sizes, prices, lengths.demands, strict=True):
            for _ in range(count):
                for used, worth in list(best.items()):
                    if used + size <= bar:
                        best[used + size] = max(best.get(used + size, 0), worth + price)
        dear, pattern = dearest(lengths, prices, lambda: False)
        assert dear == max(best.values())
        assert sum(p * n for p, n in zip(prices, pattern, strict=True)) == dear
        assert sum(s * n for s, n in zip(lengths.sizes, pattern, strict=True)) <= bar


def test_the_same_work_gives_the_same_bars() -> None:
    lengths = Lengths.of(1000, triplets(7, 25))
    assert pack_with(lengths, 60) == pack_with(lengths, 60)


def test_without_time_what_is_good_at_once_is_taken() -> None:
    lengths = Lengths.of(1000, triplets(7, 30))
    found = pack_lengths(lengths, 0.0)
    check_packing(lengths, found)
    assert found.bound == 30


@pytest.mark.parametrize(("bar", "piece"), [(10, 11), (10, 0), (10, -3), (0, 1)])
def test_what_cannot_be_cut_is_told(bar: int, piece: int) -> None:
    with pytest.raises(BadLengths, match=r"does not fit|more than nothing"):
        Lengths.of(bar, [piece])


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("", "empty"),
        ("3\n10\n", "no piece"),
        ("3\n10\n1\n2\n3\n4\n", "4 numbers follow"),
        ("2\n10\n5\nx\n", "'x' is no number"),
        ("1\n10\n11\n", "does not fit"),
        ("1\n10\n5 1.5\n", "not whole"),
        ("1\n10\n5 99999999\n", "more than"),
        ("1\na\n10 3 2\n5\n5\n", "3 pieces and has 2"),
        ("2\na\n10 1 1\n5\n", "2 instances and has 1"),
    ],
)
def test_a_file_that_is_no_instance_is_told(text: str, hint: str) -> None:
    with pytest.raises(Unreadable, match=hint):
        read_instances("x", text)


def test_decimals_are_scaled_to_whole_numbers() -> None:
    (one,) = read_instances("x", "2\n100.0\n49.9\n50.1\n")
    assert one.lengths == Lengths(1000, (501, 499), (1, 1))


def test_the_benchmark_prints_a_row_for_each_instance(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert benchmark.main([str(FOLDER), "--limit", "30", "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)["instances"]
    assert {row["name"]: row["best"] for row in rows} == {
        "paper": 73, "rolls": 453, "u120_17": 52, "u120_18": 49, "u120_19": 49,
    }  # fmt: skip
    assert all(row["proved"] and row["bound"] == row["best"] for row in rows)
    (tmp_path / "bad.txt").write_text("hello", "utf-8")
    (tmp_path / "README.txt").write_text("about", "utf-8")
    assert benchmark.main([str(tmp_path)]) == 1
    assert "cannot be read: " in capsys.readouterr().out
    (tmp_path / "bad.txt").unlink()
    assert benchmark.main([str(tmp_path)]) == 2
    assert benchmark.main([str(tmp_path / "nowhere")]) == 2
