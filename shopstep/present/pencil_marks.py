"""A short mark for each part, to be pencilled on it, so that a pile of sticks stays readable.

Imports ``model`` only.
"""

from __future__ import annotations

from collections.abc import Iterator

from shopstep.model.naming import BUILD_MARK
from shopstep.model.part import Hand, Part
from shopstep.model.plan import Plan

Owner = tuple[str, Hand | None]
"""Name of a part, and which hand of it."""


def pencil_marks(plan: Plan) -> dict[Owner, str]:
    """By part: the first letters of its name, as many as tell it from all others; then the hand.

    ``SR L`` is the left side rail.
    """
    letters: dict[str, str] = {}
    for part in plan.parts:
        if part.name not in letters:
            taken = set(letters.values())
            letters[part.name] = next(mark for mark in _tries(part) if mark not in taken)
    return {
        (part.name, part.hand): f"{letters[part.name]} {part.hand.value[0].upper()}"
        if part.hand
        else letters[part.name]
        for part in plan.parts
    }


def _tries(part: Part) -> Iterator[str]:
    """SR, SRa, SRai… for "side_rail"; then SR2, SR3…"""
    words = part.name.partition(BUILD_MARK)[0].split("_")
    mark = "".join(word[0].upper() for word in words if word)
    yield mark
    for more in range(2, len(words[-1]) + 1):
        yield mark + words[-1][1:more]
    number = 2
    while True:
        yield f"{mark}{number}"
        number += 1
