"""What a fastener is by its size. Where it goes in: ``model.joint``."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class FastenerSize:
    """What a fastener is like, read from its title and a table. Millimetres."""

    kind: str
    length_mm: float
    diameter_mm: float
    crown_mm: float = 0.0
    """From leg to leg of a staple; 0 for all others."""
    gauge: int = 0
    """Of a screw; 0 for all others."""
