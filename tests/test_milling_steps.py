"""Steps of the milling: counts, words, marks for left and right, guards back on."""

from __future__ import annotations

import re

import pytest

from shopstep.milling import derive_steps, plan_milling
from shopstep.milling.drafts import GUARD_OFF
from shopstep.milling.times import PACES, estimate_s
from shopstep.milling.wordings import WORDINGS
from shopstep.model.feature import Face, Groove, Notch
from shopstep.model.part import Hand, Part
from shopstep.model.step import Scope, Source, Step, StepKind
from shopstep.stock import plan_stock
from shopstep.units import ZERO, Angle, Length
from tests.sample_floor import KERF, MATERIALS, PARTS, UNITS, X, Y, Z, inch, piece

Derived = tuple[tuple[StepKind, ...], tuple[Step, ...]]


def derive(parts: tuple[Part, ...] = PARTS, units: int = UNITS, display: str = "in") -> Derived:
    """The steps of some parts."""
    milling = plan_milling(parts, MATERIALS, units, KERF)
    stock = plan_stock(milling.blanks, MATERIALS, (), KERF, display)
    return derive_steps(milling, parts, display, stock.pieces)


def kinds_by_id(derived: Derived) -> dict[str, StepKind]:
    """Step kinds by their ids."""
    return {kind.id: kind for kind in derived[0]}


def before(steps: tuple[Step, ...]) -> dict[str, set[str]]:
    """For each step all steps that must be done before it, directly or not."""
    reached: dict[str, set[str]] = {}
    for step in steps:
        reached[step.id] = set(step.needs)
        for need in step.needs:
            reached[step.id] |= reached[need]
    return reached


def check_guard(derived: Derived) -> None:
    """In every order that keeps the needs, no through-cut falls into a time without guard."""
    kinds = kinds_by_id(derived)
    saw = [step for step in derived[1] if kinds[step.kind].tool == "table_saw"]
    reached = before(derived[1])
    off: list[str] = []
    for step in saw:
        stage = kinds[step.kind].stage
        if stage in GUARD_OFF:
            off.append(step.id)
        elif stage == "guard":
            assert off
            assert set(off) <= reached[step.id]
            later = [other.id for other in saw[saw.index(step) + 1 :]]
            assert all(step.id in reached[other] for other in later)
            earlier = [other.id for other in saw[: saw.index(step)] if other.id not in off]
            assert all(set(earlier) <= reached[one] for one in off)
            off = []
        else:
            assert not off, f"{step.id} comes before the guard is back"
    assert not off


def test_each_setup_is_one_batch_step_with_its_settings_and_pieces() -> None:
    milling = plan_milling(PARTS, MATERIALS, UNITS, KERF)
    kinds = kinds_by_id(derive())
    counts = {op.id: op.count for op in milling.operations}
    for setup in milling.setups:
        kind = kinds[setup.id]
        pieces = sum(counts[name] for name in setup.operations)
        values = [number.value for number in kind.numbers]
        told = [*(setting.value for setting in setup.settings), pieces]
        assert values[: len(told)] == told
        assert (kind.scope, kind.source, kind.tool) == (Scope.BATCH, Source.DERIVED, setup.tool)
        assert kind.numbers[len(told) - 1].label == ("piece" if pieces == 1 else "pieces")
        assert kind.cautions == ()
        assert kind.duration_s == estimate_s(setup.kind, pieces)


def test_steps_come_after_what_they_need_and_belong_to_the_whole_batch() -> None:
    kinds, steps = derive()
    seen: set[str] = set()
    for kind, step in zip(kinds, steps, strict=True):
        assert step.id == f"all/{kind.id}"
        assert (step.kind, step.unit) == (kind.id, None)
        assert set(step.needs) <= seen
        assert len(set(step.needs)) == len(step.needs)
        seen.add(step.id)


def test_steps_at_one_machine_take_that_machine() -> None:
    kinds, steps = derive()
    for kind, step in zip(kinds, steps, strict=True):
        machine = kind.tool in ("table_saw", "drill_press")
        assert step.resources == ((kind.tool,) if machine else ())


def test_the_guard_is_put_back_at_once_and_no_through_cut_falls_in_between() -> None:
    """29 CFR 1910.213(c)(2), from memory: replaced immediately after the operation."""
    derived = derive()
    guards = [kind.id for kind in derived[0] if kind.stage == "guard"]
    assert guards == ["guard/refit-notch-entrance_block"]
    check_guard(derived)


def test_before_the_riving_knife_goes_on_the_dado_set_and_the_fence_board_are_off() -> None:
    """Common practice, no source: the knife fits the blade, and the fence reads from its face."""
    (refit,) = (kind for kind in derive()[0] if kind.stage == "guard")
    dado, knife = refit.text.index("dado set out"), refit.text.index("Riving knife")
    assert refit.text.index("Unplug") < dado < knife
    assert "scrap board off" in refit.text
    assert "Saw blade in" in refit.checks[0].text


def test_a_rip_asks_for_a_straight_edge_also_where_none_was_cut_fresh() -> None:
    """Common practice, no source: a crooked edge turns the board at the fence."""
    rips = [kind for kind in derive()[0] if kind.stage == "rip"]
    assert rips
    for kind in rips:
        assert "Straight edge to the fence." in kind.text
        assert "resh" not in kind.text


def test_every_run_without_guard_has_its_own_refit() -> None:
    slot = Groove("slot", Face.TOP, Face.LEFT, inch("1"), inch("1/4"), inch("1/4"), ZERO, ZERO)
    way = Notch("way", Face.TOP, Face.LEFT, inch("1"), inch("1/4"))
    stub = piece("stub", ("6", "2", "3/4"), (X, Y, Z), (("0", "0", "0"),), slot, way)
    derived = derive((stub,))
    assert [kind.stage for kind in derived[0]] == [
        "rough_cut",
        "edge",
        "rip",
        "groove",
        "guard",
        "crosscut",
        "notch",
        "guard",
    ]
    check_guard(derived)


def test_setups_without_guard_and_the_refit_follow_each_other_at_once() -> None:
    _, steps = derive()
    bare = [step for step in steps if step.kind.split("/")[0] in (*GUARD_OFF, "guard")]
    assert [step.behind for step in bare] == [None, *(step.id for step in bare[:-1])]
    assert bare[-1].kind.startswith("guard/")


def test_left_and_right_are_marked_before_the_first_feature_is_cut() -> None:
    kinds, steps = derive()
    mark = next(kind for kind in kinds if kind.stage == "mark")
    assert mark.id == "mark/side_rail"
    assert [(n.label, n.value) for n in mark.numbers] == [("left", 2), ("right", 2)]
    assert mark.text == (
        "Lay 4 × side rail in 2 pairs as they will stand, seen from behind, front ends the same "
        "way. Tip each outwards: the face now up is its inside. Write L or R on it near the front "
        "end, with an arrow to the top edge."
    )
    reached = before(steps)
    assert "all/crosscut/side_rail" in reached["all/mark/side_rail"]
    for name in ("all/groove/side_rail", "all/groove/side_rail-2", "all/mitre/side_rail"):
        assert "all/mark/side_rail" in reached[name]


def test_a_handed_part_without_features_is_marked_at_the_end() -> None:
    pair = tuple(
        piece("cheek", ("20", "3", "3/4"), (Z, X, Y), (("0", "0", "0"),), hand=hand)
        for hand in Hand
    )
    kinds, _ = derive(pair)
    assert [kind.id for kind in kinds][2:] == ["rip/cheek", "crosscut/cheek", "mark/cheek"]
    assert "near the top end, with an arrow to the front edge" in kinds[-1].text


def test_a_flat_handed_part_is_not_tipped_over() -> None:
    pair = tuple(
        piece("shelf", ("20", "3", "3/4"), (X, Y, Z), (("0", "0", "0"),), hand=hand)
        for hand in Hand
    )
    text = derive(pair, units=1)[0][-1].text
    assert "in 1 pair as" in text
    assert "Tip" not in text
    assert "near the front end, with an arrow to the inside edge" in text


def test_both_hands_are_looked_at_once_both_have_the_groove() -> None:
    kinds = kinds_by_id(derive())
    left, right = kinds["groove/side_rail"], kinds["groove/side_rail-2"]
    assert (left.title, right.title) == ("Groove the left side rail", "Groove the right side rail")
    assert "mirror_pairs" not in {check.name for check in left.checks}
    checks = {check.name: check.text for check in right.checks}
    assert checks["mirror_pairs"] == (
        "Do 2 left and 2 right lie as mirror images, and stood on the bottom edge, do their "
        "grooves meet?"
    )
    assert "mirror_pairs" in {check.name for check in kinds["mitre/side_rail"].checks}
    assert "mirror_pairs" not in {check.name for check in kinds["groove/back_rail"].checks}


def test_checks_of_the_milling_but_trials_are_answered_with_yes_or_no() -> None:
    checks = [check for kind in derive()[0] for check in kind.checks if check.trial is None]
    assert checks
    assert all(check.value is None and check.text.endswith("?") for check in checks)


def test_numbers_in_words_are_in_the_units_of_the_person() -> None:
    kinds = kinds_by_id(derive(display="mm"))
    assert kinds["rip/side_rail"].title == "Rip to 88.9 mm"
    assert "571.5 mm" in kinds["rip/side_rail"].text
    inches = re.compile(r"\d in\b")
    for kind in kinds.values():
        assert not inches.search(kind.title + kind.text + kind.why), kind.id


def test_an_angle_is_told_in_degrees() -> None:
    kinds = kinds_by_id(derive())
    mitre = kinds["mitre/side_rail"]
    assert "gauge 21.8° off square" in mitre.text
    assert mitre.numbers[0].label == "gauge off square"
    assert isinstance(mitre.numbers[0].value, Angle)


def test_slices_come_before_the_rips_of_the_same_boards_and_short_pieces_first() -> None:
    _, steps = derive()
    reached = before(steps)
    slices = [step.id for step in steps if step.id.startswith("all/slice/")]
    assert len(slices) == 3
    for step in steps:
        if step.id.startswith("all/rip/"):
            assert set(slices) <= reached[step.id]
        if step.id.startswith("all/crosscut/") and step.id != "all/crosscut/panel":
            assert "all/crosscut_hand/turn_button" in reached[step.id]


def test_every_kind_of_work_has_its_words_and_its_pace() -> None:
    assert set(WORDINGS) | {"guard", "mark", "rough_cut", "edge", "plane_board"} == set(PACES)
    assert all(pace.setup_s > 0 for pace in PACES.values())


@pytest.mark.parametrize("units", [1, 2, 24])
def test_ids_of_steps_are_the_same_for_any_batch(units: int) -> None:
    assert [step.id for step in derive(units=units)[1]] == [step.id for step in derive()[1]]


def test_headlines_are_short_enough_for_large_type() -> None:
    assert max(len(kind.title) for kind in derive()[0]) <= 36


def test_no_brace_is_left_in_the_words() -> None:
    for display in ("in", "mm"):
        for kind in derive(display=display)[0]:
            words = [kind.title, kind.text, kind.why, *(check.text for check in kind.checks)]
            assert not any("{" in text or "}" in text for text in words)


def test_lengths_in_numbers_are_exact() -> None:
    kind = kinds_by_id(derive())["slice/runner"]
    assert kind.numbers[0].value == Length.inches("9/32")
    assert kind.numbers[0].label == "block to blade"
