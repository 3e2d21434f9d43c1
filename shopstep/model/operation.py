"""Machine work: blanks, operations and the setups that group them."""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.model.part import Hand
from shopstep.units import Angle, Length

PLANE = "plane_board"
"""The kind of work that brings whole boards to thickness at a planer, before all else."""


@dataclass(frozen=True, slots=True)
class Setting:
    """One thing that is set on a machine: fence, blade height, tilt, stop block, bit."""

    name: str
    value: Length | Angle


@dataclass(frozen=True, slots=True)
class Blank:
    """A rough piece to be got from stock; here still with its allowances."""

    part: str
    hand: Hand | None
    material: str
    rough_length: Length
    rough_width: Length
    rough_thickness: Length
    count: int
    """For the whole batch."""
    length_first: bool = False
    """Of a sheet: cut to its length across the whole sheet before it is cut to its width."""


@dataclass(frozen=True, slots=True)
class Operation:
    """One action by one tool on all equal parts of the batch."""

    id: str
    """Stable, for example ``groove/side_rail/left/panel``."""
    kind: str
    """``plane_board`` (to thickness), ``slice`` (falls off outside), ``rip``, ``rip_thin`` (on
    edge), ``sheet_cut``, ``straightedge``, ``crosscut``, ``crosscut_hand``, ``groove``, ``rout``,
    ``bevel_rip``, ``mitre``, ``notch``, ``hand_cut``, ``drill`` or ``shear``."""
    tool: str
    part: str
    hand: Hand | None
    count: int
    settings: tuple[Setting, ...]
    needs: tuple[str, ...]
    """Ids of operations that come before on the same part."""
    note: str
    """What must be looked at, for example which face lies on the table; may be empty."""


@dataclass(frozen=True, slots=True)
class Setup:
    """One machine state and the operations done in it; all their settings are equal."""

    id: str
    """Stable, for example ``rip/side_rail``."""
    kind: str
    tool: str
    settings: tuple[Setting, ...]
    operations: tuple[str, ...]
