"""The roof by hand."""

from __future__ import annotations

from fractions import Fraction as F

from tests.arithmetic.given import EIGHTH, SIXTEENTH, Given, Sizes, up_to


def roof(given: Given) -> Sizes:
    """The skirt goes over the box with 1/4 in all round; the metal is folded over the deck."""
    w, n, b = given["box_width"], given["box_length"], given["board_thickness"]
    p, c = given["panel_thickness"], given["cover_height"]
    opened = given.choices["vents"] == "open"
    skirt = up_to((F(1, 2) if opened else F(0)) + c + 2, SIXTEENTH)
    fold = up_to(p + F(5, 8), EIGHTH)
    wide, long = w + F(1, 2) + 2 * b, n + F(1, 2) + 2 * b
    found: Sizes = {
        "skirt_side": (long, skirt, b),
        "skirt_end": (w + F(1, 2), skirt, b),
        "deck": (long, wide, p),
        "grip": (F(6), F(3, 2), b),
        "cover_metal": (long + 2 * fold, wide + 2 * fold, F(1, 64)),
    }
    if opened:
        found["stick"] = (n + F(1, 2) - F(1, 8), b, F(1, 2))
    return found
