"""Readings kept in a folder of a test, and builds that ask for them."""

from __future__ import annotations

from pathlib import Path

from shopstep.model.plan import Measured, PlanRequest
from shopstep.planner import make_plan
from tests.floor import FILE, floor_text

BUILD = str(FILE)


def place(tmp_path: Path) -> Path:
    """Where the command line keeps measurements in a test."""
    return tmp_path / "data" / "shopstep" / "measurements.db"


def shelf_build(tmp_path: Path, several: str) -> str:
    """The floor with a rule for several readings of the board."""
    file = tmp_path / "own.yaml"
    text = floor_text().replace("    several: thickest\n", f"    several: {several}\n", 1)
    file.write_text(text, encoding="utf-8")
    return str(file)


def measured(request: PlanRequest) -> dict[str, Measured]:
    """The plan's measurements by name."""
    return {item.name: item for item in make_plan(request).measured}
