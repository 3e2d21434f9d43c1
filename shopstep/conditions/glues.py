"""Glues by class: planning defaults at 20–25 °C and 50 % humidity; the label governs.

No standard that could be read gives minutes for these classes, so the numbers are common practice
except where a row names a source. Open and assembly times are the short end of what is usual, clamp
and cure times the long end, and the minimum temperature the high end unless a published figure
stands: each errs to the safe side. Imports nothing of the project.
"""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches
from enum import StrEnum

from shopstep.words import say

_MIN, _H, _DAY = 60, 3600, 86400
COMMON = "common practice, no source; the label governs"
_PVA = (
    "common practice, no source; minimum 10 °C after NAVEDTRA 14119 (vinyl resin glue); "
    "7 days to full strength as EN 204 tests it, as quoted; the label governs"
)


class SetsBy(StrEnum):
    """What makes a glue set: decides what air does to it."""

    WATER_LOSS = "water_loss"
    REACTION = "reaction"
    MOISTURE = "moisture"
    """A reaction that feeds on moisture from air and wood."""


@dataclass(frozen=True, slots=True)
class Glue:
    """One class of glue as the label names it."""

    id: str
    title: str
    open_s: int
    """Longest time from spreading to closing the joint."""
    total_assembly_s: int
    """Longest time from spreading to full pressure."""
    clamp_s: int
    """Least time in clamps."""
    handle_s: int
    """Least time from closing until it may be worked on without stress."""
    cure_s: int
    """Least time from closing to full strength."""
    least_c: float
    """Below this temperature the joint does not bond."""
    sure_c: float
    """Some labels of the class ask for this much; equal to ``least_c`` where none is known."""
    rise: float
    """Factor on the setting rate for each 10 °C (Q10)."""
    sets_by: SetsBy
    outdoors: bool
    """May be used for things that stand in the open."""
    sheltered_only: bool
    """Outdoors only under a roof or under paint."""
    notes: str
    source: str


_ROWS = (
    Glue(
        "pva_interior", "interior PVA glue (class D1, D2)",
        4 * _MIN, 8 * _MIN, 60 * _MIN, 24 * _H, 7 * _DAY,
        10.0, 13.0, 2.0, SetsBy.WATER_LOSS, False, False,
        "Below its minimum temperature the film turns white and weak: the joint is lost.", _PVA,
    ),
    Glue(
        "pva_water_resistant", "water-resistant PVA glue (class D3)",
        4 * _MIN, 10 * _MIN, 60 * _MIN, 24 * _H, 7 * _DAY,
        10.0, 13.0, 2.0, SetsBy.WATER_LOSS, True, True,
        "Stands wetting, not constant wet. A joint under stress stays clamped 24 h.", _PVA,
    ),
    Glue(
        "pva_crosslinking", "cross-linking PVA glue (class D4)",
        5 * _MIN, 10 * _MIN, 60 * _MIN, 24 * _H, 7 * _DAY,
        10.0, 10.0, 2.0, SetsBy.WATER_LOSS, True, False,
        "For weather, under paint. Two-part kinds also have a pot life.", _PVA,
    ),
    Glue(
        "polyurethane", "one-part polyurethane glue",
        10 * _MIN, 20 * _MIN, 4 * _H, 24 * _H, 24 * _H,
        10.0, 10.0, 2.0, SetsBy.MOISTURE, True, False,
        "Mist one face of wood drier than 8 %. It foams: clamp hard.", COMMON,
    ),
    Glue(
        "epoxy", "two-part epoxy glue",
        5 * _MIN, 5 * _MIN, 24 * _H, 24 * _H, 7 * _DAY,
        15.0, 15.0, 2.0, SetsBy.REACTION, True, False,
        "Pot life is a few minutes to an hour by hardener; never alter the ratio to change it. "
        "Light pressure only.",
        "common practice, no source; pot life FAA AC 43.13-1B; the label governs",
    ),
    Glue(
        "hide_hot", "hot hide glue",
        30, 1 * _MIN, 4 * _H, 24 * _H, 24 * _H,
        21.0, 21.0, 2.0, SetsBy.WATER_LOSS, False, False,
        "Warm the wood too.", COMMON,
    ),
    Glue(
        "hide_liquid", "liquid hide glue",
        5 * _MIN, 10 * _MIN, 8 * _H, 24 * _H, 24 * _H,
        15.0, 15.0, 2.0, SetsBy.WATER_LOSS, False, False,
        "Softens in damp.", COMMON,
    ),
    Glue(
        "urea_formaldehyde", "urea-formaldehyde powder glue",
        10 * _MIN, 15 * _MIN, 14 * _H, 24 * _H, 72 * _H,
        21.0, 21.0, 2.0, SetsBy.REACTION, False, False,
        "Brittle, and not for exposed work.",
        "common practice, no source; sets within 24 h at 70 °F after NAVEDTRA 14119; "
        "the label governs",
    ),
    Glue(
        "resorcinol", "resorcinol glue",
        10 * _MIN, 40 * _MIN, 16 * _H, 24 * _H, 7 * _DAY,
        21.0, 21.0, 2.0, SetsBy.REACTION, True, False,
        "Leaves a dark line. 125 to 150 psi in softwood (FAA AC 43.13-1B).", COMMON,
    ),
)  # fmt: skip

GLUES = {row.id: row for row in _ROWS}
"""All glues by id."""


def find_glue(glue_id: str) -> Glue:
    """The row of that id; ValueError with the nearest known name."""
    if glue_id not in GLUES:
        near = get_close_matches(glue_id, GLUES, n=1, cutoff=0.0)
        raise ValueError(
            say(
                "there is no glue '{glue_id}'; nearest is '{near}', known: {known}",
                glue_id=glue_id,
                near=near[0],
                known=", ".join(sorted(GLUES)),
            )
        )
    return GLUES[glue_id]
