"""The hive stand by hand."""

from __future__ import annotations

from fractions import Fraction as F

from tests.arithmetic.given import Given, Sizes


def stand(given: Given) -> Sizes:
    """Two rails on legs; with room for two hives a tie, with treated feet four pads."""
    w, n, t = given["box_width"], given["box_length"], given["lumber_thickness"]
    four, six, top = given["narrow_width"], given["wide_width"], given["top_height"]
    two, treated = given.choices["hives"] == "two", given.choices["feet"] == "treated"
    foot = t if treated else F(2)
    found: Sizes = {
        "rail": (2 * w + 6 if two else w, six, t),
        "apron": (n - 2 * t, six, t),
        "leg": (top - F(1, 4) - foot, four, t),
    }
    if two:
        found["tie"] = (n - 2 * t, six, t)
    if treated:
        found["foot"] = (six, six, t)
    return found
