"""Words of a build with its sizes put in. Imports ``model`` and ``units``."""

from __future__ import annotations

import re
from collections.abc import Mapping

from shopstep.design.values import Values
from shopstep.design.yaml_source import Path
from shopstep.model.plan import BuildFileError
from shopstep.units import Angle, Length, format_angle, format_length
from shopstep.words import say

_NO_NUMBERS: Mapping[str, str] = {}
_HOLE = re.compile(r"\{([^{}]*)\}")


def fill_words(
    values: Values, text: str, path: Path, display: str, numbers: Mapping[str, str] = _NO_NUMBERS
) -> str:
    """The text with every ``{size}`` put in as the person reads it.

    ``numbers``: labels that a step gives its numbers; one is easily taken for a size.
    """

    def shown(match: re.Match[str]) -> str:
        label = match.group(1).strip()
        if label in numbers and not values.has(label):
            raise BuildFileError(
                say(
                    "'{label}' is what this step calls a number; in words stands the size itself:"
                    " write {size}",
                    label=label,
                    size=f"{{{numbers[label]}}}",
                ),
                values.source.where(path),
            )
        value = values.number(match.group(1), path)
        if isinstance(value, Length):
            return format_length(value, display)
        return format_angle(value) if isinstance(value, Angle) else str(value)

    filled = _HOLE.sub(shown, text)
    if "{" in filled or "}" in filled:
        raise BuildFileError(
            say("a curly bracket in '{path}' has no partner", path=path[-1]),
            values.source.where(path),
        )
    return " ".join(filled.split())
