"""What is wrong with a text that is no expression. Imports nothing of the project but the words."""

from __future__ import annotations

import re
from typing import Any

from shopstep.words import say


def say_unexpected(text: str, problem: Any) -> tuple[str, int]:
    """What the parser did not expect, in a sentence, and its column."""
    column = problem.column if isinstance(problem.column, int) and problem.column > 0 else 0
    token = str(getattr(problem, "token", ""))
    if not token:
        return say("'{text}' ends too early; something is missing after it", text=text), len(text)
    if re.search(r"\d,\d", text):
        return say(
            "'{text}' has a comma; write decimals with a point, for example 2.5 mm", text=text
        ), column
    bare = re.search(r"\d\s+\d", text)
    if bare:
        return say(
            "'{text}' is no size; a fraction is written 14 3/8 in, with its unit", text=text
        ), column
    if token in ("x", "X"):
        return say("'{text}' has an x; write 2*board for two times the board", text=text), column
    return say("'{token}' is not expected in '{text}'", token=token, text=text), column


def say_no_sum(left: str, word: str, right: str, bare: bool) -> str:
    """Two kinds that cannot be added or taken away; ``bare``: a number stands beside a length."""
    return say(
        "{kind_of} {word} {kind_of_2} cannot be put together{remedy}",
        kind_of=left,
        word=word,
        kind_of_2=right,
        remedy=say("; give the number its unit, as in 2 in") if bare else "",
    )
