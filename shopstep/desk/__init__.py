"""The door before a session: shelf, shop, check, plan, start."""

from shopstep.desk.answers import Asking, Desk, Start, Wish
from shopstep.desk.ports import (
    EmptyRack,
    Measurements,
    NoPast,
    NothingMeasured,
    Past,
    Planner,
    Profile,
    Profiles,
    Rack,
    Shelf,
)

__all__ = [
    "Asking",
    "Desk",
    "EmptyRack",
    "Measurements",
    "NoPast",
    "NothingMeasured",
    "Past",
    "Planner",
    "Profile",
    "Profiles",
    "Rack",
    "Shelf",
    "Start",
    "Wish",
]
