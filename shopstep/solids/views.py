"""Ways to look at bodies: from one of eight corners. Imports ``lines``."""

from __future__ import annotations

from math import cos, radians, sin

from shopstep.solids.lines import View

TURN_DEG = 32.0
RISE_DEG = 32.0
"""The viewer stands behind, to the right and above: left is left, as the builds say it."""


def corner_view(behind: bool = True, right: bool = True, above: bool = True) -> View:
    """Parallel sight from a corner; all three axes are seen."""
    turn, rise = radians(TURN_DEG), radians(RISE_DEG if above else -RISE_DEG)
    x = cos(turn) if behind else -cos(turn)
    y = sin(turn) if right else -sin(turn)
    viewer = (x * cos(rise), y * cos(rise), sin(rise))
    return View((-y, x, 0.0), (-x * sin(rise), -y * sin(rise), cos(rise)), viewer)
