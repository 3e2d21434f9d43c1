"""Every part of every shipped build, worked out by hand: no build file is read here.

``WANTED[build](given)`` gives length, width and thickness of each part in exact inches, from
measurements (exact inches) and choices by name.
"""

from __future__ import annotations

from tests.arithmetic.bird_box import bird_box
from tests.arithmetic.box import box
from tests.arithmetic.floor import floor, metric_floor
from tests.arithmetic.given import Given, Sizes
from tests.arithmetic.inner_cover import inner_cover
from tests.arithmetic.roof import roof
from tests.arithmetic.stand import stand

__all__ = ["WANTED", "Given", "Sizes"]

WANTED = {
    "bird-box": bird_box,
    "hive-body": box,
    "hive-stand": stand,
    "honey-super": box,
    "inner-cover": inner_cover,
    "metric-floor": metric_floor,
    "roof": roof,
    "screened-floor": floor,
}
