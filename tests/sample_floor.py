"""About a screened hive floor, made by hand for tests of milling, stock and solids.

Invented data in the sizes of a ten-frame hive: 16 1/4 in wide, 22 1/2 in long, 3 1/2 in high.
A nominal 1×6 board is 3/4 × 5 1/2 in, dressed and dry (PS 20, American Softwood Lumber Standard).
"""

from __future__ import annotations

from shopstep.model.feature import Bevel, Face, Feature, Groove, Holes, Notch
from shopstep.model.joint import Joint
from shopstep.model.material import Form, Material
from shopstep.model.part import Axis, Hand, Part, Placement
from shopstep.units import ZERO, Angle, Length

X, Y, Z = Axis.FRONT_BACK, Axis.LEFT_RIGHT, Axis.BOTTOM_TOP
KERF = Length.inches("1/8")
UNITS = 2


def inch(text: str) -> Length:
    """Inches as typed: "3/4", "22 1/2"."""
    return Length(sum(Length.inches(part).nm for part in text.split()))


BOARD = Material(
    "board",
    "3/4 in pine board",
    Form.BOARD,
    inch("3/4"),
    inch("5 1/2"),
    inch("96"),
    "1×6, 8 ft",
)
PLY = Material(
    "ply", "1/4 in exterior plywood", Form.SHEET, inch("1/4"), inch("24"), inch("48"), "2 ft × 4 ft"
)
CLOTH = Material(
    "cloth", "8-mesh wire cloth", Form.ROLL, inch("1/32"), inch("36"), inch("12"), "36 in wide"
)
MATERIALS = (BOARD, PLY, CLOTH)


def bevel(name: str, face: Face, edge: Face, back: str, drop: str) -> Bevel:
    """A bevel with its angle worked out."""
    return Bevel(name, face, edge, inch(back), inch(drop), Angle.from_rise(inch(drop), inch(back)))


def piece(
    name: str,
    size: tuple[str, str, str],
    runs: tuple[Axis, Axis, Axis],
    corners: tuple[tuple[str, str, str], ...],
    *features: Feature,
    hand: Hand | None = None,
    material: str = "board",
) -> Part:
    """A part with one piece at each front, left, bottom corner."""
    length, width, thickness = (inch(text) for text in size)
    extent = dict(zip(runs, (length, width, thickness), strict=True))
    return Part(
        name=name,
        hand=hand,
        title=name.replace("_", " "),
        material=material,
        count_unit=len(corners),
        length=length,
        width=width,
        thickness=thickness,
        runs=runs,
        places=tuple(
            Placement(inch(front), inch(left), inch(bottom), extent[X], extent[Y], extent[Z])
            for front, left, bottom in corners
        ),
        features=features,
        why="",
        line=7,
    )


PANEL_SIDE = Groove(
    "panel", Face.INSIDE, Face.BOTTOM, inch("1/2"), inch("9/32"), inch("3/8"), inch("2 1/2"), ZERO
)
PANEL_BACK = Groove(
    "panel", Face.FRONT, Face.BOTTOM, inch("1/2"), inch("9/32"), inch("3/8"), ZERO, ZERO
)
SLOPE = bevel("slope", Face.TOP, Face.FRONT, "1", "2 1/2")
RAIL = ("22 1/2", "3 1/2", "3/4")

PARTS = (
    piece(
        "side_rail", RAIL, (X, Z, Y), (("0", "0", "0"),), PANEL_SIDE, SLOPE, hand=Hand.LEFT
    ),
    piece(
        "side_rail", RAIL, (X, Z, Y), (("0", "15 1/2", "0"),), PANEL_SIDE, SLOPE, hand=Hand.RIGHT
    ),
    piece(
        "back_rail", ("14 3/4", "3 1/2", "3/4"), (Y, Z, X), (("21 3/4", "3/4", "0"),), PANEL_BACK
    ),
    piece("rear_head", ("14 3/4", "2 1/4", "3/4"), (Y, Z, X), (("21", "3/4", "1 1/4"),)),
    piece(
        "panel",
        ("15 1/2", "4", "1/4"),
        (Y, X, Z),
        (("18 1/8", "3/8", "33/64"),),
        material="ply",
    ),
    piece(
        "landing_board",
        ("14 3/4", "3 1/2", "3/4"),
        (Y, X, Z),
        (("-2", "3/4", "0"),),
        bevel("drip", Face.TOP, Face.FRONT, "1/4", "1/2"),
    ),
    piece("front_bearer", ("14 3/4", "3/4", "1/2"), (Y, X, Z), (("1 1/2", "3/4", "3/4"),)),
    piece(
        "side_bearer",
        ("16", "3/4", "1/2"),
        (X, Y, Z),
        (("2 1/4", "3/4", "25/32"), ("2 1/4", "14 3/4", "25/32")),
    ),
    piece("rear_bearer", ("13 1/4", "3/4", "1/2"), (Y, X, Z), (("17 1/4", "1 1/2", "1 1/2"),)),
    piece(
        "runner",
        ("18", "3/4", "9/32"),
        (X, Y, Z),
        (("2 1/4", "3/4", "0"), ("2 1/4", "14 3/4", "0")),
    ),
    piece("stiffener", ("13 1/4", "3/4", "1/2"), (Y, X, Z), (("9", "1 1/2", "3/4"),)),
    piece(
        "wire_cloth",
        ("18", "14 3/4", "1/32"),
        (X, Y, Z),
        (("1 1/2", "3/4", "1 9/32"),),
        material="cloth",
    ),
    piece(
        "side_strip",
        ("16", "3/4", "1/4"),
        (X, Y, Z),
        (("2 1/4", "3/4", "2 1/4"), ("2 1/4", "14 3/4", "2 1/4")),
    ),
    piece(
        "cross_strip",
        ("13 1/4", "3/4", "1/4"),
        (Y, X, Z),
        (("2 1/4", "1 1/2", "2 1/4"), ("17 1/4", "1 1/2", "2 1/4")),
    ),
    piece(
        "entrance_block",
        ("14 5/8", "3/4", "3/4"),
        (Y, X, Z),
        (("1 1/2", "3/4", "2 1/2"),),
        Notch("entrance", Face.FRONT, Face.BOTTOM, inch("4"), inch("3/8")),
    ),
    piece(
        "tray", ("14 1/2", "14 1/4", "1/4"), (X, Y, Z), (("3 1/2", "1", "9/32"),), material="ply"
    ),
    piece("tray_pull", ("14 1/4", "1 1/2", "3/4"), (Y, Z, X), (("25", "1", "0"),)),
    piece(
        "door",
        ("14 1/2", "2 1/4", "3/4"),
        (Y, Z, X),
        (("-3", "1", "2"),),
        Holes("vents", Face.FRONT, Face.BOTTOM, inch("9/8"), inch("3/4"), 4, inch("3")),
    ),
    piece(
        "door_cloth", ("14", "2", "1/32"), (Y, Z, X), (("-4", "1", "2"),), material="cloth"
    ),
    piece(
        "turn_button",
        ("2", "3/4", "1/4"),
        (Y, Z, X),
        (("-5", "3", "2"), ("-5", "10", "2")),
        Holes("screw", Face.FRONT, Face.BOTTOM, inch("3/8"), inch("5/32"), 1, ZERO),
    ),
)  # fmt: skip

JOINTS = (
    Joint("panel", "groove", "panel", "side_rail", None, inch("3/8"), ZERO, inch("1/32"),
          inch("14 3/4"), inch("15 1/2"), 2, 1),
    Joint("panel", "groove", "panel", "back_rail", None, inch("3/8"), ZERO, inch("1/32"),
          inch("14 3/4"), inch("15 1/2"), 1, 1),
)  # fmt: skip
