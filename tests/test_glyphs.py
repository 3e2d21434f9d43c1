"""Our own tall letters: every one is told from every other, and none leaves its box."""

from __future__ import annotations

from itertools import combinations

import pytest

from shopstep.tui.glyphs import can_draw, tall, tall_length, tall_width, triangle
from shopstep.tui.letters import SMALL, SMALL_ROWS, TALL, TALL_ROWS, TRIANGLE
from shopstep.units import Length, format_inches

NEEDED = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789/\"'.,°×-+=:() "


def test_every_character_that_a_card_needs_is_drawn() -> None:
    assert set(NEEDED) <= set(TALL)
    assert can_draw("Rip to 14 5/8″, 2 × (left) at 15°")
    assert not can_draw("Größe")


@pytest.mark.parametrize(("font", "rows"), [(TALL, TALL_ROWS), (SMALL, SMALL_ROWS)])
def test_every_letter_fills_a_box_of_even_rows(font: dict[str, str], rows: int) -> None:
    for letter, drawing in font.items():
        lines = drawing.split()
        assert len(lines) == rows, letter
        assert len({len(line) for line in lines}) == 1, letter
        assert set(drawing) <= set("#. "), letter


@pytest.mark.parametrize("font", [TALL, SMALL])
def test_no_two_letters_look_alike(font: dict[str, str]) -> None:
    for one, other in combinations(font, 2):
        assert font[one] != font[other], (one, other)


def test_digits_are_told_apart_by_more_than_one_pixel() -> None:
    for one, other in combinations("0123456789", 2):
        pairs = zip(TALL[one], TALL[other], strict=True)
        assert sum(a != b for a, b in pairs) >= 2, (one, other)


def test_digits_are_equally_wide_so_that_a_clock_does_not_jump() -> None:
    assert {tall_width(digit) for digit in "0123456789"} == {4}


def test_a_clock_looks_as_it_was_drawn() -> None:
    assert tall("4:10") == [
        "█  █    ▄█  ▄▀▀▄",
        "█▄▄█ ▀   █  █  █",
        "   █ ▄   █  █  █",
        "   ▀    ▀▀▀  ▀▀ ",
    ]


def test_a_small_number_has_a_slanted_fraction_and_its_unit() -> None:
    assert tall_length("12 3/8 in") == [
        " ▄█  ▄▀▀▄    ▀▀█    █      ▀█▀ █▄ █",
        "  █    ▄▀     ▀█   █  █▀█   █  █▀▄█",
        "  █  ▄▀      ▀▀▀ ▄▀   █▀█   █  █ ▀█",
        " ▀▀▀ ▀▀▀▀        ▀    ▀▀▀  ▀▀▀ ▀  ▀",
    ]


def test_a_large_number_has_a_stacked_fraction() -> None:
    assert tall_length("3/8 in", 2) == [
        " ▀▀▀█             ",
        "  ▄█              ",
        " ▄  █             ",
        "  ▀▀              ",
        "▀▀▀▀▀▀    ▀█▀ █▄ █",
        " ▄▀▀▄      █  █▀▄█",
        " ▀▄▄▀      █  █ ▀█",
        " █  █     ▀▀▀ ▀  ▀",
        "  ▀▀              ",
    ]


@pytest.mark.parametrize(("scale", "rows"), [(1, 4), (2, 7), (4, 14)])
def test_seven_pixels_take_half_as_many_rows(scale: int, rows: int) -> None:
    drawn = tall("412.8", scale)
    assert len(drawn) == rows
    assert {len(row) for row in drawn} == {tall_width("412.8", scale)}
    assert set("".join(drawn)) <= set(" ▀▄█")


@pytest.mark.parametrize("scale", [1, 2, 4])
def test_all_sixty_fourths_of_two_inches_look_different(scale: int) -> None:
    texts = [format_inches(Length(nm * 396_875)) for nm in range(128)]
    assert len({tuple(tall_length(text, scale)) for text in texts}) == 128


@pytest.mark.parametrize("text", ["12 3/8 in", "-1/16 in", "412.8 mm", "22.5°", "4", "#6", "A-B"])
@pytest.mark.parametrize("scale", [1, 2, 4])
def test_whatever_stands_for_a_number_is_a_clean_rectangle(text: str, scale: int) -> None:
    drawn = tall_length(text, scale)
    assert len({len(row) for row in drawn}) == 1
    assert any(row.strip() for row in drawn)


def test_whole_inches_cannot_run_into_the_fraction() -> None:
    assert tall_length("12 3/8 in") != tall_length("123/8 in")
    for text, end_of_whole in (("1 1/2 in", 4), ("5 15/32 in", 4), ("5 7/8 in", 4)):
        for scale in (1, 2, 4):
            rows = tall_length(text, scale)
            gap = range(end_of_whole * scale, end_of_whole * scale + 3)
            assert all(row[x] == " " for row in rows for x in gap), (text, scale)


def test_the_alert_triangle_is_even_on_both_sides_and_has_its_mark() -> None:
    # ANSI Z535.4: an equilateral triangle around an exclamation mark (from memory)
    assert all(row == row[::-1] for row in TRIANGLE)
    assert any("##.##" in row for row in TRIANGLE)
    assert len(triangle()) == 5
