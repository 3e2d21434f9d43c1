"""Text to tall letters: pixels to half-block characters, fractions stacked or slanted.

Imports ``letters``. One pixel is one cell wide and half a cell high, so seven pixel rows take four
cell rows. Everything returns plain lines of equal width, without styles.
"""

from __future__ import annotations

import re
from functools import lru_cache

from shopstep.tui.letters import SMALL, TALL, TALL_ROWS, TRIANGLE

FRACTION_GAP = 4
"""Least empty columns before a fraction: 5 15/32 must not be read as 515/32."""

Bitmap = tuple[str, ...]
"""Rows of pixels of equal width: ``#`` is ink, ``.`` is none."""

_SAME = {"−": "-", "–": "-", "—": "-", "’": "'", "′": "'", "″": '"', "”": '"', "“": '"'}
_HALVES = {"..": " ", "#.": "▀", ".#": "▄", "##": "█"}
_MEASURE = re.compile(
    r"([-−+]?)\s*(?:(\d+(?:\.\d+)?)(?:\s+(\d+)/(\d+))?|(\d+)/(\d+))\s*([a-zA-Z]{0,3}|°)"
)
"""Sign; whole with or without a fraction after a space, or a fraction alone; unit."""


def can_draw(text: str) -> bool:
    """Whether every character of the text has a tall letter."""
    return all(ch in TALL for ch in _plain(text))


def tall(text: str, scale: int = 1) -> list[str]:
    """The text in capitals, ``scale`` cells to a pixel; 4 rows at scale 1, 7 at scale 2.

    A character without a letter of its own is drawn as a question mark: ask ``can_draw`` first.
    """
    return to_blocks(enlarge(_draw(_plain(text)), scale))


def tall_width(text: str, scale: int = 1) -> int:
    """Cells that ``tall`` needs for the text."""
    return len(_draw(_plain(text))[0]) * scale


def tall_length(text: str, scale: int = 1) -> list[str]:
    """A number with its unit, such as ``12 3/8 in``, so that the fraction cannot be misread.

    At scale 1 the fraction is slanted and the whole takes four rows; from scale 2 on it is
    stacked, numerator over bar over denominator, nine rows at scale 2. The unit stands at the
    foot in the next smaller size. Text that is no number is drawn as it is.
    """
    return to_blocks(_length_bitmap(text.strip(), scale))


def triangle(scale: int = 1) -> list[str]:
    """The safety-alert triangle; 15 cells wide and 5 rows high at scale 1."""
    return to_blocks(enlarge(TRIANGLE, scale))


def to_blocks(bitmap: Bitmap) -> list[str]:
    """Two pixel rows to one row of half-block characters; an odd last row gets an empty one."""
    rows = [*bitmap, "." * len(bitmap[0])] if len(bitmap) % 2 else list(bitmap)
    return [
        "".join(_HALVES[upper + lower] for upper, lower in zip(top, bottom, strict=True))
        for top, bottom in zip(rows[::2], rows[1::2], strict=True)
    ]


def enlarge(bitmap: Bitmap, scale: int) -> Bitmap:
    """Every pixel as ``scale`` by ``scale`` pixels."""
    return tuple("".join(pixel * scale for pixel in row) for row in bitmap for _ in range(scale))


def _plain(text: str) -> str:
    return "".join(_SAME.get(ch, ch) for ch in text).upper()


def _pixels(drawing: str) -> Bitmap:
    return tuple(drawing.split())


@lru_cache(maxsize=256)
def _draw(text: str) -> Bitmap:
    """The letters side by side, one pixel between them; ``text`` is plain."""
    return _join([_pixels(TALL.get(ch, TALL["?"])) for ch in text or " "], 1)


def _join(parts: list[Bitmap], gap: int) -> Bitmap:
    """Bitmaps of equal height side by side, ``gap`` empty columns between them."""
    return tuple(("." * gap).join(rows) for rows in zip(*parts, strict=True))


def _pad(bitmap: Bitmap, above: int, below: int) -> Bitmap:
    empty = "." * len(bitmap[0])
    return (empty,) * above + bitmap + (empty,) * below


def _length_bitmap(text: str, scale: int) -> Bitmap:
    match = _MEASURE.fullmatch(text)
    if match is None:
        return enlarge(_draw(_plain(text)), scale)
    sign, whole, top, bottom, lone_top, lone_bottom, unit = match.groups()
    if not (top or lone_top):
        return _with_unit(enlarge(_draw(_plain(sign + whole)), scale), unit, scale)
    top, bottom = top or lone_top, bottom or lone_bottom
    lead = _plain(sign) + (whole or "")
    parts = [enlarge(_draw(lead), scale)] if lead else []
    fraction = _slanted(top, bottom) if scale == 1 else _stacked(top, bottom, scale)
    spare = len(fraction) - TALL_ROWS * scale
    above = 2 * round(spare / 4)  # on a whole cell, so that edges stay sharp
    parts = [_pad(part, above, spare - above) for part in parts]
    gap = max(FRACTION_GAP, 2 * scale)
    return _with_unit(_join([*parts, fraction], gap), unit, scale, spare - above)


def _with_unit(number: Bitmap, unit: str, scale: int, foot: int = 0) -> Bitmap:
    """The unit at the number's foot, half as large; a degree sign at its head instead."""
    if not unit:
        return number
    size = max(1, scale // 2)
    drawn = enlarge(_draw(_plain(unit)), size)
    spare = len(number) - len(drawn)
    above = 0 if unit == "°" else (spare - foot) // 2 * 2
    return _join([number, _pad(drawn, above, spare - above)], 1 if unit == "°" else 2 * scale)


def _stacked(top: str, bottom: str, scale: int) -> Bitmap:
    """Numerator over bar over denominator, digits half as large as the whole inches."""
    size = scale // 2
    halves = [enlarge(_draw(digits), size) for digits in (top, bottom)]
    width = max(len(half[0]) for half in halves) + 2 * size
    upper, lower = [tuple(_centre(row, width) for row in half) for half in halves]
    gap = ("." * width,) * size
    return (*upper, *gap, *("#" * width,) * size, *gap, *lower)


def _centre(row: str, width: int) -> str:
    left = (width - len(row)) // 2
    return "." * left + row + "." * (width - len(row) - left)


def _slanted(top: str, bottom: str) -> Bitmap:
    """Numerator high, stroke, denominator low, all in seven rows of pixels."""
    upper = _pad(_join([_pixels(SMALL[digit]) for digit in top], 1), 0, 2)
    lower = _pad(_join([_pixels(SMALL[digit]) for digit in bottom], 1), 2, 0)
    return _join([upper, _pixels(TALL["/"]), lower], 1)
