"""Broken build files: one sentence each, with the line and what would be right."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopstep.design.resolve import resolve_design
from shopstep.model.plan import BuildFileError, BuildText, Level
from tests.floor import floor_text
from tests.meeting_builds import bare_floor_text


def complaint(text: str, *given_sizes: tuple[str, str]) -> BuildFileError:
    """The error that a build text gives."""
    with pytest.raises(BuildFileError) as caught:
        resolve_design(BuildText("b.yaml", text), (), given_sizes)
    assert "\n" not in caught.value.text
    return caught.value


def line_of(text: str, needle: str) -> int:
    """Line (from 1) of the first place where the needle stands."""
    return text[: text.index(needle)].count("\n") + 1


BROKEN = [
    ("title: side rail", "titel: side rail", "did you mean 'title'?"),
    ("prompt: Outside width", "promt: Outside width", "did you mean 'prompt'?"),
    ("kind: bevel", "kind: bevle", "one of 'groove', 'bevel', 'holes', 'notch'"),
    ("form: board", "form: bord", "'board', 'sheet' or 'roll'"),
    ("level: must", "levl: must", "did you mean 'level'?"),
    ("minutes: 5\n", "minutes: many\n", "must be a number"),
    ("revision: 1\n", "revision: one\n", "must be a whole number"),
    ("schema: 1\n", "schema: 2\n", "schema 2 is not known"),
    ("schema: 1\n", "", "begins with 'schema: 1'"),
    ("  fit/mark:", "  fit-mark:", "stage/name"),
    ("parts:\n  side_rail", "parst:\n  side_rail", "did you mean 'parts'?"),
    ("length: rail_length", "length: rail_lenght", "did you mean 'rail_length'?"),
    ("length: rail_length", "length: [1]", "must be a size or words"),
    ("landing: 2 in", "landing: 15 3/8/2", "with its unit"),
    ("landing: 2 in", "landing: 2 in + 15 deg", "a length and an angle"),
    ("landing: 2 in", "landing: rail_length - depth", "go round in a circle"),
    ("landing: 2 in", "landing: -2 in", "must be 0 or more"),
    ("landing: 2 in", "landing:", "must be a size or words"),
    ("landing: 2 in", "landing: 2 inn", "not expected|has no"),
    ("summary: >-", "summary: &a >-", "names an anchor"),
    ("  landing: 2 in", "\tlanding: 2 in", "tab"),
    ("  landing: 2 in", "  landing: 2 in\n  landing: 3 in", "stands here twice"),
    ("member: panel\n", "member: pannel\n", "did you mean 'panel'?"),
    ("material: board\n", "material: bord\n", "did you mean 'board'?"),
    ("glue: wood_glue\n    role", "glue: wood_glu\n    role", "did you mean 'wood_glue'?"),
    ("closes: glue/spread_left", "closes: glue/spread_fram", "did you mean 'glue/spread_left'?"),
    ("closes: glue/spread_left", "closes: fit/mark", "does not spread the same glue"),
    ("step: paint/first, wait: recoat", "step: fit/mark, wait: recoat", "uses no paint"),
    (
        "[front-back, bottom-top, left-right]",
        "[front-back, bottom-top, front-back]",
        "different axes",
    ),
    ("{groove_depth}\n      deep", "{groove_depth\n      deep", "has no partner"),
    ("{groove_depth}\n      deep", "{groove_deep}\n      deep", "did you mean 'groove_depth'?"),
    ("count: 14\n", "count: 8 in\n", "must be a whole number"),
    ("count: 14\n", "count: 80000\n", "0 to 10,000"),
    ("usual: short", "usual: shrt", "it must be 'short' or 'long'"),
    ("parts: [side_rail, back_rail]", "parts: [side_rail, backrail]", "did you mean 'back_rail'?"),
    ("needs: [paint/second]", "needs: [paint/secnd]", "did you mean"),
    ("measurements:\n", "measurements: [\n", "opens here is not closed"),
]


@pytest.mark.parametrize(("old", "new", "hint"), BROKEN)
def test_a_broken_build_names_its_line_and_what_would_be_right(
    old: str, new: str, hint: str
) -> None:
    import re

    text = floor_text()
    assert old in text
    problem = complaint(text.replace(old, new, 1))
    assert re.search(hint, problem.text), problem.text
    assert problem.where.file == "b.yaml"
    wanted = line_of(text, old)
    assert abs(problem.where.line - wanted) <= 6 or problem.where.line > 0


RIM = "interfaces:\n  rim: {role: above, text: x, sizes: {width: width}}\n"
MATE = "mates:\n  m: {mine: rim, theirs: top, text: x, level: must, source: s, compare: "
AT = "at: {front: 0 in, left: 0 in, bottom: 0 in}"
WAITS = "[{step: glue/spread_left, wait: clamp}]"
NEEDS = "needs: [paint/second]"

BROKEN_ON_ITS_LINE = [
    # steps in a circle are found with their line before anything is planned
    (NEEDS, "needs: [screen/lay_cloth]", "'screen/lay_cloth' comes before itself"),
    ("step: paint/first, wait: recoat", "step: paint/second, wait: recoat", "before itself"),
    ("until: paint/second", "until: paint/first", "'paint/first' comes before itself"),
    # sizes that are none
    ("landing: 2 in", "landing: nan", "'nan' is not known"),
    ("landing: 2 in", "landing: .inf", "has no meaning in '.inf'"),
    ("landing: 2 in", "landing: 999999999999 in", "longer than 100 m; check the unit"),
    ("sold_length: 8 ft", "sold_length: 8 ft * 1000000", "longer than 100 m; check its units"),
    ("landing: 2 in", "landing: 2,5 mm", "write decimals with a point"),
    ("landing: 2 in", "landing: 2 in / (1 - 1)", "divided by zero"),
    ("landing: 2 in", "landing: 2 in * 2 in", "a length times a length is no size"),
    ("landing: 2 in", f"landing: {'(' * 4000}2 in{')' * 4000}", "at most 300 characters"),
    ("landing: 2 in", f"landing: {'(' * 99}2 in{')' * 99}", "brackets nested too deeply"),
    ("landing: 2 in", "if: 2 in", "'if' is a word of its own"),
    ("sill: up_to(", "sill: upto(", "there is no 'upto\\(…\\)'; known are ceil"),
    ("groove_depth: 1/4 in", "groove_depth: -1/4 in", "must be more than 0"),
    ("    offset: foot\n", "    offset: -1 in\n", "must be 0 or more"),
    ("play: 1/16 in", "play: -1/16 in", "must be 0 or more"),
    ("thickness: 1/8 in", "thickness: 0 in", "must be more than 0"),
    ("    length: rail_length\n", "    length: 12\n", "write its unit, for example 12 in"),
    ("    length: rail_length\n", "    length: 3/8\n", "write its unit, for example 3/8 in"),
    ("count: 14\n", "count: 1000000000\n", "0 to 10,000 is possible"),
    ("count: vent_holes", "count: 0", "a row of 0 holes; give it 'when'"),
    ("tolerance: 1/64 in", "tolerance: -1/64 in", "must be 0 or more"),
    # words and lists
    ("revision: 1\n", "revision: 0\n", "it must be 1 or more"),
    ("minutes: 5\n", "minutes: nan\n", "it must be 600 or less"),
    ("minutes: 5\n", "minutes: 0\n", "it must be more than 0"),
    ("at_once: true", "at_once: perhaps", "it must be true or false"),
    ("id: screened-floor", "id: Screened Floor", "letters, digits and hyphens"),
    ("title: side rail", f"title: {'x' * 700}", "longer than 600 characters"),
    ("hands: {mirror: left-right", "hands: {mirror: front-back", "it must be 'left-right'"),
    ("bottom-top, left-right]", "bottom-top]", "'parts.side_rail.runs' has too few entries"),
    (AT, "at: {front: 0 in, left: 0 in}", "'bottom' is missing in 'parts.side_rail.at'"),
    (AT, "at: []", "'side_rail' stands nowhere"),
    (NEEDS, "needs: [second]", "'second' is no name here; a step is named stage/name"),
    (NEEDS, "needs: paint/second", "must be a list in brackets"),
    ("drying_places, amount: 1", "drying_places, amount: 0", "it must be 1 or more"),
    ("least: 12 in", "least: 30 in", "'least' is more than 'most'; change them round"),
    ("face: inside", "face: inner", "it must be one of 'front', 'back'"),
    # text that is no plain list
    ("title: side rail", "title: side: rail", "put words that hold a colon into quotes"),
    ("title: side rail", "title: *rail", "write the value out"),
    ("title: side rail", 'title: "\\ud800"', "stands for no character"),
    ("title: side rail", 'title: "a\\0b"', "stands for no character"),
    (
        "at_once: true",
        f"at_once: true\n    after: {WAITS}",
        "one of the two",
    ),
    ("title: side rail", "title: side\x07rail", "a control character .U.0007."),
    ("landing: 2 in", "landing: !!python/name [x]", "is a tag; build files do without"),
    ("landing: 2 in", f"landing: {'[' * 4000}", "too many brackets"),
    ("measurements:\n", "---\nmeasurements:\n", "a build file is one document"),
    # what builds say to each other
    ("interfaces:", "interface:", "did you mean 'interfaces'?"),
    ("role: above", "role: over", "'above', 'below', 'inside', 'around' or 'beside'"),
    ("sizes: {width: width}", "sizes: {width: 0 in - 1 in}", "must be 0 or more"),
    ("sizes: {width: width}", "sizes: {}", "needs at least 1, and has 0"),
    ("mine: rim", "mine: rym", "no such interface; did you mean 'rim'?"),
    ("compare: {width:", "compare: {widht:", "no such size; did you mean 'width'?"),
    ("{least: 0 in}", "{}", "needs 'least' or 'most' for 'width'"),
    ("{least: 0 in}", "{least: 1 in, most: 0 in}", "'least' is more than 'most'"),
    ("{role: above", "{when: width, role: above", "must be a condition"),
]


def meeting_text() -> str:
    """The floor with an interface and a rule of its own for the test."""
    meets = f"{RIM}{MATE}{{width: {{least: 0 in}}}}}}"
    return bare_floor_text().replace("\nsteps:\n", f"\n{meets}\nsteps:\n", 1)


@pytest.mark.parametrize(("old", "new", "hint"), BROKEN_ON_ITS_LINE)
def test_a_broken_build_is_refused_on_the_very_line(old: str, new: str, hint: str) -> None:
    import re

    text = meeting_text()
    assert old in text
    problem = complaint(text.replace(old, new, 1))
    assert re.search(hint, problem.text), problem.text
    assert len(problem.text) < 250
    assert problem.where.line == line_of(text, old)


def test_a_longer_circle_of_steps_is_told_in_the_order_of_the_work() -> None:
    text = floor_text().replace(NEEDS, "needs: [close/tray]", 1)
    problem = complaint(text)
    assert "screen/lay_cloth → screen/tack_strips" in problem.text
    assert "close/tray → screen/lay_cloth" in problem.text
    assert text.splitlines()[problem.where.line - 1].lstrip().startswith("needs:")


OFF_THE_PART = [
    ("groove_depth: 1/4 in", "groove_depth: 2 in", "panel_in_sides", "the depth"),
    ("width: entrance_width,", "width: 40 in,", "mouse_gate", "the width"),
    ("offset: door.width/2,", "offset: 20 in,", "vents", "the edge"),
    ("pitch: 1 in}", "pitch: 9 in}", "vents", "the row"),
    ("back: 3/8 in, drop: 3/8 in", "back: 30 in, drop: 3/8 in", "front_bevel", "the cut"),
]


@pytest.mark.parametrize(("old", "new", "feature", "what"), OFF_THE_PART)
def test_a_feature_off_its_part_is_refused_on_the_feature_s_line(
    old: str, new: str, feature: str, what: str
) -> None:
    text = floor_text().replace(old, new, 1)
    found = resolve_design(BuildText("b.yaml", text), (), ())
    stop = next(f for f in found.findings if f.rule == "feature_off_part")
    assert stop.level is Level.STOP
    assert f"{what} of '{feature}'" in stop.text
    assert stop.remedy
    assert (stop.where.file, stop.where.line) == ("b.yaml", line_of(text, f"{feature}:"))


def test_anchors_that_would_explode_are_refused_at_the_first_one() -> None:
    bombs = "".join(f"  - &b{n} [{', '.join([f'*b{n - 1}'] * 9)}]\n" for n in range(1, 12))
    text = floor_text().replace("sundries:\n", f"sundries:\n  - &b0 [x]\n{bombs}", 1)
    problem = complaint(text)
    assert "names an anchor" in problem.text
    assert problem.where.line == line_of(text, "&b0")


def test_brackets_over_many_lines_are_counted_together() -> None:
    problem = complaint("schema: 1\nx: " + "[\n" * 4000)
    assert "brackets are open here" in problem.text
    assert problem.where.line == 62


def test_keys_within_keys_are_refused_when_they_go_too_deep() -> None:
    assert "nested too deeply" in complaint("schema: 1\nx:\n" + "  ? " * 3000 + "y").text


def test_a_misspelt_key_is_reported_on_its_own_line() -> None:
    text = floor_text().replace("    title: panel\n", "    titel: panel\n", 1)
    assert complaint(text).where.line == line_of(text, "titel: panel")


@pytest.mark.parametrize("text", ["", "\n\n", "just words", "- a\n- b\n", "{", "a: b: c", "\x00"])
def test_what_is_no_build_file_at_all_is_refused(text: str) -> None:
    assert complaint(text).text


def test_a_name_that_the_build_does_not_ask_for_is_refused_with_the_nearest() -> None:
    assert "did you mean 'box_width'?" in complaint(floor_text(), ("box_widht", "16 in")).text


def test_a_measurement_that_is_no_length_is_refused() -> None:
    problem = complaint(floor_text(), ("box_width", "15 3/8/2"))
    assert "box_width" in problem.text
    assert "is no length" in problem.text


def test_an_unknown_option_of_a_choice_names_the_known_ones() -> None:
    assert "'short' or 'long'" in complaint(floor_text(), ("entrance_side", "left")).text


def test_a_child_build_changes_its_parent_and_keeps_the_rest() -> None:
    child = BuildText(
        "child.yaml",
        "schema: 1\nid: deep-floor\nrevision: 1\nparent: screened-floor\n"
        "title: Deep floor\nsizes:\n  tray_space: 1 1/2 in\nfits:\n  open_entrance:\n",
    )
    parent = BuildText("screened-floor.yaml", floor_text())
    found = resolve_design(child, (parent,), ())
    assert found.build_id == "deep-floor"
    assert dict(found.sizes)["tray_space"].in_inches == 1.5
    assert "open_entrance" not in {fit.name for fit in found.fits}
    assert {"side_rail", "panel"} <= {p.name for p in found.parts}


def test_an_error_in_a_parent_names_the_parents_file() -> None:
    child = BuildText("child.yaml", "schema: 1\nid: c\nrevision: 1\nparent: p\ntitle: C\n")
    parent = BuildText(
        "p.yaml", floor_text().replace("titl: panel", "").replace("landing: 2 in", "landing: x")
    )
    with pytest.raises(BuildFileError) as caught:
        resolve_design(child, (parent,), ())
    assert caught.value.where.file == "p.yaml"


LINES = floor_text().splitlines()


@settings(max_examples=60, deadline=None)
@given(
    st.integers(0, len(LINES) - 1),
    st.sampled_from(["drop", "double", "cut", "colon", "nan", "huge", "indent", "quote"]),
    st.integers(0, 60),
)
def test_a_mutated_build_is_a_design_or_a_sentence(index: int, how: str, at: int) -> None:
    lines = list(LINES)
    line = lines[index]
    lines[index] = {
        "drop": "",
        "double": f"{line}\n{line}",
        "cut": line[:at],
        "colon": line.replace(":", "", 1),
        "nan": line[:at] + " nan",
        "huge": line[:at] + " 999999999999 in",
        "indent": "   " + line,
        "quote": line[:at] + '"' + line[at:],
    }[how]
    said, line_number = "a design", 1
    try:
        resolve_design(BuildText("b.yaml", "\n".join(lines)), (), ())
    except BuildFileError as problem:
        said, line_number = problem.text, problem.where.line
    assert said
    assert line_number > 0


def chosen_text() -> str:
    """The floor with a choice: a solid floor has no screen, no strips, and no step for them."""
    text = floor_text().replace(
        "choices:\n",
        "choices:\n  floor:\n    prompt: Screen or solid?\n    usual: screen\n"
        "    options: {screen: wire cloth, solid: none}\n",
    )
    for part in ("screen", "side_strip", "cross_strip"):
        text = text.replace(
            f"  {part}:\n    title", f"  {part}:\n    when: floor is screen\n    title"
        )
    for step in ("screen/lay_cloth", "screen/tack_strips", "screen/corner_screws"):
        text = text.replace(f"  {step}:\n", f"  {step}:\n    when: floor is screen\n")
    return text.replace("  way_in:\n", "  way_in:\n    when: floor is screen\n")


def test_a_choice_brings_and_takes_away_parts_fits_and_steps() -> None:
    build = BuildText("b.yaml", chosen_text())
    both = {kind: resolve_design(build, (), (("floor", kind),)) for kind in ("screen", "solid")}
    names = {kind: {part.name for part in found.parts} for kind, found in both.items()}
    assert names["screen"] - names["solid"] == {"screen", "side_strip", "cross_strip"}
    steps = {kind: {k.id for k in found.outline.kinds} for kind, found in both.items()}
    assert steps["screen"] - steps["solid"] == {
        "screen/lay_cloth", "screen/tack_strips", "screen/corner_screws"
    }  # fmt: skip
    assert "way_in" not in {fit.name for fit in both["solid"].fits}
    order = dict(zip([k.id for k in both["solid"].outline.kinds], both["solid"].outline.needs,
                     strict=True))  # fmt: skip
    assert "screen/corner_screws" not in order["close/entrance_block"]


def test_a_when_that_is_no_condition_is_refused() -> None:
    text = chosen_text().replace("when: floor is screen", "when: landing", 1)
    assert "must be a condition" in complaint(text).text


@pytest.mark.parametrize(
    ("old", "new", "hint"),
    [
        ("pitch: 1 in}", "pitch: 1/8 in}", "run into each other"),
        ("into: side_rail, clear: clear_width", "into: side_rail, clear: 0 in", "more than 0"),
        ("    role: close\n    closes: tray/spread\n", "", "nothing closes it"),
        ("closes: glue/spread_right", "closes: glue/spread_left", "two steps close it|nothing"),
    ],
)
def test_what_would_go_wrong_on_the_bench_is_refused_on_the_page(
    old: str, new: str, hint: str
) -> None:
    import re

    text = floor_text()
    assert old in text
    assert re.search(hint, complaint(text.replace(old, new, 1)).text)
