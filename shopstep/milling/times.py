"""How long machine work takes, about: minutes to set up and seconds a piece.

Estimates for one careful person; common practice, no source. Imports ``shopstep.model``.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Pace:
    """An estimate: one row for each kind of work."""

    setup_s: int
    """Set, cut one in scrap, measure, correct."""
    piece_s: int
    """Of ``plane_board``: for each board and pass."""


PACES = {
    "plane_board": Pace(600, 60),
    "rough_cut": Pace(300, 60),
    "edge": Pace(120, 30),
    "slice": Pace(240, 45),
    "rip": Pace(180, 30),
    "rip_thin": Pace(300, 45),
    "sheet_cut": Pace(150, 60),
    "straightedge": Pace(180, 120),
    "crosscut": Pace(120, 20),
    "crosscut_hand": Pace(60, 60),
    "groove": Pace(600, 60),
    "rabbet": Pace(600, 60),
    "rabbet_end": Pace(600, 60),
    "dado": Pace(600, 60),
    "fingers": Pace(1500, 150),
    "rout": Pace(600, 180),
    "rout_rabbet": Pace(480, 180),
    "recess": Pace(600, 300),
    "bevel_rip": Pace(360, 45),
    "mitre": Pace(300, 40),
    "notch": Pace(480, 120),
    "hand_cut": Pace(120, 240),
    "drill": Pace(240, 60),
    "shear": Pace(60, 180),
    "snip": Pace(120, 300),
    "knife_cut": Pace(60, 120),
    "guard": Pace(120, 0),
    "mark": Pace(60, 20),
}


def estimate_s(kind: str, pieces: int) -> int:
    """Hands-on seconds for one setup of that kind with so many pieces."""
    pace = PACES[kind]
    return pace.setup_s + pace.piece_s * pieces
