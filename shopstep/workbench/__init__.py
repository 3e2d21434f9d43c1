"""The door of a running session: card(), do(command), changes_since(version).

Declares what it needs as protocols; ``wiring`` injects the real ones, tests inject fakes. Imports
``present`` for the card and ``session`` for what follows from a command.
"""

from shopstep.workbench.bench import KEPT_EVERY, Workbench
from shopstep.workbench.bettering import BetteringBench
from shopstep.workbench.ports import (
    Accepted,
    Alarm,
    BetterAsked,
    Clock,
    Improver,
    Journal,
    NoSurroundings,
    Planner,
    Surroundings,
    VersionTaken,
)

__all__ = [
    "KEPT_EVERY",
    "Accepted",
    "Alarm",
    "BetterAsked",
    "BetteringBench",
    "Clock",
    "Improver",
    "Journal",
    "NoSurroundings",
    "Planner",
    "Surroundings",
    "VersionTaken",
    "Workbench",
]
