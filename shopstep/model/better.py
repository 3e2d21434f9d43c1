"""What a better plan gains over the one in force: plain numbers, so that every room can carry them.

Imports nothing but ``model``.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.model.step import Step


@dataclass(frozen=True, slots=True)
class Gain:
    """How much less of each thing the better plan has; below zero: more."""

    evenings: int = 0
    """Openings of the shop with work in them."""
    openings: int = 0
    """Openings by which the last work comes earlier."""
    end_s: int = 0
    """Seconds by which the last step ends earlier."""
    setups: int = 0
    """Changes of the kind of step."""
    first_unit_s: int = 0
    """Seconds by which the first unit is complete earlier."""


@dataclass(frozen=True, slots=True)
class Better:
    """The steps of a plan at better times."""

    steps: tuple[Step, ...]
    """All of the plan, by start; what is done has the times that it really had."""
    gain: Gain
