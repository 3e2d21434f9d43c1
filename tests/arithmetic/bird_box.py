"""The bird box by hand."""

from __future__ import annotations

import math
from fractions import Fraction as F

from tests.arithmetic.given import SIXTEENTH, Given, Sizes, up_to

BIRDS = {
    "wren": (F(9, 2), 8, F(1)),
    "chickadee": (F(4), 8, F(9, 8)),
    "nuthatch": (F(4), 9, F(3, 2)),
    "swallow": (F(5), 7, F(11, 8)),
    "bluebird": (F(5), 9, F(13, 8)),
    "flicker": (F(7), 14, F(5, 2)),
    "owl": (F(7), 14, F(13, 4)),
}
"""Inside width, depth below the lower rim of the hole, hole, in inches: within the ranges of
Sawyer, Bird Houses, Baths and Feeding Shelters, Table I (public domain)."""


def bird_box(given: Given) -> Sizes:
    """The box for the chosen bird; the roof's slope is one in four."""
    t = given["board_thickness"]
    inside, below, hole = BIRDS[given.choices["bird"]]
    if given.choices["bird"] == "bluebird" and given.choices["bluebird_hole"] == "present":
        hole = F(3, 2)
    run = 2 + t + inside + t
    slope = F(math.ceil(math.hypot(run, run / 4) * 16 - 1e-9), 16)
    front = up_to(F(1, 4) + t + below + hole + F(7, 4), SIXTEENTH)
    side = front + F(1, 4) + (t + inside) / 4
    return {
        "side": (side, t + inside, t),
        "back": (F(5, 2) + side + t / 4, inside + 2 * t, t),
        "floor": (inside, inside - F(1, 8), t),
        "front": (front, inside - up_to(inside / 40, SIXTEENTH), t),
        "roof": (inside + 2 * t + 2, slope, t),
    }
