"""Sheets on paper, read back from the PDF by a library that did not write it."""

from __future__ import annotations

import io
import re
from functools import cache
from pathlib import Path

import pytest
from pypdf import PdfReader

from shopstep.cli.main import run
from shopstep.desk import Wish
from shopstep.model.plan import Plan
from shopstep.paper.picture_svg import SHEET
from shopstep.paper.printing import PAPERS, set_pages
from shopstep.paper.sheets import BOTH, SHEETS, Source
from shopstep.planner import ask_measurements
from shopstep.present.evenings import plan_evenings
from shopstep.present.facts import value_text
from shopstep.present.setup_order import setups_by_work
from shopstep.session.flow import index_plan
from shopstep.storage.clock import FixedClock
from shopstep.storage.folders import shipped_folder
from shopstep.units import format_length
from shopstep.wiring.printing import make_sheets, printout_of_builds
from tests.floor import BEGIN_S, floor_plan, floor_request

POINTS_MM = 72 / 25.4
PAGE_MM = {"a4": (210, 297), "letter": (215.9, 279.4)}
"""ISO 216:2007, and ANSI/ASME Y14.1: 8 1/2 by 11 in."""


@cache
def pages(name: str, paper: str = "a4", show: str = "") -> tuple[str, ...]:
    """Text of each page of a sheet of two floors, spaces as one."""
    reader = PdfReader(io.BytesIO(pdf((name,), paper, show)))
    return tuple(" ".join(page.extract_text().split()) for page in reader.pages)


@cache
def pdf(names: tuple[str, ...], paper: str = "a4", show: str = "") -> bytes:
    request = floor_request(units=2)
    asked = (ask_measurements(request.build, (), (), "in"),)
    source = Source(floor_plan(units=2), None, asked, show)
    sheets = [SHEETS[name](source) for name in names]
    return set_pages(shipped_folder("assets"), floor_plan(units=2), sheets, paper, BEGIN_S)


def text_of(name: str, show: str = "") -> str:
    return " ".join(pages(name, show=show))


def plan() -> Plan:
    return floor_plan(units=2)


@pytest.mark.parametrize("paper", PAPERS)
def test_pages_have_the_size_that_was_asked_for(paper: str) -> None:
    reader = PdfReader(io.BytesIO(pdf(tuple(SHEETS), paper)))
    for page in reader.pages:
        size = (float(page.mediabox.width), float(page.mediabox.height))
        assert [round(side / POINTS_MM, 1) for side in size] == pytest.approx(
            PAGE_MM[paper], abs=0.2
        )
    assert len(reader.pages) > len(SHEETS)


def test_the_same_batch_gives_the_same_bytes() -> None:
    names = tuple(SHEETS)
    pdf.cache_clear()
    first = pdf(names)
    pdf.cache_clear()
    assert pdf(names) == first


def test_every_page_says_what_it_is_and_which() -> None:
    for name in SHEETS:
        told = pages(name)
        for number, text in enumerate(told, 1):
            assert f"page {number} of {len(told)}" in text
            assert "revision 1 · 2 units · Thu 15 Jan 2026" in text


def test_the_bar_of_100_mm_measures_100_mm() -> None:
    reader = PdfReader(io.BytesIO(pdf(("overview",))))
    contents = [page.get_contents() for page in reader.pages]
    content = b"".join(each.get_data() for each in contents if each is not None)
    lengths = {float(number) for number in re.findall(rb"(\d+\.\d+) 0 l\b", content)}
    assert any(abs(length / POINTS_MM - 100) < 0.01 for length in lengths), lengths


@pytest.mark.parametrize("paper", PAPERS)
def test_the_bar_stands_on_the_first_page_beside_the_finished_thing(paper: str) -> None:
    first = PdfReader(io.BytesIO(pdf(("overview",), paper))).pages[0]
    assert "measures 100 mm" in first.extract_text()
    printout = printout_of_builds(Wish("screened-floor"), FixedClock(BEGIN_S))
    (sheet,) = make_sheets(printout, ("overview",), "", paper).values()
    assert str(sheet["whole"]).startswith("<svg")


def test_letters_in_printed_pictures_can_be_read() -> None:
    """7 points at least, as on a label (common practice, no source)."""
    wide_mm, drawn_wide = 68, 640
    template = (shipped_folder("assets") / "paper.typ").read_text(encoding="utf-8")
    assert f"svg(row.picture, width: {wide_mm}mm)" in template
    points = SHEET.letters * wide_mm / drawn_wide * POINTS_MM
    assert points >= 7


@pytest.mark.parametrize("show", ["", BOTH])
def test_every_part_stands_there_with_its_sizes_and_hand(show: str) -> None:
    text = text_of("parts", show)
    for part in plan().parts:
        for size in (part.length, part.width, part.thickness):
            assert format_length(size, "in") in text
            assert not show or format_length(size, "mm") in text
        label = f"{part.hand.value.upper()} {part.title}" if part.hand else part.title
        assert label in text
    assert text.count("LEFT") == text.count("RIGHT") == 1


def test_every_step_of_every_unit_has_a_box_and_its_numbers() -> None:
    text = text_of("steps")
    index = index_plan(plan())
    entries = [entry for evening in plan_evenings(plan()) for entry in evening.runs]
    for place, entry in enumerate(entries, 1):
        assert f"{place}. {index.kind_of(entry[0]).title}" in text
    assert sum(len(entry) for entry in entries) == len(plan().steps)
    for kind in plan().kinds:
        assert " ".join(kind.text.split()) in text
        for number in kind.numbers:
            assert f"{number.label} {value_text(number.value, 'in')}" in text
        for check in kind.checks:
            assert check.text in text


def test_every_caution_stands_whole_on_every_evening_that_needs_it() -> None:
    text = text_of("steps")
    index = index_plan(plan())
    for evening in plan_evenings(plan()):
        for caution in {c for step in evening.steps for c in index.kind_of(step).cautions}:
            assert caution.harm in text
            assert caution.avoid in text
            assert caution.done in text
    evenings = text.split("Before you leave:")
    assert len(evenings) == len(plan_evenings(plan())) + 1
    for page, evening in zip(evenings, plan_evenings(plan()), strict=False):
        for caution in {c for step in evening.steps for c in index.kind_of(step).cautions}:
            assert caution.harm in page, "once whole on its own evening"


def test_what_to_buy_what_to_measure_and_every_setting_stand_there() -> None:
    bought, asked, setups = text_of("buy"), text_of("measure"), text_of("setups")
    assert all(" ".join(line.text.split()) in bought for line in plan().buy)
    assert all(measured.prompt in asked for measured in plan().measured)
    for number, setup in enumerate(setups_by_work(plan()), 1):
        assert f"{number}. {setup.tool.replace('_', ' ')}" in setups
        for setting in setup.settings:
            assert value_text(setting.value, "in") in setups


def test_each_piece_of_each_unit_has_a_label() -> None:
    text = text_of("labels")
    pieces = sum(part.count(2) for part in plan().parts)
    cells = [cell for cell in _cells() if not cell["whole"]]
    assert len(cells) == pieces
    assert all(str(cell["title"]) in text for cell in cells)


def test_a_unit_has_labels_for_the_pieces_of_its_own_build_alone(tmp_path: Path) -> None:
    file = tmp_path / "labels.pdf"
    both = ["print", "screened-floor", "inner-cover", "--units", "1,1", "--sheets", "labels"]
    assert run([*both, "--to", str(file)]) == 0
    text = " ".join(" ".join(page.extract_text().split()) for page in PdfReader(file).pages)
    floor, cover = text.split("2 Insulated inner cover")
    assert "1 landing board" in floor
    assert "2 landing board" not in cover
    assert "@" not in text


def _cells() -> list[dict[str, object]]:
    cells = SHEETS["labels"](Source(plan()))["cells"]
    assert isinstance(cells, list)
    return cells


def test_a_session_is_printed_as_far_as_it_has_come(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    session, now = str(tmp_path / "floor.session"), ["--now", "2026-01-15T18:00:00+00:00"]
    where = ["--session", session, "--plain", "--temperature", "18 C"]
    assert run(["start", "screened-floor", *where, *now]) == 0
    assert run(["do", session, "ack", *now]) == 0
    assert run(["do", session, "done", *now]) == 0
    sheet, tonight = tmp_path / "steps.pdf", tmp_path / "tonight.pdf"
    assert run(["print", session, "--sheets", "steps", "--to", str(sheet), *now]) == 0
    assert run(["print", session, "--tonight", "--to", str(tonight), *now]) == 0
    capsys.readouterr()
    whole = PdfReader(sheet).pages[0].extract_text()
    left = PdfReader(tonight).pages[0].extract_text()
    assert "Rough lengths" in whole
    assert "✓" in whole
    assert "Rough lengths" not in left
    assert "Tonight, Thu 15 Jan 2026" in left


def test_a_folder_takes_a_file_for_each_sheet_and_other_names_are_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["print", "screened-floor", "--to", str(tmp_path), "--sheets", "buy,parts"]) == 0
    assert sorted(path.name for path in tmp_path.glob("*.pdf")) == ["buy.pdf", "parts.pdf"]
    assert run(["print", "screened-floor", "--to", str(tmp_path / "x.txt")]) == 2
    assert run(["print", "screened-floor", "--to", "x.pdf", "--sheets", "prts"]) == 2
    assert "'parts'" in capsys.readouterr().err
