"""How much a fit moves with each size: exact where it is linear, and no size moves another."""

from __future__ import annotations

from random import Random

import pytest

from shopstep.design.build_file import BuildFile, read_build_file
from shopstep.design.choosing import keep_chosen
from shopstep.design.expression import Value, parse_expression
from shopstep.design.inputs import define_inputs
from shopstep.design.joints import define_joints
from shopstep.design.parts import define_materials, define_parts
from shopstep.design.resolve import resolve_design
from shopstep.design.values import Values
from shopstep.model.lever import Lever, Origin, SizeKind
from shopstep.model.plan import BuildFileError, BuildText, Fit
from shopstep.units import Length
from tests.floor import floor_text
from tests.shelf_builds import BUILDS, build_texts, shelf_fits

inch = Length.inches


def floor_fit(name: str, *given: tuple[str, str], text: str | None = None) -> Fit:
    """One fit of the floor."""
    build = BuildText("floor.yaml", floor_text() if text is None else text)
    return next(each for each in resolve_design(build, (), given).fits if each.name == name)


def levers(fit: Fit) -> dict[str, Lever]:
    """The levers of a fit by name."""
    return {each.name: each for each in fit.levers}


def with_value(expression: str) -> str:
    """The floor with another expression for the way of the panel in its groove."""
    old = "value: panel_in_sides.channel - panel_thickness"
    assert old in floor_text()
    text = floor_text().replace(old, f'value: "{expression}"')
    return text.replace("least: 1/64 in\n    most: 1/32 in", "least: -9 in\n    most: 99 in")


def named_values(name: str) -> tuple[BuildFile, Values]:
    """A shipped build with all its names, worked out without its fits."""
    build, parents = build_texts(name)
    file = read_build_file(build, parents)
    values = Values(file.source)
    define_inputs(file, values, (), "in")
    for size, text in file.entry.sizes.items():
        values.define_text(size, text, ("sizes", size))
    file = keep_chosen(file, values)
    define_materials(file, values)
    define_parts(file, values, {})
    define_joints(file, values)
    return file, values


@pytest.mark.parametrize("name", BUILDS)
def test_the_levers_foretell_what_the_expression_itself_gives(name: str) -> None:
    file, values = named_values(name)
    chance = Random(7)
    for fit in shelf_fits(name):
        expression = parse_expression(file.entry.fits[fit.name].value)
        for _ in range(5):
            moved = {each.name: chance.randint(-99_999, 99_999) for each in fit.levers}

            def lookup(asked: str, moved: dict[str, int] = moved) -> Value:
                value = values.lookup(asked)
                off = moved.get(asked, 0)
                return Length(value.nm + off) if isinstance(value, Length) else value

            found = expression.value(lookup)
            assert isinstance(found, Length)
            foretold = fit.value.nm + sum(e.ratio * moved[e.name] for e in fit.levers)
            assert found.nm == pytest.approx(foretold, abs=3), fit.name


def test_a_shift_in_one_size_leaves_its_neighbours_alone() -> None:
    """The channel is cut to its planned width, whatever the plywood came out as."""
    ratios = {name: each.ratio for name, each in levers(floor_fit("panel_slides")).items()}
    assert ratios == {"panel_in_sides.channel": 1.0, "panel_thickness": -1.0}


@pytest.mark.parametrize(
    ("expression", "ratios"),
    [
        ("(door.width - 1/2 in)/2", {"door.width": 0.5}),
        ("2*board_thickness - foot/3", {"board_thickness": 2.0, "foot": -1 / 3}),
        ("board_thickness - board_thickness + foot", {"foot": 1.0}),
        ("if entrance_side is short then foot else lip", {"foot": 1.0}),
        ("max(foot, lip) + 0*bearer", {"foot": 1.0}),
        ("min(bearer, foot)", {"bearer": 1.0, "foot": 1.0}),
        ("10 in/vent_holes + foot", {"foot": 1.0}),
    ],
)
def test_ratios_are_exact_where_the_expression_is_straight(
    expression: str, ratios: dict[str, float]
) -> None:
    found = levers(floor_fit("panel_slides", text=with_value(expression)))
    assert {name: each.ratio for name, each in found.items()} == pytest.approx(ratios, abs=1e-12)


@pytest.mark.parametrize(
    ("fit", "lever", "kind", "title", "across"),
    [
        ("panel_slides", "panel_in_sides.channel", SizeKind.GROOVE_WIDTH,
         "width of the panel's groove", True),
        ("panel_bears", "groove_depth", SizeKind.GROOVE_DEPTH,
         "depth of the panel's groove", True),
        ("panel_bears", "panel_in_sides.play", SizeKind.CLEARANCE, "play of the panel", False),
        ("stands_on_rails", "foot", SizeKind.GROOVE_PLACE, "place of the panel's groove", True),
        ("mouse_gate", "entrance_height", SizeKind.NOTCH,
         "height of the opening in the entrance block", True),
        ("tray_slides", "way", SizeKind.CROSSCUT, "length of the back rail", False),
        ("tray_slides", "tray.width", SizeKind.SHEET_CUT, "width of the tray", False),
        ("door_slides", "door.width", SizeKind.RIP, "width of the rear door", True),
        ("tray_level", "runner.thickness", SizeKind.THIN_RIP, "thickness of the runner", True),
        ("way_in", "floor_level", SizeKind.PLACE, "floor level", False),
    ],
)  # fmt: skip
def test_a_name_stands_for_what_it_is_used_for(
    fit: str, lever: str, kind: SizeKind, title: str, across: bool
) -> None:
    found = levers(floor_fit(fit))[lever]
    assert (found.kind, found.title, found.across_grain) == (kind, title, across)
    assert found.origin is Origin.CUT


def test_a_check_of_the_steps_is_known_to_hold_its_size() -> None:
    assert levers(floor_fit("door_slides"))["tray_space"].held == inch("1/64")
    assert levers(floor_fit("door_slides"))["door.width"].held is None


def test_a_measured_thickness_is_a_reading_and_a_usual_one_is_the_stock_as_bought() -> None:
    usual = levers(floor_fit("panel_slides"))["panel_thickness"]
    assert (usual.kind, usual.origin) == (SizeKind.SHEET_THICKNESS, Origin.BOUGHT)
    taken = floor_fit("panel_slides", ("panel_thickness", "29/64 in"))
    read = levers(taken)["panel_thickness"]
    assert (read.kind, read.origin, read.value) == (
        SizeKind.READING, Origin.MEASURED, inch("29/64"),
    )  # fmt: skip
    by_material = with_value("board.thickness - foot")
    board = floor_fit("panel_slides", ("board_thickness", "3/4 in"), text=by_material)
    assert levers(board)["board.thickness"].kind is SizeKind.READING


def test_a_box_that_nobody_measured_is_equipment_as_bought() -> None:
    box = levers(floor_fit("panel_slides", text=with_value("box_width - foot")))["box_width"]
    assert (box.kind, box.origin, box.title) == (
        SizeKind.EQUIPMENT, Origin.BOUGHT, "box width",
    )  # fmt: skip


def test_an_expression_that_fails_beside_its_planned_sizes_names_its_line() -> None:
    at_zero = with_value("foot*(foot/(foot - 1/2 in + 720720/1000000*1 mm))")
    with pytest.raises(BuildFileError, match="divided by zero") as caught:
        floor_fit("panel_slides", text=at_zero)
    assert "panel_slides" in floor_text().splitlines()[caught.value.where.line - 4]
