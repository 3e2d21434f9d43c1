"""Pictures of steps: what is there, what comes, where from; as SVG and on the terminal."""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree
from dataclasses import replace
from functools import cache

import pytest

from shopstep.model.picture import Arrow, Line, Mark, Picture, Weight
from shopstep.model.plan import OtherBuild
from shopstep.model.step import Source
from shopstep.paper.picture_svg import (
    GLASS,
    bare_svg,
    bounds,
    contact_sheet,
    picture_svg,
    picture_words,
)
from shopstep.planner import make_plan
from shopstep.present.picture_cells import picture_cells
from shopstep.solids.picturing import picture_step
from tests.floor import floor_plan, floor_request
from tests.shelf_builds import build_texts


@cache
def picture(kind: str) -> Picture:
    """The picture of one step kind of the floor."""
    found = picture_step(floor_plan(), kind)
    assert found is not None
    return found


def heavy(shown: Picture) -> set[Line]:
    """Its heavy lines."""
    return {line for line in shown.lines if line.weight is Weight.HEAVY}


def test_every_step_that_has_parts_in_hand_or_builds_on_them_has_a_picture() -> None:
    plan = floor_plan()
    bare = [kind.id for kind in plan.kinds if picture_step(plan, kind.id) is None]
    assert all(not {k.id: k for k in plan.kinds}[each].parts for each in bare), bare
    assert "jig/spacers" in bare
    assert len(bare) < 6


def test_what_comes_is_heavy_and_has_an_arrow_and_a_number() -> None:
    shown = picture("glue/close_right")
    assert shown.note == "1 right side rail"
    light = [line for line in shown.lines if line.weight is Weight.LIGHT]
    assert heavy(shown)
    assert light
    # one arrow of approach, and the two signs for up and front
    assert len(shown.arrows) == 3
    assert {mark.text for mark in shown.marks} == {"1", "up", "front"}
    # the rail comes from the right: its arrow goes to the left
    assert shown.arrows[0].x2 < shown.arrows[0].x1


def test_several_that_come_are_numbered_in_their_order() -> None:
    shown = picture("glue/close_left")
    assert shown.note.startswith("1 left side rail, 2 panel, 3 back rail")
    numbers = [mark.text for mark in shown.marks if mark.text.isdigit()]
    assert numbers == ["1", "2", "3", "4", "5", "6"]


def test_what_came_before_is_light_in_the_steps_after() -> None:
    assert len(picture("bearers/close_runners").lines) > len(picture("glue/close_right").lines) / 2
    assert not heavy(picture("close/last_look"))


def test_what_is_put_together_apart_is_shown_alone() -> None:
    shown = picture("tray/close")
    assert shown.note == "1 tray, 2 tray pull"
    assert all(line.weight is Weight.HEAVY for line in shown.lines)


def _rounded(line: Line) -> Line:
    """To a tenth of a millimetre, the lower end first."""
    ends = [(round(line.x1, 1), round(line.y1, 1)), (round(line.x2, 1), round(line.y2, 1))]
    (x1, y1), (x2, y2) = sorted(ends)
    return Line(x1, y1, x2, y2, line.weight)


def test_a_handed_part_is_shown_in_both_hands_as_mirror_images() -> None:
    shown = picture("mitre/side_rail")
    names = {mark.text for mark in shown.marks} - {"up", "front"}
    assert names == {"left side rail", "right side rail"}
    middle = sum(mark.x for mark in shown.marks if mark.text in names) / 2
    own = {_rounded(line) for line in shown.lines}
    mirrored = {
        _rounded(replace(line, x1=2 * middle - line.x1, x2=2 * middle - line.x2))
        for line in shown.lines
    }
    assert len(mirrored & own) >= 0.7 * len(own)


def test_of_several_builds_each_picture_shows_its_own() -> None:
    text, parents = build_texts("inner-cover")
    other = OtherBuild("inner-cover", text, parents, (), 1)
    plan = make_plan(replace(floor_request(units=1), others=(other,)))
    own = picture_step(plan, "glue/close_right")
    theirs = picture_step(plan, "glue/close_right@inner-cover")
    assert own is not None
    assert theirs is not None
    assert (own.note, own.lines) == (
        picture("glue/close_right").note,
        picture("glue/close_right").lines,
    )
    assert theirs.note == "1 right side rim"


def test_a_step_with_words_for_one_unit_shows_what_its_kind_shows() -> None:
    plan = floor_plan()
    kind = next(kind for kind in plan.kinds if kind.id == "glue/close_right")
    alone = replace(plan, kinds=(*plan.kinds, replace(kind, id="glue/close_right~u2")))
    assert picture_step(alone, "glue/close_right~u2") == picture("glue/close_right")
    assert picture_step(alone, "glue/close_right") == picture("glue/close_right")


def test_a_plan_from_before_steps_said_what_they_add_still_has_pictures() -> None:
    plan = floor_plan()
    old = replace(plan, kinds=tuple(replace(kind, adds=()) for kind in plan.kinds))
    shown = picture_step(old, "glue/close_right")
    assert shown is not None
    assert heavy(shown)
    assert len(shown.arrows) == 2  # up and front only


def test_a_machine_step_shows_heavy_only_what_it_cuts_now() -> None:
    grooved = picture("groove/side_rail")
    assert heavy(grooved)
    assert len(heavy(grooved)) < len(grooved.lines) / 2
    # only the left one is grooved in this step; it stands at the left
    middle = (bounds(grooved)[0] + bounds(grooved)[2]) / 2
    assert all(max(line.x1, line.x2) < middle for line in heavy(grooved))
    sawn = picture("crosscut/side_rail")
    assert all(line.weight is Weight.HEAVY for line in sawn.lines)
    assert len(sawn.lines) == 2 * 9


def test_the_same_plan_gives_the_same_bytes_and_they_are_good_xml() -> None:
    plan = floor_plan()
    for kind in ("glue/close_left", "drill/door", "groove/side_rail"):
        first, second = picture_step(plan, kind), picture_step(plan, kind)
        assert first is not None
        assert second is not None
        assert picture_svg(first) == picture_svg(second)
        root = ElementTree.fromstring(picture_svg(first))
        assert root.tag.endswith("svg")
    sheet = contact_sheet([picture("glue/close_left"), picture("drill/door")])
    assert ElementTree.fromstring(sheet).tag.endswith("svg")


def test_a_picture_of_lines_made_by_hand_is_drawn_to_these_bytes() -> None:
    shown = Picture(
        "Close <it>",
        "1 rail & panel",
        (Line(0, 0, 100, 0), Line(0, 0, 0, 50, Weight.HEAVY)),
        (Arrow(50, 10, 20, 10),),
        (Mark(60, 20, "1"), Mark(90, 40, "front")),
    )
    svg = picture_svg(shown)
    assert "Close &lt;it&gt;" in svg
    assert "1 rail &amp; panel" in svg
    # 572 mm of room for 100 across, 352 for 50 up: the scale is 5.72
    assert '<path d="M34.0 379.0L606.0 379.0"' in svg
    assert 'd="M34.0 379.0L34.0 93.0" fill="none" stroke="#000" stroke-linecap="round" ' in svg
    assert 'stroke-width="2.4"' in svg


SQUARE = Picture(
    "square",
    "a note",
    (
        Line(0, 0, 100, 0, Weight.HEAVY),
        Line(100, 0, 100, 100),
        Line(0, 100, 100, 100),
        Line(0, 0, 0, 100, Weight.HEAVY),
    ),
    marks=(Mark(50, 50, "7"),),
)


@pytest.mark.parametrize(("columns", "rows"), [(40, 12), (60, 20), (100, 30)])
def test_a_terminal_picture_keeps_to_its_room_and_uses_it(columns: int, rows: int) -> None:
    for kind in ("glue/close_left", "groove/side_rail", "close/door"):
        lines = picture_cells(picture(kind), columns, rows)
        assert len(lines) == rows
        assert max(len(line) for line in lines) <= columns
        dots = [line for line in lines if any("\u2800" < ch <= "\u28ff" for ch in line)]
        assert len(dots) >= rows // 2
        words = "".join(lines)
        assert "front" in words
        assert "up" in words


def test_heavy_lines_are_whole_and_light_lines_are_dotted_on_a_terminal() -> None:
    lines = picture_cells(SQUARE, 40, 12)
    body = lines[:-1]
    lead = min(len(line) - len(line.lstrip()) for line in body if line)
    assert lines[-1] == " " * lead + "a note"
    assert any("7" in line for line in body)

    def dots(cell: str) -> int:
        return (ord(cell) - 0x2800).bit_count() if "\u2800" <= cell <= "\u28ff" else 0

    left = [next(ch for ch in line if ch != " ") for line in body[1:-1]]
    right = [line.rstrip()[-1] for line in body[1:-1]]
    assert all(dots(ch) == 4 for ch in left)
    assert all(dots(ch) == 2 for ch in right)


def test_a_room_that_is_too_small_is_taken_as_40_by_8() -> None:
    assert picture_cells(SQUARE, 3, 2) == picture_cells(SQUARE, 40, 8)


def test_derived_steps_without_a_part_have_no_picture() -> None:
    plan = floor_plan()
    rough = next(kind for kind in plan.kinds if kind.id == "rough_cut/board")
    assert rough.source is Source.DERIVED
    assert picture_step(plan, rough.id) is None
    with pytest.raises(KeyError):
        picture_step(plan, "no/step")


def test_fasteners_are_dots_numbered_by_their_rows() -> None:
    """Eight tacks: those in the right rail's outer face are seen, one for each of four rows."""
    shown = picture("glue/tack_frame")
    dots = [mark for mark in shown.marks if mark.is_dot]
    assert sorted(mark.text for mark in dots) == ["1", "2", "3", "4"]
    assert not any(mark.is_behind for mark in dots)
    assert shown.note == (
        "1 into back rail, 2 into rear head, 3 into landing board, 4 into front bearer"
    )
    assert picture_svg(shown).count('r="3" fill="#b00000"') == 4
    cells = "\n".join(picture_cells(shown, 60, 24)[:-2])
    assert all(number in cells for number in "1234")


def test_numbers_of_fasteners_follow_those_of_what_comes_and_move_with_it() -> None:
    shown = picture("screen/tack_strips")
    numbers = [mark.text for mark in shown.marks if mark.text.isdigit() and not mark.is_dot]
    assert numbers == ["1", "2", "3", "4"]
    dots = [mark for mark in shown.marks if mark.is_dot]
    assert {mark.text for mark in dots} == {"5", "6", "7"}
    assert len(dots) == 8
    # drawn on the strips, which are drawn above their place
    assert min(mark.y for mark in dots) > min(line.y1 for line in shown.lines)


def test_a_row_that_is_seen_from_no_corner_is_ringed() -> None:
    shown = picture("bearers/screw")
    ringed = [mark for mark in shown.marks if mark.is_behind]
    assert [mark.text for mark in ringed] == ["2", "2"]
    assert "ring: on the far side" in picture_svg(shown)


def test_of_a_long_row_the_first_and_the_last_bear_its_number() -> None:
    shown = picture("screen/lay_cloth")
    side = [mark for mark in shown.marks if mark.is_dot and mark.text == "4"]
    unnumbered = [mark for mark in shown.marks if mark.is_dot and not mark.text]
    assert len(side) == 2
    assert len(unnumbered) == 18 - 2
    assert "×" in "".join(picture_cells(shown, 80, 30))


def test_a_bare_picture_has_no_words_but_its_marks_and_is_as_high_as_it_needs() -> None:
    marks = (Mark(5.0, 5.0, "rail"), Mark(9.0, 1.0, "2"), Mark(0.0, 0.0, "up"))
    lines = (Line(0.0, 0.0, 100.0, 0.0), Line(0.0, 0.0, 0.0, 60.0, Weight.HEAVY))
    shown = Picture("Put it in", "From above", lines, (Arrow(50.0, 60.0, 50.0, 30.0),), marks)
    root = ElementTree.fromstring(bare_svg(shown))
    texts = [node.text for node in root.iter("{http://www.w3.org/2000/svg}text")]
    assert texts == ["rail", "2", "up"]
    margin = 2 * GLASS.letters
    wide, high = (float(root.attrib[name]) for name in ("width", "height"))
    assert high == pytest.approx((wide - 2 * margin) * 0.6 + 2 * margin, abs=0.5)
    assert {n.attrib["fill"] for n in root.iter("{http://www.w3.org/2000/svg}rect")} == {
        GLASS.ground
    }
    assert picture_words(shown) == "Put it in. rail. From above"
