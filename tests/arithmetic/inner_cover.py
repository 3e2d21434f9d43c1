"""The inner cover by hand."""

from __future__ import annotations

from fractions import Fraction as F

from tests.arithmetic.given import SIXTEENTH, Given, Sizes, up_to

_SLACK = SIXTEENTH
_HOLE = F(5, 2)


def inner_cover(given: Given) -> Sizes:
    """A panel in the grooves of four rims, with foam on it and, if chosen, a well."""
    w, n, b = given["box_width"], given["box_length"], given["board_thickness"]
    p, f = given["thin_panel_thickness"], given["foam_thickness"]
    lip = max(F(1, 8), F(5, 16) - given["frames_below"])
    rim = up_to(lip + p + f + F(1, 16), SIXTEENTH)
    found: Sizes = {
        "side_rim": (n, rim, b),
        "front_rim": (w - 2 * b, rim, b),
        "back_rim": (w - 2 * b, rim, b),
        "panel": (n - 2 * b + F(7, 16), w - 2 * b + F(7, 16), p),
    }
    if given.choices["hole"] != "well":
        return found | {"foam_whole": (n - 2 * b - _SLACK, w - 2 * b - _SLACK, f)}
    well = _HOLE + 2 * b
    return found | {
        "well_side": (well, rim - lip - p, b),
        "well_end": (_HOLE, rim - lip - p, b),
        "stopper": (F(19, 8), F(19, 8), p),
        "foam_end": (w - 2 * b - _SLACK, (n - 2 * b - well - _SLACK) / 2, f),
        "foam_side": ((w - 2 * b - well - _SLACK) / 2, well, f),
    }
