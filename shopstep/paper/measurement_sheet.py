"""What to measure, as a text to hand on: with blanks to fill in.

Imports ``model``, ``units`` and the folding of ``present``.
"""

from __future__ import annotations

from shopstep.model.measure import MeasureQuestion, Questionnaire
from shopstep.present.columns import fold_item
from shopstep.units import format_length
from shopstep.words import say, to_say

_BLANK = to_say("  mine: ____________")


def sheet_lines(asks: Questionnaire, width: int = 72) -> list[str]:
    """Every measurement with how to take it, the range that the design works for, and a blank."""
    lines = fold_item(
        say("{asks_title}: what to measure on your own equipment", asks_title=asks.title), width, ""
    )
    lines += fold_item(
        say("Measure twice, at the place that is named, and write it down."), width, ""
    )
    for number, question in enumerate(asks.questions, 1):
        lines += ["", *fold_item(f"{number}. {question.prompt} ({question.name})", width, "")]
        lines += [f"   {_range(question, asks.display)}", f" {say(_BLANK)}"]
    return lines


def _range(question: MeasureQuestion, display: str) -> str:
    least, most, usual = (
        format_length(value, display) for value in (question.least, question.most, question.usual)
    )
    return say("works from {least} to {most}; usual {usual}", least=least, most=most, usual=usual)
