"""Routes and setups: every feature is cut once, in an order that keeps all needs."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopstep.milling import Milling, plan_milling
from shopstep.milling.setups import group_setups
from shopstep.model.feature import Face, Feature, Groove, Holes, Notch
from shopstep.model.operation import Operation
from shopstep.model.part import Hand, Part
from shopstep.model.plan import Level
from shopstep.units import ZERO, Length
from tests.sample_floor import KERF, MATERIALS, PARTS, UNITS, X, Y, Z, bevel, inch, piece

KINDS_OF = {
    "groove": {"groove", "rout", "hand_cut"},
    "bevel": {"bevel_rip", "mitre", "hand_cut"},
    "holes": {"drill"},
    "notch": {"notch", "hand_cut"},
}
GIVES_LENGTH = ("crosscut", "crosscut_hand", "straightedge", "shear")


@pytest.fixture(scope="module")
def milling() -> Milling:
    return plan_milling(PARTS, MATERIALS, UNITS, KERF)


def of_part(milling: Milling, name: str) -> list[Operation]:
    """The operations of one part, in order."""
    return [op for op in milling.operations if op.part == name]


def plan_one(part: Part) -> Milling:
    """The milling of one part alone."""
    return plan_milling((part,), MATERIALS, 1, KERF)


def check_order(milling: Milling) -> None:
    """Each operation is in one setup, after all its needs; settings are those of the setup."""
    operations = {op.id: op for op in milling.operations}
    assert len(operations) == len(milling.operations)
    done: set[str] = set()
    for setup in milling.setups:
        for name in setup.operations:
            op = operations[name]
            assert (op.kind, op.tool, op.settings) == (setup.kind, setup.tool, setup.settings)
            assert set(op.needs) <= done
            done.add(name)
    assert done == set(operations)
    assert len({setup.id for setup in milling.setups}) == len(milling.setups)


def check_features_covered(parts: tuple[Part, ...], milling: Milling) -> None:
    """One operation for each feature of each part, by its name and kind."""
    for part in parts:
        own = [op for op in milling.operations if (op.part, op.hand) == (part.name, part.hand)]
        for feature in part.features:
            kinds = KINDS_OF[feature.kind]
            cuts = [op for op in own if op.kind in kinds and op.id.endswith(f"/{feature.name}")]
            cuts = [c for c in cuts if c.kind != "hand_cut" or f"/{feature.kind}/" in c.id]
            assert len(cuts) == 1, feature


def test_the_sample_floor_can_be_milled_without_a_finding(milling: Milling) -> None:
    assert milling.findings == ()
    check_order(milling)
    check_features_covered(PARTS, milling)


def test_every_part_gets_its_length_once_and_all_pieces_of_the_batch(milling: Milling) -> None:
    wanted = {(part.name, part.hand): UNITS * part.count_unit for part in PARTS}
    lengths = [
        op
        for op in milling.operations
        if op.kind in GIVES_LENGTH or (op.id.startswith("sheet_cut/") and op.id.endswith("/length"))
    ]
    assert {(op.part, op.hand): op.count for op in lengths} == wanted
    assert len(lengths) == len(wanted)
    assert {(blank.part, blank.hand): blank.count for blank in milling.blanks} == wanted


def test_there_are_as_many_left_as_right_pieces_in_each_setup(milling: Milling) -> None:
    """But for stopped grooves: there each hand has its own edge at the fence."""
    operations = {op.id: op for op in milling.operations}
    for setup in milling.setups:
        hands = Counter[Hand | None]()
        for name in setup.operations:
            hands[operations[name].hand] += operations[name].count
        stopped = setup.kind == "groove" and any(s.name == "stop" for s in setup.settings)
        assert hands[Hand.LEFT] == hands[Hand.RIGHT] or (stopped and len(hands) == 1)


def test_no_two_setups_have_the_same_settings(milling: Milling) -> None:
    keys = [(setup.kind, setup.tool, setup.settings) for setup in milling.setups]
    assert len(set(keys)) == len(keys)


def test_equal_cuts_of_different_parts_share_one_setup_named_after_the_first(
    milling: Milling,
) -> None:
    setups = {setup.id: setup for setup in milling.setups}
    shared = setups["slice/front_bearer"].operations
    assert shared == (
        "slice/front_bearer",
        "slice/side_bearer",
        "slice/rear_bearer",
        "slice/stiffener",
    )
    assert "rip/side_rail/left" in setups["rip/side_rail"].operations
    assert "rip/back_rail" in setups["rip/side_rail"].operations


def test_slices_come_first_then_rips_and_the_widest_fence_is_the_first_of_them(
    milling: Milling,
) -> None:
    """So a slice falls off a whole board, and not off the narrow strip that is left of it."""
    kinds = [setup.kind for setup in milling.setups]
    slices, rips = kinds.count("slice"), kinds.count("rip")
    assert kinds[: slices + rips] == ["slice"] * slices + ["rip"] * rips
    ripped = milling.setups[slices : slices + rips]
    fences = [s.value.nm for rip in ripped for s in rip.settings if isinstance(s.value, Length)]
    assert fences == sorted(fences, reverse=True)


def test_short_pieces_are_cut_while_the_stick_is_long(milling: Milling) -> None:
    cuts = [s for s in milling.setups if s.kind in ("crosscut", "crosscut_hand")]
    stops = [s.value.nm for cut in cuts for s in cut.settings if isinstance(s.value, Length)]
    assert stops == sorted(stops)
    assert [cut.kind for cut in cuts[:2]] == ["crosscut_hand", "crosscut"]


def test_each_kind_of_setup_stands_in_one_run(milling: Milling) -> None:
    kinds = [setup.kind for setup in milling.setups]
    runs = [kind for place, kind in enumerate(kinds) if place == 0 or kinds[place - 1] != kind]
    assert len(runs) == len(set(runs))


@pytest.mark.parametrize(
    ("size", "kinds", "values", "across"),
    [
        (("20", "3", "3/4"), ["rip", "crosscut"], {"fence": "3", "stop": "20"}, "3"),
        (("20", "3/4", "3/4"), ["rip", "crosscut"], {"fence": "3/4", "stop": "20"}, "3/4"),
        (("20", "3/4", "1/2"), ["slice", "crosscut"], {"stop": "20"}, "1/2"),
        (("20", "1/4", "3/4"), ["slice", "crosscut"], {"stop": "20"}, "1/4"),
        (("20", "2", "1/2"), ["rip", "rip_thin", "crosscut"], {"fence": "1/2", "height": "2"}, "2"),
        (("20", "2", "1/4"), ["rip", "rip_thin", "crosscut"], {"fence": "3/8", "height": "2"}, "2"),
        (("20", "1/2", "1/4"), ["slice", "rip_thin", "crosscut"], {"fence": "3/8"}, "1/2"),
        (("4", "3", "3/4"), ["rip", "crosscut"], {"stop": "4"}, "3"),
        (("3", "1", "3/4"), ["rip", "crosscut"], {"stop": "3"}, "1"),
        (("3/2", "1/4", "3/4"), ["slice", "crosscut_hand"], {"stop": "3/2"}, "1/4"),
    ],
)
def test_the_cross_section_decides_how_a_board_part_is_ripped(
    size: tuple[str, str, str], kinds: list[str], values: dict[str, str], across: str
) -> None:
    milling = plan_one(piece("part", size, (X, Y, Z), (("0", "0", "0"),)))
    assert [op.kind for op in milling.operations] == kinds
    told = {s.name: s.value for op in milling.operations for s in op.settings}
    assert {name: told[name] for name in values} == {n: inch(v) for n, v in values.items()}
    assert milling.blanks[0].rough_width == inch(across)
    assert milling.blanks[0].rough_thickness == inch("3/4")
    check_order(milling)


def test_sheet_and_cloth_are_cut_with_their_own_tools(milling: Milling) -> None:
    assert [(op.kind, op.tool) for op in of_part(milling, "tray")] == [
        ("sheet_cut", "table_saw"),
        ("sheet_cut", "table_saw"),
    ]
    assert [(op.kind, op.tool) for op in of_part(milling, "wire_cloth")] == [("shear", "snips")]
    assert [op.tool for op in of_part(milling, "door")][-1] == "drill_press"


def test_a_stopped_groove_waits_until_the_part_has_its_length(milling: Milling) -> None:
    grooves = [op for op in of_part(milling, "side_rail") if op.kind == "groove"]
    assert [op.needs for op in grooves] == [
        ("crosscut/side_rail/left",),
        ("crosscut/side_rail/right",),
    ]


def short_part(*features: Feature) -> Milling:
    """A board part 6 in long."""
    return plan_one(piece("stub", ("6", "2", "3/4"), (X, Y, Z), (("0", "0", "0"),), *features))


def groove(name: str, stop: str = "0", face: Face = Face.TOP, ref: Face = Face.LEFT) -> Groove:
    """A groove 1/4 wide and deep."""
    return Groove(name, face, ref, inch("1/2"), inch("1/4"), inch("1/4"), inch(stop), ZERO)


def test_a_short_part_gets_its_through_cuts_in_the_long_stick() -> None:
    edge = bevel("edge", Face.TOP, Face.RIGHT, "1/4", "1/4")
    milling = short_part(groove("slot"), edge)
    assert [op.kind for op in milling.operations] == ["rip", "groove", "bevel_rip", "crosscut"]
    assert milling.operations[-1].needs == ("rip/stub", "groove/stub/slot", "bevel_rip/stub/edge")
    check_order(milling)


@pytest.mark.parametrize(("length", "end"), [("6", "0"), ("20", "1")])
def test_a_groove_without_an_open_end_or_in_a_short_part_is_routed(length: str, end: str) -> None:
    """At the saw it would have to be lowered on to the turning blade."""
    slot = replace(groove("slot", "1"), stop_end=inch(end))
    milling = plan_one(piece("stub", (length, "2", "3/4"), (X, Y, Z), (("0", "0", "0"),), slot))
    assert [(op.kind, op.tool) for op in milling.operations[2:]] == [("rout", "router")]
    assert [(f.level, f.rule) for f in milling.findings] == [(Level.WARN, "groove_for_router")]
    assert "rout it" in milling.findings[0].remedy
    check_order(milling)


def test_nothing_is_cut_into_a_tiny_part_at_the_table_saw() -> None:
    cuts: tuple[Feature, ...] = (
        bevel("one", Face.TOP, Face.FRONT, "1/4", "1/4"),
        Notch("one", Face.TOP, Face.LEFT, inch("1/2"), inch("1/4")),
        groove("one", "1"),
    )
    part = piece("button", ("2", "2", "3/4"), (X, Y, Z), (("0", "0", "0"),), *cuts)
    milling = plan_one(part)
    after = milling.operations[1:]
    assert [op.kind for op in after] == ["crosscut_hand", "hand_cut", "hand_cut", "rout"]
    assert all(op.tool != "table_saw" for op in after)
    check_order(milling)
    check_features_covered((part,), milling)


def test_a_bevel_waits_for_what_leans_on_the_faces_that_it_takes_away() -> None:
    edge = bevel("edge", Face.TOP, Face.LEFT, "1/4", "1/4")
    long = piece("long", ("20", "2", "3/4"), (X, Y, Z), (("0", "0", "0"),), edge, groove("slot"))
    milling = plan_one(long)
    needs = {op.kind: op.needs for op in milling.operations}
    assert needs["bevel_rip"] == ("crosscut/long", "groove/long/slot")
    check_order(milling)


def test_left_and_right_must_be_as_many() -> None:
    left = next(part for part in PARTS if part.hand is Hand.LEFT)
    found = plan_one(left).findings
    assert [(f.level, f.rule) for f in found] == [(Level.STOP, "hands_differ")]


def test_a_second_setup_with_the_same_first_part_gets_a_number() -> None:
    part = piece(
        "rail", ("20", "3", "3/4"), (X, Y, Z), (("0", "0", "0"),), groove("one"),
        replace(groove("two"), offset=inch("1")),
    )  # fmt: skip
    assert [s.id for s in plan_one(part).setups][2:] == ["groove/rail", "groove/rail-2"]


def test_needs_that_run_in_a_circle_through_two_setups_split_one_of_them() -> None:
    """Drilled then bevelled in a long part, bevelled then drilled in a short one."""

    def row(count: int) -> Holes:
        return Holes("row", Face.TOP, Face.LEFT, inch("1"), inch("1/4"), count, inch("4"))

    long = piece(
        "long", ("14", "2", "3/4"), (X, Y, Z), (("0", "0", "0"),),
        row(4), bevel("edge", Face.TOP, Face.LEFT, "1/4", "1/4"),
    )  # fmt: skip
    stub = piece(
        "stub", ("10", "2", "3/4"), (X, Y, Z), (("0", "0", "0"),),
        row(3), bevel("edge", Face.TOP, Face.RIGHT, "1/4", "1/4"),
    )  # fmt: skip
    milling = plan_milling((long, stub), MATERIALS, 1, KERF)
    check_order(milling)
    check_features_covered((long, stub), milling)
    keys = Counter((setup.kind, setup.settings) for setup in milling.setups)
    assert sorted(keys.values()) == [*[1] * (len(keys) - 1), 2]


def test_the_long_edge_is_bevelled_before_an_end() -> None:
    cuts = (
        bevel("end", Face.LEFT, Face.FRONT, "1/2", "1/2"),
        bevel("edge", Face.TOP, Face.RIGHT, "1/4", "1/4"),
    )
    milling = plan_one(piece("rail", ("20", "3", "3/4"), (X, Y, Z), (("0", "0", "0"),), *cuts))
    needs = {op.kind: op.needs for op in milling.operations}
    assert needs["mitre"] == ("crosscut/rail", "bevel_rip/rail/edge")


def test_a_thick_slice_runs_between_blade_and_fence() -> None:
    thick = replace(MATERIALS[0], thickness=inch("3/2"))
    part = piece("post", ("20", "3/2", "1"), (X, Y, Z), (("0", "0", "0"),))
    slice_off = plan_milling((part,), (thick,), 1, KERF).operations[0]
    assert slice_off.kind == "rip"
    assert [(s.name, s.value) for s in slice_off.settings] == [("fence", inch("1"))]


def test_operations_that_need_each_other_are_refused() -> None:
    one = Operation("a", "rip", "table_saw", "p", None, 1, (), ("b",), "")
    other = replace(one, id="b", kind="crosscut", needs=("a",))
    with pytest.raises(ValueError, match="need each other in a circle: a, b"):
        group_setups((one, other))


def _features(length: int, width: int) -> st.SearchStrategy[list[Feature]]:
    eighths = st.integers(1, width * 8 - 4).map(lambda n: inch(f"{n}/8"))
    faces = st.sampled_from([(Face.TOP, Face.LEFT), (Face.TOP, Face.RIGHT)])
    ends = st.sampled_from([Face.FRONT, Face.BACK, Face.LEFT, Face.RIGHT])
    stops = st.sampled_from([ZERO, inch("1/2")])
    grooves = st.builds(
        lambda at, ref, a, b: Groove(
            "g", ref[0], ref[1], at, inch("1/4"), inch("1/4"), a, b
        ),
        eighths, faces, stops, stops,
    )  # fmt: skip
    bevels = st.builds(lambda edge: bevel("b", Face.TOP, edge, "1/2", "1/2"), ends)
    holes = st.builds(
        lambda at, ref: Holes("h", ref[0], ref[1], at, inch("1/8"), 1, ZERO), eighths, faces
    )
    notches = st.builds(
        lambda ref: Notch("n", Face.TOP, ref[1], inch(f"{length}/4"), inch("1/4")), faces
    )
    one_each = st.tuples(*(st.none() | kind for kind in (grooves, bevels, holes, notches)))
    return one_each.map(lambda found: [feature for feature in found if feature is not None])


@st.composite
def _random_parts(draw: st.DrawFn) -> tuple[Part, ...]:
    parts = []
    for number in range(draw(st.integers(1, 5))):
        length = draw(st.sampled_from([2, 6, 14, 20]))
        width = draw(st.sampled_from([1, 2, 4]))
        features = draw(_features(length, width))
        size = (str(length), str(width), "3/4")
        parts.append(piece(f"p{number}", size, (X, Y, Z), (("0", "0", "0"),), *features))
    return tuple(parts)


@given(_random_parts())
@settings(max_examples=60, deadline=None)
def test_any_parts_are_cut_once_and_in_an_order_that_keeps_all_needs(
    parts: tuple[Part, ...],
) -> None:
    milling = plan_milling(parts, MATERIALS, 3, KERF)
    assert not [finding for finding in milling.findings if finding.level is Level.STOP]
    check_order(milling)
    check_features_covered(parts, milling)
