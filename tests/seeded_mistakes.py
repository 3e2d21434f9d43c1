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
    "    width: board_thickness\n    thickness: bearer\n    loose: true\n"
    "    runs: [left-right, front-back, bottom-top]\n    at:\n      front: inner_back - 1/8"
)
_STAPLES = (
    "      - kind: staple\n        title: 1/4 in crown × 3/8 in stainless staple\n"
    "        count: staples_front + staples_rear + 2*staples_side\n        rows:\n"
    "          - {through: screen, into: front_bearer,"
    " at: {left: {first: 15/16 in, gap: 2 in, count: staples_front}}}\n"
    "          - {through: screen, into: rear_bearer, at:"
    " {left: {first: 3 in - board_thickness, gap: 2 in, count: staples_rear}}}\n"
    "          - {through: screen, into: side_bearer,"
    " at: {front: {first: 1 in, gap: 2 in, count: staples_side}}}\n"
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
    Mistake(
        "screw longer than both pieces", FLOOR,
        (('"if board_thickness > 13/16 in then 1 1/2 in else 1 1/4 in"', "1 3/4 in"),
         ("    value: 2*board_thickness - stick_screw\n", "    value: 1/8 in\n")),
        "comes_out", ("rear bearer", "rear head by 1/4 in", "1 3/8 in long", "lean it 40°"),
    ),
    Mistake(
        "staple through two half-inch layers", "roof",
        (('      - kind: screw\n        title: "#6 × 3/4 in exterior screw"\n        count: 6\n'
          "        pilot: 5/64 in\n        clearance: 9/64 in\n",
          "      - kind: staple\n        title: 1/4 in crown × 1 in staple\n        count: 6\n"),),
        "comes_out", ("staple 1", "air stick 1", "deck", "3/4 in long"),
    ),
    Mistake(
        "tack where the screw goes", FLOOR,
        (("          - {through: side_rail, into: rear_head}\n",
          "          - {through: side_rail, into: rear_head, at: {bottom: 1/2 in}}\n"),),
        "crosses", ("brad", "rear head", "screw/frame", "further to the top"),
    ),
    Mistake(
        "brad into the groove's lip", FLOOR,
        (("at: {bottom: above_groove}}", "at: {top: 1/32 in}}"),),
        "near_edge", ("brad 1", "back rail", "top", "towards the bottom"),
    ),
    Mistake(
        "brad into the groove itself", FLOOR,
        (("at: {bottom: above_groove}}", "at: {bottom: foot + panel_in_sides.channel/2}}"),),
        "in_a_groove", ("brad 1", "1/4 in of air", "groove", "further to the top"),
    ),
    Mistake(
        "brad through the bearer into the panel", FLOOR,
        (("          - {through: side_rail, into: front_bearer}\n",
          "          - {through: front_bearer, into: panel, face: top}\n"),
         ("        count: 8\n        rows:\n          - {through: side_rail, into: back_rail",
          "        count: 7\n        rows:\n          - {through: side_rail, into: back_rail")),
        "holds_too_little", ("front bearer into panel",),
    ),
    Mistake(
        "screw too short to hold", FLOOR,
        (('        title: "#8 × 1 3/4 in exterior screw"\n',
          '        title: "#8 × 7/8 in exterior screw"\n'),),
        "holds_too_little", ("1/8 in in the wood", "long"),
    ),
    Mistake(
        "screw at the very edge", "inner-cover",
        (("into: front_rim, at: {bottom: corner_screw}}", "into: front_rim, at: {top: 1/8 in}}"),),
        "near_edge", ("front rim", "top", "towards the bottom"),
    ),
    Mistake(
        "roof screws square to the slope", "bird-box",
        (("straight: bottom, at: {left: verge + 2 in, right: verge + 2 in, back: back_screw}",
          "at: {left: verge + 2 in, right: verge + 2 in, back: back_screw}"),),
        "comes_out", ("roof", "back"),
    ),
    Mistake(
        "corner screws through the legs' screws", "hive-stand",
        (("[1 7/8 in - leg_drop, 3 5/8 in - leg_drop]", "[1 in - leg_drop, 3 5/8 in - leg_drop]"),),
        "crosses", ("screw", "leg", "further to the"),
    ),
    Mistake(
        "bearers screwed under the strips", FLOOR,
        (("{front: [2 in, along_middle, along_far]}",
          "{front: [2 1/2 in, along_middle, along_far]}"),),
        "crosses", ("brad", "side strip", "screw and its hole", "bearers/screw"),
    ),
    Mistake(
        "cloth stapled when the strips are on", FLOOR,
        (("    fasteners:\n" + _STAPLES, ""),
         ("    numbers: {pilot: 1/16 in, clearance: 1/8 in}\n    fasteners:\n",
          "    numbers: {pilot: 1/16 in, clearance: 1/8 in}\n    fasteners:\n" + _STAPLES)),
        "head_covered", ("staple", "cross strip", "screen/tack_strips comes too early"),
    ),
    Mistake(
        "rail nailed before it is there", FLOOR,
        (("    adds: [side_bearer, rear_bearer]\n", "    adds: [rear_bearer]\n"),
         (_CLOTH, "    adds: [side_bearer, screen]\n")),
        "not_there", ("bearers/screw", "side bearer 1", "screen/lay_cloth"),
    ),
    Mistake(
        "three rows for two screws", "hive-stand",
        (("{through: apron, into: leg, at: {top: [1 7/8 in - leg_drop, 3 5/8 in - leg_drop]}}",
          "{through: apron, into: leg, at: {top: 1 7/8 in - leg_drop}}"),),
        "fastener_count", ("legs/screw_aprons says 8", "its rows place 4"),
    ),
    Mistake(
        "pilot as wide as the screw", FLOOR,
        (("        count: 14\n        pilot: 3/32 in\n",
          "        count: 14\n        pilot: 5/32 in\n"),),
        "wrong_drill", ("pilot hole of 5/32 in", "take 3/32 in"),
    ),
    Mistake(
        "panel painted when the cloth is on", FLOOR,
        ((_STRIPS, _STRIPS + "    coats: [panel top]\n"),),
        "painted_closed", ("top of panel", "screen stands", "screen/lay_cloth comes too early"),
    ),
    Mistake(
        "panel painted under the foam", "inner-cover",
        (("    parts: [foam_whole, foam_end, foam_side]\n    checks:\n",
          "    parts: [foam_whole, foam_end, foam_side]\n    coats: [panel top]\n    checks:\n"),),
        "painted_closed", ("top of panel", "lies on it", "foam/close comes too early"),
    ),
    Mistake(
        "tacks where the plane goes later", FLOOR,
        (("          - {through: side_rail, into: rear_head}\n",
          "          - {through: side_rail, into: rear_head, at: {top: 1/8 in}}\n"),),
        "in_later_cut", ("brad 3", "plane/flush cuts left side rail", "drive it after"),
    ),
    Mistake(
        "saw line through the screws", FLOOR,
        (("      - {part: side_rail, face: top, deep: 1/16 in}\n",
          "      - {part: side_rail, face: front, deep: 2 3/8 in, line: true}\n"),),
        "in_later_cut", ("landing board", "plane/flush cuts", "from its front face"),
    ),
    Mistake(
        "tray that slides glued to what stays", FLOOR,
        (("    loose: true\n    runs: [left-right, front-back, bottom-top]\n    at:\n"
          "      front: inner_back - 1/8 in - board_thickness\n",
          "    runs: [left-right, front-back, bottom-top]\n    at:\n"
          "      front: inner_back - 1/8 in - board_thickness\n"),),
        "glue_on_loose", ("joint pull_face", "tray, which is to come out", "leave the glue out"),
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
