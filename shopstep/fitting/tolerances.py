"""How far a size may be off, by its kind: a table with the source of each row."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from shopstep.model.lever import Lever, Origin, SizeKind
from shopstep.units import Length

Readings = Mapping[str, tuple[Length, ...]]
"""The keeper's own numbers for a lever's name, or for a kind of cut (what came out, or by how much
it was off), two or more of each."""

_PRACTICE = "common practice, no source"
_PS_1 = "PS 1-19, unsanded and touch-sanded plywood, as restated by a trade association"


@dataclass(frozen=True, slots=True)
class Tolerance:
    """One row: ± how much, where that comes from."""

    kind: SizeKind
    amount: Length
    source: str


def _in(text: str) -> Length:
    return Length.inches(text)


_ROWS = (
    Tolerance(SizeKind.RIP, _in("1/64"), _PRACTICE),
    Tolerance(SizeKind.THIN_RIP, _in("1/64"), _PRACTICE),
    Tolerance(SizeKind.CROSSCUT, _in("1/32"), _PRACTICE),
    Tolerance(SizeKind.SHEET_CUT, _in("1/32"), _PRACTICE),
    Tolerance(SizeKind.SHEAR, _in("1/16"), _PRACTICE),
    Tolerance(SizeKind.GROOVE_WIDTH, _in("1/64"), _PRACTICE),
    Tolerance(SizeKind.GROOVE_DEPTH, _in("1/64"), _PRACTICE),
    Tolerance(SizeKind.GROOVE_PLACE, _in("1/64"), _PRACTICE),
    Tolerance(SizeKind.NOTCH, _in("1/32"), _PRACTICE),
    Tolerance(SizeKind.HOLE, _in("1/32"), _PRACTICE),
    Tolerance(SizeKind.CLEARANCE, _in("1/32"), _PRACTICE + ": between two cut pieces"),
    Tolerance(SizeKind.PLACE, _in("1/32"), _PRACTICE + ": marked out with rule and pencil"),
    Tolerance(
        SizeKind.BOARD_THICKNESS,
        _in("1/32"),
        _PRACTICE + " (PS 20 gives a least thickness of dressed boards, and no spread)",
    ),
    Tolerance(SizeKind.SHEET_THICKNESS, _in("1/32"), _PS_1 + ", up to 13/16 in"),
    Tolerance(SizeKind.CLOTH_THICKNESS, _in("1/64"), _PRACTICE),
    Tolerance(SizeKind.EQUIPMENT, _in("1/16"), _PRACTICE + ": equipment nobody has measured"),
    Tolerance(SizeKind.READING, _in("1/64"), _PRACTICE + ": a rule read to the nearest 1/32 in"),
)

TOLERANCES = {row.kind: row for row in _ROWS}
"""All rows by the kind of size."""

THICK_SHEET = Length.inches("13/16")
"""Thicker sheets are off by 5 % (same source as the row)."""
FINEST_SPREAD = Length.inches("1/128")
"""Least tolerance that readings give: equal readings of a rule do not prove equal pieces."""


def with_tolerance(lever: Lever, readings: Readings) -> Lever:
    """The lever with its tolerance: from the keeper's readings, else from the table.

    A check in the build's own steps that looks at the size keeps it within the check's tolerance.
    """
    own = readings.get(lever.name) or readings.get(lever.kind.value) or ()
    if len(own) >= 2:
        spread = max(Length(round(3 * deviation_nm(own))), FINEST_SPREAD)
        return replace(lever, tolerance=spread, readings=len(own), origin=Origin.MEASURED)
    amount = TOLERANCES[lever.kind].amount
    if lever.kind is SizeKind.SHEET_THICKNESS and lever.value > THICK_SHEET:
        amount = lever.value.over(20)
    if lever.held is not None:
        amount = min(amount, lever.held)
    return replace(lever, tolerance=amount)


def deviation_nm(readings: tuple[Length, ...]) -> float:
    """Standard deviation of a sample (n − 1), in nanometres; two readings at least."""
    mean = sum(reading.nm for reading in readings) / len(readings)
    squares = sum((reading.nm - mean) ** 2 for reading in readings)
    return math.sqrt(squares / (len(readings) - 1))
