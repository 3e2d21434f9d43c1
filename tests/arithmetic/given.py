"""What a keeper gives, and how sizes are rounded up to a mark."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

Sizes = dict[str, tuple[Fraction, Fraction, Fraction]]
"""Length, width and thickness of each part in inches, by its name."""


@dataclass(frozen=True)
class Given:
    """Measurements in inches and choices, by name."""

    lengths: dict[str, Fraction]
    choices: dict[str, str]

    def __getitem__(self, name: str) -> Fraction:
        return self.lengths[name]


def up_to(value: Fraction, mark: Fraction) -> Fraction:
    """The next multiple of a mark that is not smaller."""
    return -((-value / mark) // 1) * mark


SIXTEENTH = Fraction(1, 16)
EIGHTH = Fraction(1, 8)
