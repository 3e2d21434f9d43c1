"""How much glue and paint an area takes. Planning values; the label governs. Imports nothing."""

from __future__ import annotations

from dataclasses import dataclass

_COMMON = "common practice, no source; the label governs"


@dataclass(frozen=True, slots=True)
class Spread:
    """One class of glue: how thick it lies on one of the two faces."""

    grams_m2: float
    grams_ml: float
    source: str


_PVA = Spread(200.0, 1.1, _COMMON)
_SPREADS = {
    "pva": _PVA,
    "polyurethane": Spread(150.0, 1.1, _COMMON),
    "epoxy": Spread(300.0, 1.15, _COMMON),
}
"""By the first word of the class."""
PAINT_M2_L = 9.8
"""400 ft² for each US gallon and coat: one coat on smooth wood."""
PAINT_SOURCE = _COMMON


def find_spread(glue_id: str) -> Spread:
    """How thick a class of glue is spread; what is not listed is spread as PVA."""
    return _SPREADS.get(glue_id.split("_")[0], _PVA)
