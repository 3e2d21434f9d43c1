"""The clear lengths of a piece with defects. Imports ``shopstep.units`` only."""

from __future__ import annotations

from shopstep.units import ZERO, Length

Zone = tuple[Length, Length]
"""Begin and end along the length."""


def planed_zones(length: Length, defects: tuple[Zone, ...], snipe: Length) -> tuple[Zone, ...]:
    """As ``clear_zones``, of a board whose ends the planer made thinner by so much."""
    ends = ((ZERO, snipe), (max(ZERO, length - snipe), length)) if snipe else ()
    return clear_zones(length, (*defects, *ends))


def clear_zones(length: Length, defects: tuple[Zone, ...]) -> tuple[Zone, ...]:
    """Begin and end of each length without a defect, from the lower end on."""
    zones: list[Zone] = []
    start = ZERO
    for begin, end in sorted(defects):
        if begin > start:
            zones.append((start, begin))
        start = max(start, end)
    if start < length:
        zones.append((start, length))
    return tuple(zones)
