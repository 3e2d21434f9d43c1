"""Hive body and honey super by hand."""

from __future__ import annotations

from fractions import Fraction as F

from tests.arithmetic.given import Given, Sizes


def box(given: Given) -> Sizes:
    """Four walls. A side wall in steps is longer than the clear length by both steps."""
    w, n, b = given["box_width"], given["box_length"], given["board_thickness"]
    deep = given["super_depth" if "super_depth" in given.lengths else "body_depth"]
    side = n
    if given.choices["corners"] == "rabbeted":
        inside = n - 2 * b
        rest = (given["top_bar_length"] + F(1, 8) - inside) / 2
        side = inside + 2 * rest
    found: Sizes = {
        "front_wall": (w, deep, b),
        "back_wall": (w, deep, b),
        "side_wall": (side, deep, b),
    }
    if given.choices["holds"] == "cleats":
        found["cleat"] = (w - 2, F(3, 2), b)
    return found
