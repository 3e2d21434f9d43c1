"""Levers: the physical sizes that a fit hangs on, and how far each may be off.

Imports ``units``.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from shopstep.units import ZERO, Length


class Origin(StrEnum):
    """Where a size gets its error from."""

    MEASURED = "measured"
    """Read off equipment or stock by the keeper."""
    CUT = "cut"
    """Made in the shop."""
    BOUGHT = "bought"
    """As it comes from the mill or the shop that sells it."""


class SizeKind(StrEnum):
    """What kind of size it is; each has a row in the table of tolerances."""

    RIP = "rip_width"
    THIN_RIP = "thin_rip"
    CROSSCUT = "crosscut_length"
    SHEET_CUT = "sheet_cut"
    SHEAR = "sheared"
    GROOVE_WIDTH = "groove_width"
    GROOVE_DEPTH = "groove_depth"
    GROOVE_PLACE = "groove_place"
    NOTCH = "notch"
    HOLE = "hole"
    CLEARANCE = "clearance"
    PLACE = "place"
    BOARD_THICKNESS = "board_thickness"
    SHEET_THICKNESS = "sheet_thickness"
    CLOTH_THICKNESS = "cloth_thickness"
    EQUIPMENT = "equipment"
    READING = "reading"


@dataclass(frozen=True, slots=True)
class Lever:
    """One size that moves a fit: by how much, and how far it may be off."""

    name: str
    """As the fit's expression names it, for example ``panel_in_sides.channel``."""
    ratio: float
    """Change of the fit's value for each change of this size; a fit is linear in its levers."""
    tolerance: Length = ZERO
    """± how much; taken as three standard deviations."""
    origin: Origin = Origin.CUT
    across_grain: bool = False
    """Whether it moves with the wood's moisture."""
    material: str = ""
    """Id of the material that it lies in; empty where there is none."""
    kind: SizeKind = SizeKind.PLACE
    title: str = ""
    """In words: "width of the rear door"."""
    value: Length = ZERO
    """The size as planned."""
    held: Length | None = None
    """Tolerance of a check in the build's own steps that looks at just this size."""
    readings: int = 0
    """How many of the keeper's own readings the tolerance comes from; 0: it is assumed."""


@dataclass(frozen=True, slots=True)
class Watch:
    """A cut that is to be measured at the bench, because a fit hangs on it."""

    fit: str
    lever: Lever
    tolerance: Length
    """How far it may be off."""
