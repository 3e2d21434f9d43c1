"""The thickness planer in the settings: there or not, and what its manual says of it.

Loaded where there is a settings file. Imports pydantic and the lengths that people write.
"""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict, ValidationInfo, field_validator

from shopstep.model.resources import Planer
from shopstep.storage import shop_defaults as defaults
from shopstep.units import UnitError, parse_length
from shopstep.words import say

_RANGES: dict[str, tuple[str, str]] = {
    "least_length": ("6 in", "48 in"),
    "widest": ("4 in", "40 in"),
    "deepest_pass": ("1/64 in", "1/4 in"),
    "snipe": ("0 in", "12 in"),
}
"""What a machine can have; a value outside is a slip of the pen (common practice, no source)."""
EXAMPLE = 'planer = true, or what its manual says: [shops.NAME.planer] with least_length = "12 in"'


class PlanerEntry(BaseModel):
    """What a planer takes; its manual governs. What is left out is as portable ones have it."""

    model_config = ConfigDict(extra="forbid")

    least_length: str = defaults.LEAST_PLANED
    """Nothing shorter goes through it."""
    widest: str = defaults.WIDEST_PLANED
    deepest_pass: str = defaults.DEEPEST_PASS
    """The most that one pass takes off."""
    snipe: str = defaults.SNIPE
    """So much at each end may come out thinner, and is cut off; '0 in' where none does."""

    @field_validator("least_length", "widest", "deepest_pass", "snipe", mode="before")
    @classmethod
    def _is_possible(cls, text: object, info: ValidationInfo) -> object:
        least, most = _RANGES[info.field_name or ""]
        if not isinstance(text, str):
            raise UnitError(
                say(
                    '{text} has no unit; write a length from "{least}" to "{most}"',
                    text=text,
                    least=least,
                    most=most,
                )
            )
        if not parse_length(least) <= parse_length(text) <= parse_length(most):
            raise UnitError(
                say(
                    "a planer has from {least} to {most}, not {text}",
                    least=least,
                    most=most,
                    text=text,
                )
            )
        return text


def as_planer(told: object) -> object:
    """``true`` is a planer of the usual size, ``false`` none; a table says what it takes."""
    if isinstance(told, bool):
        return PlanerEntry() if told else None
    if not isinstance(told, dict | PlanerEntry | None):
        raise ValueError(say("write {example}", example=EXAMPLE))
    return told


def read_planer(entry: PlanerEntry | None) -> Planer | None:
    """The machine; None where there is none."""
    if entry is None:
        return None
    texts = (entry.least_length, entry.widest, entry.deepest_pass, entry.snipe)
    least, widest, deepest, snipe = (parse_length(text) for text in texts)
    return Planer(least, widest, deepest, snipe)
