"""How far boards move between the shop they are cut in and the air they will stand in.

The moisture of wood under cover outdoors, 8 to 16 %, is common practice, no source; the equations
are those of ``wood``. Imports ``model`` and this room.
"""

from __future__ import annotations

import re

from shopstep.conditions.air import check_air
from shopstep.conditions.wood import change_share, moisture_percent
from shopstep.conditions.woods import WOODS, Wood, find_wood
from shopstep.model.plan import Conditions

DEFAULT_WOOD = "eastern_white_pine"
"""Stands in where a material names no wood: the usual board of small hives."""
DRY_PERCENT = 8.0
"""Moisture content of wood at the dry end of the year; common practice, no source."""
WET_PERCENT = 16.0
"""The same at the wet end, sheltered and painted; common practice, no source."""
DRY_AIR = (25.0, 43.0)
"""Air (°C, % humidity) in which wood comes to ``DRY_PERCENT`` by eq. 4-5."""
WET_AIR = (10.0, 79.0)
"""Air in which it comes to ``WET_PERCENT``."""


def wood_of(title: str) -> Wood:
    """The wood that a material's title names ("western redcedar board"), else the usual one."""
    words = _plain(title)
    named = [wood for wood in WOODS.values() if _plain(wood.title) in words]
    return max(named, key=lambda wood: len(wood.title), default=find_wood(DEFAULT_WOOD))


def movement_outdoors(title: str, conditions: Conditions) -> tuple[float, float]:
    """Shares of a width across the grain by which a board of that title shrinks and swells.

    From the moisture it has in the shop's air down to ``DRY_PERCENT`` (0 or less) and up to
    ``WET_PERCENT`` (0 or more), flat-sawn, which moves most. Air that cannot be true moves nothing:
    the finding for it says so.
    """
    if check_air(conditions):
        return 0.0, 0.0
    here = moisture_percent(conditions.temperature_c, conditions.humidity_percent)
    shrinkage = wood_of(title).tangential_percent
    dry = change_share(shrinkage, here, DRY_PERCENT)
    wet = change_share(shrinkage, here, WET_PERCENT)
    return min(dry, wet, 0.0), max(dry, wet, 0.0)


def _plain(text: str) -> str:
    return re.sub(r"[^a-z]+", " ", text.lower()).strip()
