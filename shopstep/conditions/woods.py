"""Woods: how much each moves, and whether its tannin bleeds into water-borne primer.

Imports nothing of the project.
"""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches

from shopstep.words import say

_READ = "FPL-GTR-190, table 4-3; change coefficients from chapter 13's equation at 10 %"
_MEMORY = "Wood Handbook, tables 4-3 and 13-5, from memory"


@dataclass(frozen=True, slots=True)
class Wood:
    """One species as the shop buys it."""

    id: str
    title: str
    radial_percent: float
    """Shrinkage green to ovendry across the growth rings, percent."""
    tangential_percent: float
    """Shrinkage green to ovendry along the growth rings, percent."""
    radial_change: float
    """Table 13-5: change of a quarter-sawn width, per unit and percent of moisture, 6–14 %."""
    tangential_change: float
    """Table 13-5: the same of a flat-sawn width."""
    tannin: bool
    """Bleeds into water-borne primer; FPL-GTR-190 chapter 16 names redwood and redcedar."""
    source: str
    gravity: float
    """Weight ovendry over volume at 12 % moisture: Wood Handbook, table 5-3, from memory."""


_ROWS = (
    Wood("eastern_white_pine", "eastern white pine",
         2.1, 6.1, 0.00071, 0.00212, False, _MEMORY, 0.35),
    Wood("ponderosa_pine", "ponderosa pine",
         3.9, 6.2, 0.00133, 0.00216, False, _MEMORY, 0.40),
    Wood("sugar_pine", "sugar pine",
         2.9, 5.6, 0.00099, 0.00194, False, _MEMORY, 0.36),
    Wood("western_white_pine", "western white pine",
         4.1, 7.4, 0.00141, 0.00259, False, _MEMORY, 0.38),
    Wood("lodgepole_pine", "lodgepole pine",
         4.3, 6.7, 0.00148, 0.00234, False, _MEMORY, 0.41),
    Wood("sitka_spruce", "Sitka spruce",
         4.3, 7.5, 0.00148, 0.00263, False, _MEMORY, 0.40),
    Wood("engelmann_spruce", "Engelmann spruce",
         3.8, 7.1, 0.00130, 0.00248, False, _MEMORY, 0.35),
    Wood("white_fir", "white fir",
         3.3, 7.0, 0.00112, 0.00245, False, _READ, 0.39),
    Wood("douglas_fir", "Douglas-fir, coast",
         4.8, 7.6, 0.00165, 0.00267, False, _READ, 0.48),
    Wood("northern_white_cedar", "northern white-cedar",
         2.2, 4.9, 0.00074, 0.00169, False, _READ, 0.31),
    Wood("western_redcedar", "western redcedar",
         2.4, 5.0, 0.00111, 0.00234, True,
         "FPL-GTR-190, table 4-3; change coefficients table 13-5, from memory", 0.32),
    Wood("redwood", "redwood, old growth",
         2.6, 4.4, 0.00120, 0.00205, True, _MEMORY, 0.40),
    Wood("baldcypress", "baldcypress",
         3.8, 6.2, 0.00130, 0.00216, False, _MEMORY, 0.46),
    Wood("yellow_poplar", "yellow-poplar",
         4.6, 8.2, 0.00158, 0.00289, False, _READ, 0.42),
)  # fmt: skip

WOODS = {row.id: row for row in _ROWS}
"""All woods by id."""


def find_wood(wood_id: str) -> Wood:
    """The row of that id; ValueError with the nearest known name."""
    if wood_id not in WOODS:
        near = get_close_matches(wood_id, WOODS, n=1, cutoff=0.0)
        raise ValueError(
            say("there is no wood '{wood_id}'; nearest is '{near}'", wood_id=wood_id, near=near[0])
        )
    return WOODS[wood_id]
