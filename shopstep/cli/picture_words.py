"""The picture of the step at the bench as lines of text."""

from __future__ import annotations

import sys

from shopstep.model.plan import Plan
from shopstep.present.step_picture import NO_PICTURE
from shopstep.words import say

COLUMNS, ROWS = 78, 24


def picture_lines(plan: Plan, step_id: str) -> tuple[str, ...]:
    """The picture of a step; one sentence where it has none, or where dots cannot be written."""
    from shopstep.wiring.picturing import step_lines

    lines = step_lines(plan, step_id, COLUMNS, ROWS)
    problem = dots_problem() if lines else ""
    return (f"{problem[0].upper()}{problem[1:]}.",) if problem else lines or (say(NO_PICTURE),)


def dots_problem() -> str:
    """Why what reads the output cannot show braille, and what would be right; empty if it can."""
    encoding = getattr(sys.stdout, "encoding", None) or "ascii"
    try:
        "\u28ff".encode(encoding)
    except (UnicodeEncodeError, LookupError):
        return say(
            "pictures are drawn in braille dots, and {encoding} has none; set"
            " PYTHONIOENCODING=utf-8",
            encoding=encoding,
        )
    return ""
