"""A build of sheet parts alone: four widths of 11 in pieces, two of each, from 2 × 4 ft sheets.

By hand: 11 + 1/8 + 10 in fill the width of a sheet and so do 9 + 1/8 + 8 in, each twice in
22 1/8 in; three of the four widths never lie side by side. So a sheet that is cut as it is holds
two widths only, and one that is sawn into two sections (22 5/8 in each, and a kerf) all four.
"""

from __future__ import annotations

from pathlib import Path

HEAD = """\
schema: 1
id: shelves
revision: 1
title: Small shelves
summary: Sheet parts of four widths, for the tests.
measurements:
  ply: {prompt: Thickness of the plywood, usual: 1/2 in, least: 7/16 in, most: 5/8 in}
materials:
  plywood:
    form: sheet
    title: exterior plywood
    thickness: ply
    sold_width: 2 ft
    sold_length: 4 ft
    sold_as: 1/2 in, 2 × 4 ft
parts:
"""
PART = """\
  {name}:
    title: {name}
    material: plywood
    length: 11 in
    width: {width}
    runs: [front-back, left-right, bottom-top]
    at:
      - {{front: 0 in, left: 0 in, bottom: {low} in}}
      - {{front: 0 in, left: 0 in, bottom: {high} in}}
"""
GROOVE = """\
    features:
      stop: {kind: groove, face: top, from: right, offset: 1 in, width: 1/4 in, depth: 1/8 in}
"""
STEPS = """\
steps:
  put/up: {{title: Put it up, text: Put it up., minutes: 5, parts: [{names}]}}
"""
WIDTHS = {"floor": "10 in", "lid": "11 in", "shelf": "9 in", "tray": "8 in"}


def shelves_text(widths: dict[str, str] = WIDTHS, grooved: str = "tray") -> str:
    """The build file; ``grooved``: the part that has a groove, so that a spare one is wanted."""
    parts = [
        PART.format(name=name, width=width, low=number, high=number + 10)
        + (GROOVE if name == grooved else "")
        for number, (name, width) in enumerate(widths.items())
    ]
    return HEAD + "".join(parts) + STEPS.format(names=", ".join(widths))


def write_shelves(folder: Path, text: str = "") -> str:
    """The file's path."""
    path = folder / "shelves.yaml"
    path.write_text(text or shelves_text())
    return str(path)
