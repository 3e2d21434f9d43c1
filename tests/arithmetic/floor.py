"""The screened floors by hand."""

from __future__ import annotations

from fractions import Fraction as F

from tests.arithmetic.given import SIXTEENTH, Given, Sizes, up_to


def floor(given: Given) -> Sizes:
    """The floor in inches: cloth 1/32 in, tray of 1/8 in hardboard."""
    return _turned(given, F(1, 32), F(1, 8))


def metric_floor(given: Given) -> Sizes:
    """The floor for the metric hive: the same, with cloth of 0.8 mm and a tray of 3 mm."""
    return _turned(given, F(8, 254), F(30, 254))


def _turned(given: Given, cloth: F, tray: F) -> Sizes:
    """With the entrance under the long side the box is turned."""
    w, n = given["box_width"], given["box_length"]
    if given.choices["entrance_side"] == "long":
        w, n = n, w
    return _sizes(w, n, given["board_thickness"], given["panel_thickness"], cloth, tray)


def _sizes(w: F, n: F, b: F, p: F, cloth: F, tray: F) -> Sizes:
    clear = w - 2 * b
    rail = n + 2
    channel = p + F(1, 32)
    sill = up_to(F(1, 2) + channel + F(1, 4), SIXTEENTH)
    height = sill + 1 + F(1, 2) + cloth + F(1, 4) + F(3, 4)
    return {
        "side_rail": (rail, height, b),
        "back_rail": (clear, sill, b),
        "rear_head": (clear, height - sill - 1, b),
        "panel": (rail - b - 2 + F(1, 4) - F(1, 32), clear + F(1, 2) - F(1, 16), p),
        "landing_board": (clear, 2 + b, b),
        "front_bearer": (clear, sill + F(3, 2) - F(1, 2) - p, b),
        "side_bearer": (n - 3 * b, b, F(1, 2)),
        "rear_bearer": (clear - 2 * b, b, F(1, 2)),
        "runner": (n - 3 * b, b, sill - F(1, 2) - p),
        "stiffener": (clear, b, F(7, 16)),
        "screen": (n - 2 * b, clear - F(1, 8), cloth),
        "side_strip": (n - 4 * b, b, F(1, 4)),
        "cross_strip": (clear, b, F(1, 4)),
        "entrance_block": (clear - F(1, 16), F(23, 32), b),
        "tray": (n - 3 * b - F(1, 8), clear - F(1, 8), tray),
        "tray_pull": (F(4), b, F(1, 2)),
        "door": (clear - F(1, 8), F(15, 16), b),
        "door_cloth": (clear - 1, F(7, 8), cloth),
        "turn_button": (F(3, 2), b, F(1, 4)),
    }
