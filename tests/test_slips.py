"""Slips of somebody who writes their first build file: each is answered on its own line.

The build is the one that ``shopstep new`` writes. Every slip was made by a person at a desk; what
is right is common practice of that file, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from shopstep.cli.main import run
from tests.test_build_file import line_of

TEXT = (Path(__file__).resolve().parent.parent / "assets" / "new-build.yaml").read_text("utf-8")
Answer = Callable[[str, str], str]


@pytest.fixture
def answer(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Answer:
    """What a command says about a build text, as one line."""
    monkeypatch.chdir(tmp_path)

    def told(text: str, command: str = "check") -> str:
        file = tmp_path / "box.yaml"
        file.write_text(text, encoding="utf-8")
        run([command, file.name])
        said = capsys.readouterr()
        return " ".join((said.err + said.out).split())

    return told


SLIPS = [
    # not YAML: told as what a person did, on the line where they did it
    ("    width: box_height\n", "   width: box_height\n", "spaces before this line: 3; right", ""),
    ("  end_piece:\n", "   end_piece:\n", "right would be 4, 2 or 0", ""),
    ("    width: box_height\n", "      width: box_height\n", "spaces before this line: 6", ""),
    ("  end_piece:\n", "  end_piece\n", "'end_piece' has no colon; write 'end_piece:'", ""),
    ("bottom-top, left-right]\n", "bottom-top, left-right\n", "opens here is not closed", ""),
    ('exterior screw", count', "exterior screw, count", "a quote in this line is not closed", ""),
    ("{text: It stands", "{text: 'It stands' well", "put a comma between two entries", ""),
    (
        "      no_rock:",
        "      - no_rock:",
        "without '- ' before them",
        "    checks:\n      no_rock",
    ),
    ("kind: screw, title", "kind: screw title", "words that hold a colon", ""),
    # arithmetic
    ("box_width - 2*board", "box_width - 2 x board", "write 2*board for two times", ""),
    ("place_length - 1/4 in", "place_length - 1", "a length less a number", ""),
    ("place_length - 1/4 in", "place_length - 1", "give the number its unit, as in 2 in", ""),
    # names
    ("{box_width} wide", "{width} wide", "write {box_width}", "text: >-\n      Slide"),
    ("    usual: 24 in\n", "    usual: 52 in\n", "is not from 12 in to 48 in", ""),
    ("row: pva_crosslinking", "row: pva", "no glue 'pva'; nearest is 'pva_interior', known", ""),
    ("row: acrylic_paint", "row: acrylic", "there is no paint 'acrylic'; nearest", ""),
    ("tool: drill_driver", "tool: drill", "there is no tool 'drill'", "  glue/screw:\n"),
    ("parts: [side, end_piece]\n", "parts: [side, endpiece]\n", "names a part 'endpiece'", ""),
    ("closes: glue/spread", "closes: glue/spraed", "did you mean 'glue/spread'?", ""),
]


@pytest.mark.parametrize(("old", "new", "hint", "at"), SLIPS)
def test_a_slip_is_told_on_its_line(answer: Answer, old: str, new: str, hint: str, at: str) -> None:
    """``at``: where the line is that has to be changed, where it is not that of the slip."""
    assert TEXT.count(old) >= 1
    said = answer(TEXT.replace(old, new, 1), "check")
    assert hint in said
    assert said.startswith(f"shopstep: box.yaml, line {line_of(TEXT, at or old)}: ")
    assert "block" not in said


ROWS = '      - {kind: screw, title: "#8 × 1 3/4 in exterior screw", count: 8, pilot: 3/32 in, '
ROWS += "clearance: 11/64 in}\n"


def with_rows(rows: str) -> str:
    """The build with places for its screws."""
    assert ROWS in TEXT
    return TEXT.replace(ROWS, ROWS.replace("}\n", f", rows: [{rows}]}}\n"))


def test_a_side_that_is_none_is_told_as_the_word_it_is(answer: Answer) -> None:
    said = answer(with_rows("{through: side, into: end_piece, at: {up: 1 in}}"), "check")
    assert "'up' is no name here; it must be one of 'front', 'back'" in said


def test_what_a_proof_finds_has_file_and_line(answer: Answer) -> None:
    """Two screws where eight are said, told at the row; a part that meets nothing, at its joint."""
    text = with_rows("{through: left side, into: end_piece, at: {bottom: 1 in}}")
    line = line_of(text, ROWS[:40])
    assert f"stop: box.yaml, line {line}: Step glue/screw says 8" in answer(text, "prove")
    far = TEXT.replace("bottom: under + bottom_thickness}", "bottom: 20 in}", 1)
    said = answer(far, "prove")
    assert f"box.yaml, line {line_of(TEXT, '  end_in_sides:')}: End piece 1 does not meet" in said


def test_a_paint_that_no_step_uses_is_neither_bought_nor_told_of(answer: Answer) -> None:
    """The same build without its coats; its glue stays on the list."""
    begin, end = TEXT.index("  paint/first:"), TEXT.index("  last/lining:")
    last = TEXT.index("  last/look:")
    bare = TEXT[:begin] + TEXT[last:].replace(
        "    after:\n      - {step: paint/second, wait: dry_through}\n", ""
    )
    assert end < last
    assert "acrylic" in answer(TEXT, "plan").split("Buy", 1)[1]
    said = answer(bare, "plan")
    assert "acrylic" not in said
    assert "wood glue" in said.split("Buy", 1)[1]
    assert "0 coats" not in answer(bare, "prove")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--words"], "parts: Finished pieces. Needed. Has words of its own."),
        (["parts"], "length: Along the grain. Needed."),
        (["joints"], "dado: A member whose ends sit in channels across the grain."),
        (["joints", "groove"], "depth: Depth of the channel. Needed."),
        (["parts", "features", "bevel"], "drop: How far down on the edge it ends. Needed."),
        (["steps", "fasteners", "rows"], "One of: front, back, left, right, bottom, top"),
        (["materials"], "One of: board, sheet, roll."),
    ],
)
def test_the_words_of_a_build_file_can_be_read(
    capsys: pytest.CaptureFixture[str], words: list[str], told: str
) -> None:
    assert run(["schema", *words]) == 0
    printed = capsys.readouterr().out
    assert told in " ".join(printed.split())
    assert max(map(len, printed.splitlines())) <= 80


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["prats"], "'prats' is not known here; known are show, measurements"),
        (["joints", "tenon"], "'tenon' is not known here; known are groove, butt"),
        (["parts", "title"], "'title' has no words of its own"),
    ],
)
def test_a_word_that_is_not_there_is_answered_with_those_that_are(
    capsys: pytest.CaptureFixture[str], words: list[str], told: str
) -> None:
    assert run(["schema", *words]) == 2
    assert capsys.readouterr().err.startswith(f"shopstep: {told}")
