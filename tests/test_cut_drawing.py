"""The cut drawings: every part once, where the layout has it, with its mark; nothing too wide."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections import Counter
from itertools import pairwise
from pathlib import Path

import pytest

from shopstep.cli.main import run
from shopstep.desk import Wish
from shopstep.model.material import Form
from shopstep.model.plan import Plan
from shopstep.present.cut_drawing import cut_lines, draw_cuts
from shopstep.present.cut_svg import cuts_svg
from shopstep.present.pencil_marks import pencil_marks
from shopstep.wiring.desks import open_desk
from tests.floor import BEGIN_S, FILE
from tests.rack_bench import fill_rack

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def plan() -> Plan:
    """Two floors from three boards and a piece of plywood, the rest bought."""
    fill_rack()
    return open_desk().plan(Wish(str(FILE), units=2), BEGIN_S)


def test_every_mark_is_short_and_stands_for_one_part(plan: Plan) -> None:
    marks = pencil_marks(plan)
    assert len(set(marks.values())) == len(marks) == len({(p.name, p.hand) for p in plan.parts})
    assert max(map(len, marks.values())) <= 6
    assert marks["side_rail", next(p.hand for p in plan.parts if p.name == "side_rail")] == "SR L"


def test_the_drawing_has_each_piece_with_all_that_is_cut_from_it(plan: Plan) -> None:
    drawings = draw_cuts(plan)
    assert [drawing.piece for drawing in drawings] == list(plan.stock)
    assert {Form.BOARD, Form.SHEET, Form.ROLL} == {drawing.form for drawing in drawings}
    for drawing in drawings:
        assert [each.cut for each in drawing.cuts] == list(drawing.piece.cuts)
        assert [each.number for each in drawing.cuts] == list(range(1, len(drawing.cuts) + 1))
        for each in drawing.cuts:
            homes = [s for s in drawing.sections if s[0] <= each.cut.at_length < s[1]]
            assert len(homes) == 1
        for (_, end), (start, _) in pairwise(drawing.sections):
            assert start - end >= drawing.piece.kerf


def test_numbers_follow_the_order_of_the_cuts(plan: Plan) -> None:
    """Along the piece section by section; in a section slices first, then one lane at a time."""
    for drawing in draw_cuts(plan):
        starts = [
            next(n for n, s in enumerate(drawing.sections) if s[0] <= each.cut.at_length < s[1])
            for each in drawing.cuts
        ]
        if drawing.form is not Form.ROLL:
            assert starts == sorted(starts)
        for section in set(starts):
            own = [e.cut for e, s in zip(drawing.cuts, starts, strict=True) if s == section]
            lanes = [cut.at_width for cut in own]
            if drawing.form is Form.BOARD:
                assert lanes == sorted(lanes)
                assert all(a.at_length < b.at_length for a, b in pairwise(own)
                           if a.at_width == b.at_width)  # fmt: skip


@pytest.mark.parametrize("width", [40, 60, 78, 100])
def test_no_line_is_too_wide_and_every_number_that_fits_stands_there(
    plan: Plan, width: int
) -> None:
    lines = cut_lines(plan, width)
    assert max(map(len, lines)) <= width
    if width >= 78:
        told = Counter(re.findall(r"\|(\d+) ", "\n".join(line for line in lines if "|" in line)))
        drawn = Counter(str(e.number) for drawing in draw_cuts(plan) for e in drawing.cuts)
        assert told <= drawn
        assert sum(told.values()) >= 0.9 * sum(drawn.values())
    marks = " ".join(" ".join(lines).split())
    assert "SR L: left side rail" in marks


def test_the_picture_shows_every_part_in_its_place_to_scale(plan: Plan) -> None:
    root = ET.fromstring(cuts_svg(plan))
    boxes = [
        (rect, title.text)
        for rect in root.iter(f"{SVG}rect")
        if (title := rect.find(f"{SVG}title")) is not None
    ]
    drawings = draw_cuts(plan)
    wanted = [
        (drawing, length, width)
        for drawing in drawings
        for length, width in (
            *((rest.length, rest.width) for rest in drawing.rests),
            *((each.cut.length, each.cut.width) for each in drawing.cuts),
        )
    ]
    assert len(boxes) == len(wanted)
    scale = 1000 / max(piece.length.nm for piece in plan.stock)
    for (rect, _), (drawing, length, width) in zip(boxes, wanted, strict=True):
        taller = 4 if drawing.form is Form.BOARD else 1
        assert float(rect.get("width", 0)) == pytest.approx(length.nm * scale, abs=0.02)
        assert float(rect.get("height", 0)) == pytest.approx(width.nm * scale * taller, abs=0.02)
    view = [float(n) for n in root.get("viewBox", "").split()]
    for rect in root.iter(f"{SVG}rect"):
        assert float(rect.get("x", 0)) + float(rect.get("width", 0)) <= view[2]
        assert float(rect.get("y", 0)) + float(rect.get("height", 0)) <= view[3]
    words = [text.text or "" for text in root.iter(f"{SVG}text")]
    assert any("SR L: left side rail" in word for word in words)
    told = [text for _, text in boxes if text and not text.startswith("rest")]
    assert len(set(told)) >= len(told) // 3


def test_plan_shows_the_drawings_and_writes_the_picture(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    picture = tmp_path / "cuts.svg"
    words = ["plan", str(FILE), "--now", "2026-01-15T18:00", "--cuts-svg"]
    assert run([*words, str(picture)]) == 0
    said = capsys.readouterr()
    assert "Cuts, drawn" in said.out
    assert f"cut drawings: {picture}" in said.err
    assert ET.parse(picture).getroot().tag == f"{SVG}svg"
    assert run([*words, str(tmp_path / "no" / "cuts.svg")]) == 4
    assert "Traceback" not in capsys.readouterr().err
