"""Every build that ships, resolved at its usual values, and its fits as the planner gives them."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from shopstep.conditions.outdoors import movement_outdoors
from shopstep.design.resolve import Design, resolve_design
from shopstep.fitting import analyse_fits
from shopstep.fitting.odds import Movements
from shopstep.model.material import Form
from shopstep.model.plan import BuildText, Conditions, Fit
from shopstep.planner import describe_build, parent_of
from shopstep.storage.shelf import FolderShelf

FOLDER = Path(__file__).resolve().parent.parent / "builds"
BUILDS = sorted(path.stem for path in FOLDER.glob("*.yaml"))
AIR = Conditions(20.0, 50.0)


def build_texts(name: str) -> tuple[BuildText, tuple[BuildText, ...]]:
    """A shipped build and its parents, nearest first."""
    return FolderShelf((FOLDER,), parent_of, describe_build).find(name)


@cache
def shelf_design(name: str) -> Design:
    """A shipped build at its usual values."""
    build, parents = build_texts(name)
    return resolve_design(build, parents, ())


@cache
def shelf_movements(name: str) -> Movements:
    """What the boards of a shipped build do between a usual shop and the seasons outdoors."""
    return {
        material.id: movement_outdoors(material.title, AIR)
        for material in shelf_design(name).materials
        if material.form is Form.BOARD
    }


@cache
def shelf_fits(name: str) -> tuple[Fit, ...]:
    """The fits of a shipped build with worst case, odds and advice."""
    return analyse_fits(shelf_design(name).fits, shelf_movements(name), {}, "in").fits
