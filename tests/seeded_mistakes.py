"""Mistakes that people make in designs, each put into a shipped build on purpose.

Each is an edit of the build's text, the rule that must find it, and words that its sentence holds.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.design.resolve import Design, resolve_design
from shopstep.model.plan import BuildText
from shopstep.model.proof import Proof
from shopstep.planner.proving import prove_design
from tests.shelf_builds import build_texts


@dataclass(frozen=True, slots=True)
class Mistake:
    """One seeded mistake."""

    name: str
    build: str
    edits: tuple[tuple[str, str], ...]
    """Texts of the build file and what stands in their place; each is there exactly once."""
    rule: str
    words: tuple[str, ...]
    """What the sentence of the finding must say."""
    settings: tuple[tuple[str, str], ...] = ()


FLOOR = "screened-floor"
_RAIL_AT = "    at: {front: 0 in, left: 0 in, bottom: 0 in}\n    hands:"
_PANEL = "      left: board_thickness - groove_depth + panel_in_sides.play/2\n      bottom: foot\n"
_SIDES = "    into: side_rail\n    face: inside\n    from: bottom\n    offset: foot\n"
_LEFT = (
    "      - left side_rail\n      - {parts: [panel], from: right}\n"
    "      - {parts: [back_rail], from: back}\n"
)
_STRIPS = "    adds: [cross_strip, side_strip]\n"
_CLOTH = "    adds: [screen]\n"
_PULL = (
    "    width: board_thickness\n    thickness: bearer\n"
    "    runs: [left-right, front-back, bottom-top]\n    at:\n      front: inner_back - 1/8"
)

MISTAKES = (
    Mistake(
        "hands swapped: both rails stand on the other's side", FLOOR,
        ((_RAIL_AT, _RAIL_AT.replace("left: 0 in", "left: width - board_thickness")),),
        "shared_space", ("side rail", "panel", "wrong side"),
    ),
    Mistake(
        "groove in the outside face", FLOOR,
        ((_SIDES, _SIDES.replace("inside", "outside")),),
        "shared_space", ("left side rail", "panel", "wrong side", "change the face"),
    ),
    Mistake(
        "groove measured from the top", FLOOR,
        ((_SIDES, _SIDES.replace("from: bottom", "from: top")),),
        "shared_space", ("side rail", "panel", "cut from the wrong edge"),
    ),
    Mistake(
        "groove 1/8 in too high", FLOOR,
        ((_SIDES, _SIDES.replace("offset: foot", "offset: foot + 1/8 in")),),
        "shared_space", ("panel_in_sides", "misses by 1/8 in"),
    ),
    Mistake(
        "groove too shallow for the panel", FLOOR,
        (("    depth: groove_depth\n    clear: clear_width\n",
          "    depth: 1/8 in\n    clear: clear_width + 1/4 in\n"),),
        "shared_space", ("side rail", "panel", "joint panel_in_sides"),
    ),
    Mistake(
        "groove stopped at the wrong end", FLOOR,
        (("    stop_start: landing - 1 3/4 in\n", "    stop_end: 2 in\n"),),
        "shared_space", ("side rail", "panel", "wrong end"),
    ),
    Mistake(
        "groove in the right face of both hands", FLOOR,
        ((_SIDES, _SIDES.replace("inside", "right")),),
        "hands_unlike", ("left and right side rail", "inside"),
    ),
    Mistake(
        "panel lower than its grooves", FLOOR,
        ((_PANEL, _PANEL.replace("bottom: foot", "bottom: foot - 1/4 in")),),
        "shared_space", ("panel", "misses by 1/4 in", "top"),
    ),
    Mistake(
        "back rail too long", FLOOR,
        (("    title: back rail\n    material: board\n    length: clear_width\n",
          "    title: back rail\n    material: board\n    length: clear_width + 1/8 in\n"),),
        "shared_space", ("back rail", "right side rail", "1/8 in"),
    ),
    Mistake(
        "rear head too short to reach both rails", FLOOR,
        (("    title: rear head\n    material: board\n    length: clear_width\n",
          "    title: rear head\n    material: board\n    length: clear_width - 1/16 in\n"),),
        "joint_open", ("right side rail does not meet rear head", "1/16 in apart"),
    ),
    Mistake(
        "bearers over the cloth", FLOOR,
        (("left: 2*board_thickness, bottom: sill + tray_space}",
          "left: 2*board_thickness, bottom: sill + tray_space + 1/4 in}"),),
        "shared_space", ("rear bearer", "screen"),
    ),
    Mistake(
        "tray wider than the way", FLOOR,
        (("    width: way - slide\n", "    width: way + slide\n"),),
        "shared_space", ("tray", "side rail"),
    ),
    Mistake(
        "tray pull as high as the tray's way", FLOOR,
        ((_PULL, _PULL.replace("thickness: bearer", "thickness: 2*bearer")),),
        "shared_space", ("tray pull", "rear bearer"),
    ),
    Mistake(
        "cloth of the door down in the runners", FLOOR,
        (("      left: board_thickness + 1/2 in\n      bottom: sill + 1/32 in\n",
          "      left: board_thickness + 1/2 in\n      bottom: sill - 1/4 in\n"),),
        "shared_space", ("runner", "door cloth"),
    ),
    Mistake(
        "stiffener in the panel", FLOOR,
        (("      bottom: 1/16 in\n", "      bottom: 1/8 in\n"),),
        "shared_space", ("stiffener", "panel", "1/16 in"),
    ),
    Mistake(
        "cross strips over the side strips", FLOOR,
        (("    length: inner_back - inner_front - board_thickness\n",
          "    length: inner_back - inner_front\n"),),
        "shared_space", ("side strip", "cross strip"),
    ),
    Mistake(
        "panel after both rails", FLOOR,
        ((_LEFT, "      - left side_rail\n      - right side_rail\n"
          "      - {parts: [back_rail], from: back}\n      - panel\n"),
         ("    adds: [right side_rail]\n", "")),
        "no_way_in", ("panel cannot come in", "before"),
    ),
    Mistake(
        "cloth laid after the strips", FLOOR,
        ((_CLOTH, _STRIPS), (_STRIPS, _CLOTH)),
        "no_way_in", ("screen cannot come in", "strip"),
    ),
    Mistake(
        "tray after the door", FLOOR,
        (("    adds: [{parts: [tray, tray_pull], from: back}]\n",
          "    adds: [{parts: [door, door_cloth], from: back}, turn_button]\n"),
         ("    adds: [{parts: [door, door_cloth], from: back}, turn_button]\n",
          "    adds: [{parts: [tray, tray_pull], from: back}]\n")),
        "no_way_in", ("tray with tray pull cannot come in from back", "rear door", "too early"),
    ),
    Mistake(
        "a rail that no step puts on", FLOOR,
        (("    adds: [right side_rail]\n", ""),),
        "never_added", ("right side rail", "adds"),
    ),
    Mistake(
        "a rail put on twice", FLOOR,
        (("    adds: [stiffener]\n", "    adds: [right side_rail, stiffener]\n"),),
        "added_twice", ("right side rail", "glue/close_right"),
    ),
    Mistake(
        "roof not laid on the slope", "bird-box",
        (("      lean: {rise: 1 in, run: 4 in, back: run, bottom: tail + side_back + back_drop}\n",
          ""),),
        "joint_open", ("roof does not meet left side", "3/16 in apart"),
    ),
    Mistake(
        "bevel reversed on the back", "bird-box",
        (("{kind: bevel, face: top, edge: front, back: board_thickness, drop: back_drop}",
          "{kind: bevel, face: top, edge: back, back: board_thickness, drop: back_drop}"),),
        "shared_space", ("back", "roof", "wrong side"),
    ),
    Mistake(
        "slope steeper than the roof", "bird-box",
        (("  slope_drop: side_width/4\n", "  slope_drop: side_width/3\n"),),
        "joint_open", ("side", "roof"),
    ),
    Mistake(
        "roof too low on its back edge", "bird-box",
        (("back: run, bottom: tail + side_back + back_drop}",
          "back: run, bottom: tail + side_back}"),),
        "shared_space", ("roof", "3/16 in", "top"),
    ),
    Mistake(
        "lip taken from the other side", "inner-cover",
        (("    into: front_rim\n    face: back\n    from: bottom\n",
          "    into: front_rim\n    face: back\n    from: top\n"),),
        "shared_space", ("front rim", "panel", "wrong edge"),
    ),
    Mistake(
        "panel after the last rim", "inner-cover",
        (("    adds: [left side_rim, {parts: [panel, well_side, well_end]}, front_rim, back_rim]\n",
          "    adds: [left side_rim, front_rim, back_rim, right side_rim]\n"),
         ("    adds: [right side_rim]\n", "    adds: [panel]\n")),
        "no_way_in", ("panel", "cannot come in", "rim", "too early"),
    ),
    Mistake(
        "deck floats over the skirt", "roof",
        (("at: {front: 0 in, left: 0 in, bottom: skirt}",
          "at: {front: 0 in, left: 0 in, bottom: skirt + 1/8 in}"),),
        "joint_open", ("deck", "1/8 in apart"),
    ),
    Mistake(
        "legs hang below the rails", "hive-stand",
        (("      - {front: lumber_thickness, left: lumber_thickness, bottom: foot_height}\n",
          "      - {front: 2*lumber_thickness, left: lumber_thickness, bottom: foot_height}\n"),),
        "joint_open", ("leg 1 does not meet rail 1", "apart"),
    ),
    Mistake(
        "corner rabbet in the outer face", "hive-body",
        (("    into: front_wall\n    face: back\n    edges: [left, right]\n",
          "    into: front_wall\n    face: front\n    edges: [left, right]\n"),),
        "shared_space", ("front wall", "side wall"),
    ),
)  # fmt: skip


def prove_mistaken(mistake: Mistake) -> Proof:
    """The proof of a build with the mistake in it."""
    build, parents = build_texts(mistake.build)
    text = build.text
    marks = [f"\0{n}\0" for n in range(len(mistake.edits))]
    for mark, (old, _) in zip(marks, mistake.edits, strict=True):
        assert text.count(old) == 1, (mistake.name, old, text.count(old))
        text = text.replace(old, mark)
    for mark, (_, new) in zip(marks, mistake.edits, strict=True):
        text = text.replace(mark, new)
    design: Design = resolve_design(BuildText(build.name, text), parents, mistake.settings)
    assert design.parts, design.findings
    return prove_design(design)
