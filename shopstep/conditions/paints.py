"""Paints and other finishes by class: planning defaults at 23 °C, 50 %; the label governs.

Hours are the long end of common practice (each is a least). ASTM D1640 measures drying on smooth,
non-absorbent plates, so a label's hours are not hours on wood either. Imports nothing of the
project.
"""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches

from shopstep.words import say

_H, _DAY = 3600, 86400
COMMON = "common practice, no source; the label governs"
_LATEX = "common practice, no source; minimum 10 °C FPL-GTR-190 ch. 16; the label governs"
_ALKYD = "common practice, no source; minimum 4 °C FPL-GTR-190 ch. 16; the label governs"


@dataclass(frozen=True, slots=True)
class Paint:
    """One class of finish as the label names it. All times are leasts."""

    id: str
    title: str
    touch_s: int
    """Until dry to the touch."""
    recoat_s: int
    """Until the next coat."""
    tannin_recoat_s: int | None
    """Until the next coat on woods whose tannin bleeds, where that differs."""
    through_s: int
    """Until dry through: it may be handled and turned."""
    service_s: int | None
    """Until full use; None where the class states none."""
    least_c: float
    water_borne: bool
    oily: bool
    """Rags with it can set fire to themselves."""
    source: str


_ROWS = (
    Paint("acrylic_primer", "acrylic exterior primer",
          1 * _H, 4 * _H, 48 * _H, 24 * _H, None, 10.0, True, False,
          "common practice, no source; minimum 10 °C, and 24 to 48 h on redwood and redcedar, "
          "FPL-GTR-190 ch. 16; the label governs"),
    Paint("acrylic_paint", "acrylic exterior paint",
          1 * _H, 4 * _H, None, 24 * _H, 30 * _DAY, 10.0, True, False, _LATEX),
    Paint("alkyd_primer", "alkyd (oil) primer",
          8 * _H, 24 * _H, None, 48 * _H, None, 4.0, False, True, _ALKYD),
    Paint("alkyd_paint", "alkyd (oil) paint",
          8 * _H, 24 * _H, None, 48 * _H, 7 * _DAY, 4.0, False, True, _ALKYD),
    Paint("solid_stain", "water-borne solid stain",
          1 * _H, 4 * _H, None, 24 * _H, 48 * _H, 10.0, True, False, _LATEX),
    Paint("oil_stain", "penetrating oil stain",
          12 * _H, 24 * _H, None, 48 * _H, None, 4.0, False, True, _ALKYD),
    Paint("linseed_boiled", "boiled linseed oil",
          24 * _H, 24 * _H, None, 3 * _DAY, None, 10.0, False, True, COMMON),
    Paint("linseed_raw", "raw linseed oil",
          4 * _DAY, 7 * _DAY, None, 21 * _DAY, None, 10.0, False, True, COMMON),
)  # fmt: skip

PAINTS = {row.id: row for row in _ROWS}
"""All finishes by id."""


def find_paint(paint_id: str) -> Paint:
    """The row of that id; ValueError with the nearest known name."""
    if paint_id not in PAINTS:
        near = get_close_matches(paint_id, PAINTS, n=1, cutoff=0.0)
        raise ValueError(
            say(
                "there is no paint '{paint_id}'; nearest is '{near}', known: {known}",
                paint_id=paint_id,
                near=near[0],
                known=", ".join(sorted(PAINTS)),
            )
        )
    return PAINTS[paint_id]
