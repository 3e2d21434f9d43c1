"""Places said by alignment come out where coordinates put them."""

from __future__ import annotations

import pytest

from shopstep.design.resolve import Design, resolve_design
from shopstep.model.part import Part
from shopstep.model.plan import BuildFileError, BuildText
from tests.floor import floor_text
from tests.shelf_builds import build_texts, shelf_design

PANEL = (
    "      front: landing\n"
    "      left: board_thickness - groove_depth + panel_in_sides.play/2\n      bottom: foot\n"
)
BEARER = "    at: {front: landing + board_thickness, left: board_thickness, bottom: panel_top}\n"
HEAD = "    at: {front: inner_back, left: board_thickness, bottom: sill + tray_space}\n"


def floor_with(*edits: tuple[str, str]) -> Design:
    text = floor_text()
    for old, new in edits:
        assert text.count(old) == 1, (old, text.count(old))
        text = text.replace(old, new)
    return resolve_design(BuildText("floor", text), (), ())


def placed(design: Design) -> dict[tuple[str, str], object]:
    return {(part.name, part.hand or ""): part.places for part in design.parts}


@pytest.mark.parametrize(
    ("old", "new"),
    [
        # between two grooves, on their lower walls, in the middle of its play
        (PANEL, "      {front: landing, in_groove: panel_in_sides}\n"),
        (BEARER, "    at: {behind: landing_board, right_of: side_rail, above: panel}\n"),
        (BEARER, "    at: {flush: {front: screen, left: back_rail, bottom: runner}}\n"),
        (BEARER, "    at: {front: landing + board_thickness,"
                 " centred: {left-right: panel}, bottom: panel_top}\n"),
        (HEAD, "    at: {flush: {back: side_rail, left: back_rail, top: side_rail}}\n"),
        (HEAD, "    at: {flush: {front: back_rail, right: back_rail},"
               " bottom: sill + tray_space}\n"),
    ],
)  # fmt: skip
def test_alignment_and_coordinates_come_to_the_same_place(old: str, new: str) -> None:
    if "left-right: panel" in new:
        # all that lies between the rails is as wide as the way between them
        bearer = _part(floor_with((old, new)), "front_bearer").places[0]
        panel = _part(floor_with((old, new)), "panel").places[0]
        assert bearer.left + bearer.breadth.over(2) == panel.left + panel.breadth.over(2)
        return
    if old == PANEL:
        new = f"    at: {new.strip()}\n"
        old = f"    at:\n{PANEL}"
    assert placed(floor_with((old, new))) == placed(shelf_design("screened-floor"))


def _part(design: Design, name: str) -> Part:
    return next(part for part in design.parts if part.name == name)


def test_before_left_of_and_below_put_it_on_the_near_side() -> None:
    moved = floor_with((BEARER, "    at: {before: rear_head, left_of: side_rail, below: tray}\n"))
    own = _part(moved, "front_bearer").places[0]
    head, tray = _part(moved, "rear_head").places[0], _part(moved, "tray").places[0]
    assert own.front + own.depth == head.front
    assert own.bottom + own.height == tray.bottom
    assert own.left + own.breadth == _part(moved, "side_rail").places[0].left


def test_a_groove_in_a_low_face_and_from_the_top_is_followed_too() -> None:
    """The inner cover's panel: one groove in the back face of the front rim, two in the sides."""
    build, parents = build_texts("inner-cover")
    old = (
        "      front: board_thickness - groove_depth + panel_in_front.play/2\n"
        "      left: board_thickness - groove_depth + panel_in_sides.play/2\n      bottom: lip\n"
    )
    assert build.text.count(f"    at:\n{old}") == 1
    new = "    at: {in_groove: panel_in_sides, centred: {front-back: side_rim}}\n"
    design = resolve_design(
        BuildText(build.name, build.text.replace(f"    at:\n{old}", new)), parents, ()
    )
    assert placed(design) == placed(shelf_design("inner-cover"))


@pytest.mark.parametrize(
    ("new", "said"),
    [
        ("    at: {front: landing, left: board_thickness}\n",
         "'bottom' is missing in 'parts.front_bearer.at'; give it, or a part"),
        ("    at: {front: landing, behind: landing_board, left: 0 in, bottom: 0 in}\n",
         "says twice where it stands front to back: 'front' and 'behind'"),
        ("    at: {behind: landing_bord, left: 0 in, bottom: 0 in}\n",
         "did you mean 'landing_board'"),
        ("    at: {behind: landing_board, left: 0 in, in_groove: panel_in_sides}\n",
         "no groove joint of it"),
        ("    at: {front: 0 in, left: 0 in, flush: {inside: panel}}\n",
         "name front, back, left, right, bottom or top"),
        ("    at: {behind: front_bearer, left: 0 in, bottom: 0 in}\n", "go round in a circle"),
    ],
)  # fmt: skip
def test_a_place_that_cannot_be_is_one_sentence_with_its_line(new: str, said: str) -> None:
    with pytest.raises(BuildFileError) as problem:
        floor_with((BEARER, new))
    assert said in problem.value.text
    assert problem.value.where.line > 0


def test_faces_of_parts_are_names_for_any_size() -> None:
    level = "  floor_level: screen_level"
    design = floor_with((level, f"  head_top: rear_head.top\n{level}"))
    assert dict(design.sizes)["head_top"] == dict(design.sizes)["rail_height"]
