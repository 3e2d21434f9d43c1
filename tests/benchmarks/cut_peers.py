"""The cut layout beside first fit decreasing and a packing library of the registry, in one run.

``python -m tests.benchmarks.cut_peers [SECONDS]``: lengths first (published instances, and ones
made after published descriptions), then sheets without a kerf and without a rule for grain, so that
the peer has the same task. A ratio is bars, or sheets, over the bound of the same run.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from random import Random
from typing import Any

from shopstep.model.material import Form, Material
from shopstep.stock.items import Item
from shopstep.stock.least import least_bought
from shopstep.stock.lengths import Lengths, pack_lengths
from shopstep.stock.lengths.filling import first_fit, pieces_of
from shopstep.stock.lengths.reading import read_instances
from shopstep.stock.pieces import Rules
from shopstep.stock.search import search_layout
from shopstep.units import ZERO, Length
from tests.test_lengths import triplets

FOLDER = Path(__file__).parent.parent / "lengths"
Rows = dict[str, tuple[float, float]]
"""By way: sum of ratios, sum of seconds."""


def sets() -> Iterator[tuple[str, list[Lengths]]]:
    """Published ones, and the two classes that Falkenauer describes (1996; from memory)."""
    files = sorted(FOLDER.iterdir())
    published = [one for file in files for one in read_instances(file.stem, file.read_text())]
    yield "published, 5", [one.lengths for one in published if one.lengths.count]
    uniform = (Random(seed) for seed in range(10))
    yield (
        "uniform 120, 10",
        [Lengths.of(150, [chance.randint(20, 100) for _ in range(120)]) for chance in uniform],
    )
    yield "triplets 60, 5", [Lengths.of(1000, triplets(seed, 20)) for seed in range(5)]


def peer_bars(lengths: Lengths) -> int:
    """Bars that the library needs: oblongs of height 1 into oblongs of height 1."""
    return _peer_bins([(size, 1) for size in pieces_of(lengths)], lengths.capacity, 1)


def _first_fit_bars(lengths: Lengths) -> int:
    return len(first_fit(pieces_of(lengths), lengths.capacity))


def _peer_bins(oblongs: list[tuple[int, int]], long: int, wide: int) -> int:
    import rectpack  # type: ignore[import-untyped]

    packer: Any = rectpack.newPacker(
        mode=rectpack.PackingMode.Offline,
        bin_algo=rectpack.PackingBin.BBF,
        pack_algo=rectpack.GuillotineBssfSas,
        sort_algo=rectpack.SORT_AREA,
        rotation=False,
    )
    for number, (a, b) in enumerate(oblongs):
        packer.add_rect(a, b, rid=number)
    packer.add_bin(long, wide, count=len(oblongs))
    packer.pack()
    assert len(packer.rect_list()) == len(oblongs)
    return len(packer)


def _note(rows: Rows, way: str, bound: int, run: Callable[[], int]) -> None:
    began = time.perf_counter()
    bins = run()
    ratios, seconds = rows.get(way, (0.0, 0.0))
    rows[way] = (ratios + bins / bound, seconds + time.perf_counter() - began)


def compare_lengths(instances: list[Lengths], limit_s: float) -> tuple[Rows, int]:
    """Ratios and seconds by way, and how many were proved."""
    rows: Rows = {}
    proved = 0
    for lengths in instances:
        began = time.perf_counter()
        own = pack_lengths(lengths, limit_s)
        took = time.perf_counter() - began
        proved += own.is_proved
        ratios, seconds = rows.get("this layout", (0.0, 0.0))
        rows["this layout"] = (ratios + len(own.bars) / own.bound, seconds + took)
        ffd = partial(_first_fit_bars, lengths)
        _note(rows, "first fit decreasing", own.bound, ffd)
        _note(rows, "rectpack", own.bound, partial(peer_bars, lengths))
    return rows, proved


def compare_sheets(count: int) -> tuple[Rows, int]:
    """Oblongs of random sizes on sheets of 48 by 24 in, sixteenths of an inch, no kerf."""
    long, wide = 48 * 16, 24 * 16
    sheet = Material("s", "sheet", Form.SHEET, Length.inches("1/2"), Length.inches(24),
                     Length.inches(48), "sheet")  # fmt: skip
    sixteenth = Length.inches("1/16")
    rows: Rows = {}
    proved = 0
    for seed in range(count):
        chance = Random(seed)
        sizes = [(chance.randint(48, long // 2), chance.randint(32, wide // 2)) for _ in range(8)]
        oblongs = [size for size in sizes for _ in range(chance.randint(2, 6))]
        items = [Item("p", None, sixteenth.times(a), sixteenth.times(b)) for a, b in oblongs]
        bound = least_bought(items, sheet, (), ZERO, ZERO)
        began = time.perf_counter()
        laid = search_layout(items, sheet, [], ZERO, Rules(is_board=False, section_extra=ZERO)).laid
        took = time.perf_counter() - began
        proved += laid.bought == bound
        ratios, seconds = rows.get("this layout", (0.0, 0.0))
        rows["this layout"] = (ratios + laid.bought / bound, seconds + took)
        _note(rows, "rectpack", bound, partial(_peer_bins, oblongs, long, wide))
    return rows, proved


def _say(name: str, rows: Rows, proved: int, count: int) -> None:
    for way, (ratios, seconds) in rows.items():
        told = f"{proved} of {count} proved" if way == "this layout" else ""
        print(f"{name:<18}{way:<22}{ratios / count:>8.3f}{seconds / count:>9.3f} s  {told}")


def main(arguments: list[str]) -> None:
    """One table."""
    limit_s = float(arguments[0]) if arguments else 20.0
    print(f"{'set':<18}{'way':<22}{'ratio':>8}{'each':>11}")
    for name, instances in sets():
        rows, proved = compare_lengths(instances, limit_s)
        _say(name, rows, proved, len(instances))
    rows, proved = compare_sheets(20)
    _say("sheets, 20", rows, proved, 20)


if __name__ == "__main__":
    main(sys.argv[1:])
