"""One machine action on one part before it has its place in the order of work.

Imports ``shopstep.model``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from shopstep.model.feature import Face
from shopstep.model.operation import Setting
from shopstep.units import Length

TABLE_SAW: Final = "table_saw"
DRILL_PRESS: Final = "drill_press"
SNIPS: Final = "snips"
KNIFE: Final = "knife"
HAND_SAW: Final = "hand_saw"
ROUTER: Final = "router"
PLANER: Final = "planer"

GUARD_OFF: Final = frozenset({"groove", "notch", "rabbet", "rabbet_end", "dado", "fingers"})
"""Cuts that do not go through, so riving knife and guard come off (29 CFR 1910.213(c)(2), from
memory: they are put back at once afterwards)."""

SHORT: Final = Length.inches(12)
"""No rip on a piece shorter than this (the "12 in long" rule: common practice)."""

TINY: Final = Length.inches(3)
"""Nothing shorter than this is held at the table saw (common practice, no source)."""

NARROW: Final = Length.inches("3/4")
"""A strip narrower than this is not cut between blade and fence (common practice)."""

BLADE: Final = Length.inches(10)
"""Diameter of the saw blade (common practice: the usual size of small table saws)."""

SHAPING_SIZE: Final = (
    "slice",
    "rip",
    "rip_thin",
    "sheet_cut",
    "straightedge",
    "crosscut_hand",
    "crosscut",
    "knife_cut",
    "snip",
    "shear",
)
"""Kinds that bring a part to size, in the order of work; all others cut a feature into it."""


@dataclass(frozen=True, slots=True)
class Draft:
    """What a feature (or the size of a part) asks of a machine."""

    kind: str
    tool: str
    name: str
    """Last part of the operation's id, empty where the kind alone tells it."""
    settings: tuple[Setting, ...]
    note: str
    on_stick: bool = False
    """Can be cut into a long stick before the part is crosscut from it."""
    leans_on: frozenset[Face] = frozenset()
    """True faces that touch table, fence or stop block while this is cut."""
    spoils: frozenset[Face] = frozenset()
    """True faces that this cut takes away from, so nothing can lean on them afterwards."""
