"""Sizes of screws, brads and staples, and the drills for them. Imports ``model``.

Body of wood screws: ASME B18.6.1. Root: NDS Appendix L, table L3, from memory; another table gives
about two thirds of the body (#8: 0.112 in against 0.131 here). This one is used, as 70 % of it is
what shop charts give for softwood.
"""

from __future__ import annotations

import re
from fractions import Fraction

from shopstep.model.fastener import FastenerSize
from shopstep.units import Length, parse_length

BODY_IN = {4: 0.112, 6: 0.138, 8: 0.164, 10: 0.190, 12: 0.216, 14: 0.242}
"""ASME B18.6.1: 0.060 + 0.013 × gauge, inches."""
ROOT_IN = {4: 0.090, 6: 0.113, 8: 0.131, 10: 0.152, 12: 0.171, 14: 0.196}
"""NDS, table L3, from memory; #4, which it has not, in proportion to its body. Inches."""
WIRE_IN = {15: 0.072, 16: 0.0625, 18: 0.0475, 20: 0.0348, 21: 0.0317, 23: 0.0258}
"""Steel wire gauge of brads, inches."""
STAPLE_WIRE_IN = 0.035
"""Fine wire, about 20 gauge; common practice, no source."""
SOURCE = (
    "70 % of the root diameter in softwood, 90 % where the specific gravity is above 0.6: NDS, as"
    " restated; root diameters NDS table L3, from memory"
)
_SIXTY_FOURTH = Length.inches(Fraction(1, 64))
INDEX_IN = tuple(_SIXTY_FOURTH.times(n) for n in range(3, 33))
"""A drill index by 64ths, 3/64 to 1/2 in; common practice, no source."""
INDEX_MM = tuple(Length(500_000).times(n) for n in range(2, 27))
"""A drill index by half millimetres, 1 to 13 mm; common practice, no source."""
DENSE = 0.6
_MM = 25.4
_LENGTH = r"(\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?) ?(in|mm)"
_SCREW = re.compile(rf"#(\d+) ?[×x] ?{_LENGTH}")
_BRAD = re.compile(rf"(\d+)-gauge ?[×x] ?{_LENGTH}")
_STAPLE = re.compile(rf"{_LENGTH} crown ?[×x] ?{_LENGTH}")


def read_size(kind: str, title: str) -> FastenerSize | None:
    """The size in a title such as "#8 × 1 3/4 in exterior screw"; None where it says none."""
    if kind == "screw":
        found = _SCREW.search(title)
        gauge = int(found[1]) if found else 0
        if not found or gauge not in BODY_IN:
            return None
        return FastenerSize(kind, _mm(found, 2), BODY_IN[gauge] * _MM, gauge=gauge)
    if kind == "brad":
        found = _BRAD.search(title)
        if not found or int(found[1]) not in WIRE_IN:
            return None
        return FastenerSize(kind, _mm(found, 2), WIRE_IN[int(found[1])] * _MM)
    found = _STAPLE.search(title)
    if not found:
        return None
    return FastenerSize(kind, _mm(found, 3), STAPLE_WIRE_IN * _MM, crown_mm=_mm(found, 1))


def _mm(found: re.Match[str], group: int) -> float:
    return parse_length(f"{found[group]} {found[group + 1]}").in_mm


def pilot_for(gauge: int, gravity: float, display: str = "in") -> Length:
    """Lead hole for the thread: the nearest drill of the index; ``gravity``: of the wood."""
    share = 0.9 if gravity > DENSE else 0.7
    return _nearest(ROOT_IN[gauge] * share * _MM, display)


def clearance_for(gauge: int, display: str = "in") -> Length:
    """Hole that the body passes freely: the smallest drill that is not thinner than it."""
    body = BODY_IN[gauge] * _MM
    return next(drill for drill in _index(display) if drill.in_mm >= body)


def pilot_range(gauge: int) -> tuple[float, float]:
    """Least and most that a lead hole may be, mm: from 70 % of two thirds of the body (the other
    table's root) to the root of this one; wider and the thread holds nothing."""
    return BODY_IN[gauge] * 2 / 3 * 0.7 * _MM * 0.9, ROOT_IN[gauge] * _MM


def _nearest(wanted_mm: float, display: str) -> Length:
    return min(_index(display), key=lambda drill: (abs(drill.in_mm - wanted_mm), drill.nm))


def _index(display: str) -> tuple[Length, ...]:
    return INDEX_MM if display == "mm" else INDEX_IN
