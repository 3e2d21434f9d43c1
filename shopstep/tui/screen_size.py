"""Millimetres on a screen: how large a cell, a letter or a button is, from the number of cells.

Imports ``letters``. Sizes of screens are those of the glass that shows cells.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from shopstep.tui.letters import TALL_ROWS


@dataclass(frozen=True, slots=True)
class Glass:
    """A screen, in mm."""

    width_mm: float
    height_mm: float


TABLET = Glass(1280 * 0.1705, 800 * 0.1705)
"""10 inches across, 16:10, on its long side: 1280 by 800 pixels of 0.1705 mm."""
LAPTOP = Glass(310.0, 174.4)
"""14 inches across, 16:9."""

FINGER_MM = 20.0
"""Least side of what a gloved finger is to hit."""
APART_MM = 3.0
"""Least way between two targets (common practice, no source)."""
READABLE_MM = 11.6
"""Height of a capital that is read at 2 m: 20 minutes of arc (common practice for displays)."""


def capital_mm(glass: Glass, rows: int, scale: int) -> float:
    """Height of a tall capital, ``scale`` cells to a pixel, where ``rows`` rows fill the glass.

    A capital is seven pixels high and a pixel half a row.
    """
    return glass.height_mm / rows * TALL_ROWS / 2 * scale


def rows_for(mm: float, glass: Glass, rows: int) -> int:
    """Fewest rows that are at least so high, where ``rows`` rows fill the glass."""
    return ceil(mm * rows / glass.height_mm)


def columns_for(mm: float, glass: Glass, columns: int) -> int:
    """Fewest columns that are at least so wide, where ``columns`` columns fill the glass."""
    return ceil(mm * columns / glass.width_mm)
