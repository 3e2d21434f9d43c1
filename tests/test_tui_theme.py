"""The screen's colours: readable in every theme, and never needed to tell things apart."""

from __future__ import annotations

import pytest

from shopstep.tui import THEMES
from shopstep.tui.theme import PALETTES, SIGNALS, Role, colour_pair, make_dress

STROKES = {Role.RULE, Role.EDGE}
"""No text: bars and edges of buttons."""


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it, of an sRGB colour ``#rrggbb``."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio as WCAG 2.2 defines it."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_the_contrast_formula_gives_the_published_ends() -> None:
    # WCAG 2.2, definition of contrast ratio: from 1:1 to 21:1
    assert contrast("#ffffff", "#000000") == pytest.approx(21)
    assert contrast("#777777", "#777777") == pytest.approx(1)


@pytest.mark.parametrize("theme", PALETTES)
@pytest.mark.parametrize("role", [role for role in Role if role not in STROKES])
def test_all_text_has_a_contrast_of_seven_to_one(theme: str, role: Role) -> None:
    # WCAG 2.2, success criterion 1.4.6
    ink, ground = colour_pair(PALETTES[theme], role)
    assert contrast(ink, ground) >= 7


@pytest.mark.parametrize("theme", PALETTES)
@pytest.mark.parametrize("role", sorted(STROKES))
def test_edges_of_controls_and_bars_have_a_contrast_of_four_and_a_half_to_one(
    theme: str, role: Role
) -> None:
    # WCAG 2.2, success criterion 1.4.11 asks for 3:1; here as much as 1.4.3 asks of text
    ink, ground = colour_pair(PALETTES[theme], role)
    assert contrast(ink, ground) >= 4.5
    assert contrast(ink, PALETTES[theme].ground) >= 4.5


@pytest.mark.parametrize("theme", PALETTES)
def test_a_filled_button_stands_out_from_the_ground(theme: str) -> None:
    palette = PALETTES[theme]
    assert contrast(palette.lead, palette.ground) >= 4.5
    assert contrast(palette.ink, palette.ground) >= 7


@pytest.mark.parametrize("theme", PALETTES)
def test_the_colours_of_signal_words_mean_nothing_else(theme: str) -> None:
    # ANSI Z535.1 keeps red, orange, yellow and blue for its signal words (from memory)
    taken = {ground for _, ground in SIGNALS.values()}
    for role in set(Role) - set(SIGNALS):
        assert taken.isdisjoint(colour_pair(PALETTES[theme], role))


def test_without_colour_what_matters_is_reversed() -> None:
    dress = make_dress("dark", is_coloured=False)
    assert all(style.color is None and style.bgcolor is None for style in dress.values())
    for role in (Role.LEAD, Role.FOCUS, Role.ALARM, Role.PANEL, Role.LATE, *SIGNALS):
        assert dress[role].reverse, role
    assert not dress[Role.BUTTON].reverse


def test_the_names_to_choose_from_are_the_themes_there_are() -> None:
    assert set(THEMES) == set(PALETTES)
