"""A shop with a planer, and boards on a rack as plans and benches of the tests use them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from shopstep.model.plan import Plan, PlanRequest
from shopstep.model.rack import Stuff
from shopstep.model.resources import Planer
from shopstep.model.stock import RackPiece
from shopstep.planner import make_plan
from shopstep.storage.folders import settings_file
from shopstep.units import ZERO, Length
from tests.floor import SHOP, floor_request
from tests.sample_floor import inch
from tests.stock_checker import check_board, check_piece, check_planed, check_planing_steps

PLANER = Planer(inch("12"), inch("12"), inch("1/16"), inch("3"))
"""As the settings take it where they say no more than ``planer = true``."""
SETTINGS = '[shops.bench]\nzone = "UTC"\nopens = "18:00"\ncloses = "21:00"\nplaner = true\n'


def write_settings(text: str = SETTINGS) -> Path:
    """The keeper's settings file, with a planer in the shop."""
    file = settings_file()
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(text, encoding="utf-8")
    return file


def board(
    name: str, length: str, width: str, thickness: str, *defects: tuple[str, str]
) -> RackPiece:
    """A board as it was measured."""
    zones = tuple((inch(begin), inch(end)) for begin, end in defects)
    sizes = (inch(length), inch(width), inch(thickness))
    return RackPiece(name, Stuff.WOOD, *sizes, defects=zones)


def request(*rack: RackPiece, planer: Planer | None = PLANER, units: int = 1) -> PlanRequest:
    """The shipped floor from a rack."""
    return replace(floor_request(units=units, shop=replace(SHOP, planer=planer)), rack=rack)


def plan(*rack: RackPiece, planer: Planer | None = PLANER, units: int = 1) -> Plan:
    """The same worked out, and checked by the checker of the cuts."""
    asked = request(*rack, planer=planer, units=units)
    made = make_plan(asked)
    check_plan(made, rack, planer)
    return made


def check_plan(made: Plan, rack: tuple[RackPiece, ...], planer: Planer | None) -> int:
    """Boards, planing and its steps; how many boards are planed."""
    thickness = {material.id: material.thickness for material in made.materials}
    own = [piece for piece in made.stock if piece.material == "board"]
    for piece in own:
        check_piece(piece)
        check_board(piece)
    check_planing_steps(made)
    return check_planed(own, rack, planer or Planer(ZERO, ZERO, ZERO, ZERO), thickness)


def planed(made: Plan) -> list[str]:
    """The boards that are planed."""
    return sorted({piece.rack_id for piece in made.stock if piece.planed_from})


def used(made: Plan) -> set[str]:
    """The boards of the rack that are cut."""
    return {piece.rack_id for piece in made.stock if piece.rack_id}


def told(made: Plan, rule: str) -> str:
    """What the findings of a rule say; empty where there is none."""
    return " ".join(finding.text for finding in made.findings if finding.rule == rule)


def shift(piece: RackPiece, by: str) -> RackPiece:
    """The same board, so much thicker."""
    return replace(piece, thickness=piece.thickness + Length.inches(by))
