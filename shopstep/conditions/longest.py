"""How long work may be put off before what was done loses its worth: longest waits, with sources.

Imports nothing of the project.
"""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches

from shopstep.words import say

_H, _DAY = 3600, 86_400


@dataclass(frozen=True, slots=True)
class Longest:
    """One longest wait, from the end of the earlier work to the start of the later."""

    id: str
    most_s: int
    late: str
    """What to do where it is later; a sentence."""
    source: str


_ROWS = (
    Longest("bare_wood", 14 * _DAY,
            "Sand again with 120 grit, brush the dust off, then put the coat on.",
            "first coat within 2 weeks: Wood Handbook ch. 16 (FPL-GTR-190); sanding again is "
            "common practice, no source"),
    Longest("topcoat", 14 * _DAY,
            "Wash the coat, let it dry, scuff it with 180 grit, then put the next one on.",
            "next coat within 2 weeks: Wood Handbook ch. 16, from memory; washing and scuffing are "
            "common practice, no source"),
    Longest("squeeze_out", 24 * _H,
            "The glue is stone hard: warm it or use a file first, it chips an edge.",
            "common practice, no source"),
)  # fmt: skip

LONGEST = {row.id: row for row in _ROWS}
"""All longest waits by id."""


def find_longest(row_id: str) -> Longest:
    """The row of that id; ValueError with the nearest known name."""
    if row_id not in LONGEST:
        near = get_close_matches(row_id, LONGEST, n=1, cutoff=0.0)
        raise ValueError(
            say(
                "there is no longest wait '{row_id}'; nearest is '{near}'",
                row_id=row_id,
                near=near[0],
            )
        )
    return LONGEST[row_id]
