"""Small builds that meet each other and the floor: a box, and a roof that goes over it."""

from __future__ import annotations

import re
from dataclasses import replace

from shopstep.model.interface import FitReport
from shopstep.model.plan import BuildText, PlanRequest
from tests.floor import floor_request, floor_text

HEAD = """\
schema: 1
id: {id}
revision: 1
title: {id}
summary: A small build for the tests.
measurements:
  box_width: {{prompt: Outside width, usual: {width}, least: 12 in, most: 24 in}}
  box_length: {{prompt: Outside length, usual: 19 7/8 in, least: 12 in, most: 28 in}}
  board_thickness: {{prompt: Thickness, usual: 3/4 in, least: 11/16 in, most: 7/8 in}}
materials:
  board:
    form: board
    title: pine
    thickness: board_thickness
    sold_width: 11 1/4 in
    sold_length: 8 ft
    sold_as: 1×12
"""
WALLS = """\
parts:
  side:
    title: side
    material: board
    length: {length}
    width: 6 in
    runs: [front-back, bottom-top, left-right]
    at: {{front: 0 in, left: 0 in, bottom: 0 in}}
    hands: {{mirror: left-right, middle: ({width})/2}}
  end_piece:
    title: end
    material: board
    length: {width} - 2*board_thickness
    width: 6 in
    runs: [left-right, bottom-top, front-back]
    at: {{front: 0 in, left: board_thickness, bottom: 0 in}}
steps:
  nail/up: {{title: Nail it up, text: Nail it up., minutes: 5, parts: [side, end_piece]}}
"""
RIM = "length: side.length, width: end_piece.length + 2*side.thickness"
BOX = f"""\
interfaces:
  top_rim: {{role: above, text: Boxes and covers stand here., sizes: {{{RIM}}}}}
  lower_rim: {{role: below, text: It stands here., sizes: {{{RIM}}}}}
  walls: {{role: around, text: A roof goes over these., sizes: {{{RIM}}}}}
mates:
  flush:
    mine: lower_rim
    theirs: top_rim
    text: The box stands flush on what is below it.
    level: must
    source: common practice, no source
    compare:
      length: {{least: -1/16 in, most: 1/16 in}}
      width: {{least: -1/16 in, most: 1/16 in}}
"""
ROOF = """\
interfaces:
  skirt:
    role: inside
    text: The box is in here.
    sizes: {length: side.length - 2*board_thickness, width: end_piece.length}
mates:
  over_walls:
    mine: skirt
    theirs: walls
    text: The roof goes over the box.
    level: should
    source: common practice, no source
    compare:
      length: {most: -1/8 in}
      width: {least: -1/2 in, most: -1/8 in}
"""
FLOOR_RIM = """\
interfaces:
  top_rim:
    role: above
    text: The box stands on the rails and the rear head.
    sizes:
      length: "if entrance_side is short then side_rail.length - landing else width"
      width: "if entrance_side is short then width else side_rail.length - landing"

"""


def box_text(width: str = "16 1/4 in") -> str:
    """A plain box; ``width`` is its usual width."""
    walls = WALLS.format(length="box_length", width="box_width")
    return HEAD.format(id="plain-box", width=width) + walls + BOX


def roof_text() -> str:
    """A roof that is made 1/4 in longer and wider inside than the box."""
    walls = WALLS.format(
        length="box_length + 1/4 in + 2*board_thickness",
        width="box_width + 1/4 in + 2*board_thickness",
    )
    return HEAD.format(id="plain-roof", width="16 1/4 in") + walls + ROOF


def bare_floor_text() -> str:
    """The shipped floor without what it says to other builds."""
    return re.sub(r"\n(?:interfaces|mates):\n(?:[ #].*\n|\n)*", "\n", floor_text())


def rimmed_floor_text() -> str:
    """The floor with its upper rim as an interface, written here, so that tests can change it."""
    return bare_floor_text().replace("\nsteps:\n", f"\n{FLOOR_RIM}steps:\n", 1)


def request_for(name: str, text: str, *settings: tuple[str, str]) -> PlanRequest:
    """A request for a build text."""
    return replace(floor_request(*settings), build=BuildText(f"{name}.yaml", text))


def fit_texts(*texts: str, settings: tuple[tuple[str, str], ...] = ()) -> FitReport:
    """The report on builds that all get the same settings."""
    from shopstep.planner import fit_builds

    return fit_builds(tuple(request_for(f"b{i}", t, *settings) for i, t in enumerate(texts)))
