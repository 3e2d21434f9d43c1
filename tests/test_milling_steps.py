"""Steps of the milling: counts, words, marks for left and right, guards back on."""

from __future__ import annotations

import pytest

from shopstep.milling import derive_steps, plan_milling
from shopstep.milling.drafts import GUARD_OFF
from shopstep.milling.times import PACES, estimate_s
from shopstep.milling.words import WORDINGS
from shopstep.model.feature import Face, Groove
from shopstep.model.part import Hand, Part
from shopstep.model.step import Scope, Source, Step, StepKind
from shopstep.units import ZERO, Angle, Length
from tests.sample_floor import KERF, MATERIALS, PARTS, UNITS, X, Y, Z, inch, piece

Derived = tuple[tuple[StepKind, ...], tuple[Step, ...]]


def derive(parts: tuple[Part, ...] = PARTS, units: int = UNITS, display: str = "in") -> Derived:
    """The steps of some parts."""
    milling = plan_milling(parts, MATERIALS, units, KERF)
    return derive_steps(milling, parts, units, display)


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
        assert values == [*(setting.value for setting in setup.settings), pieces]
        assert (kind.scope, kind.source, kind.tool) == (Scope.BATCH, Source.DERIVED, setup.tool)
        assert kind.numbers[-1].label == "pieces"
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


def test_every_run_without_guard_has_its_own_refit() -> None:
    slot = Groove("slot", Face.TOP, Face.LEFT, inch("1"), inch("1/4"), inch("1/4"), ZERO, ZERO)
    stop = Groove("stop", Face.TOP, Face.LEFT, inch("1"), inch("1/4"), inch("1/4"), inch("1"), ZERO)
    stub = piece("stub", ("6", "2", "3/4"), (X, Y, Z), (("0", "0", "0"),), slot, stop)
    derived = derive((stub,))
    assert [kind.stage for kind in derived[0]] == [
        "rip",
        "groove",
        "guard",
        "crosscut",
        "groove",
        "guard",
    ]
    check_guard(derived)


def test_left_and_right_are_marked_before_the_first_feature_is_cut() -> None:
    kinds, steps = derive()
    mark = next(kind for kind in kinds if kind.stage == "mark")
    assert mark.id == "mark/side_rail"
    assert [(n.label, n.value) for n in mark.numbers] == [("left", 2), ("right", 2)]
    assert "open book" in mark.text
    assert "2 left and 2 right side rail for 2 units" in mark.text
    reached = before(steps)
    assert "all/crosscut/side_rail" in reached["all/mark/side_rail"]
    for name in ("all/groove/side_rail", "all/mitre/side_rail"):
        assert "all/mark/side_rail" in reached[name]


def test_a_handed_part_without_features_is_marked_at_the_end() -> None:
    pair = tuple(
        piece("cheek", ("20", "3", "3/4"), (Z, X, Y), (("0", "0", "0"),), hand=hand)
        for hand in Hand
    )
    kinds, _ = derive(pair)
    assert [kind.id for kind in kinds] == ["rip/cheek", "crosscut/cheek", "mark/cheek"]
    assert "near the top end, with an arrow to the front edge" in kinds[-1].text


def test_a_flat_handed_part_is_not_tipped_over() -> None:
    pair = tuple(
        piece("shelf", ("20", "3", "3/4"), (X, Y, Z), (("0", "0", "0"),), hand=hand)
        for hand in Hand
    )
    text = derive(pair, units=1)[0][-1].text
    assert "for one unit" in text
    assert "Tip" not in text
    assert "near the front end, with an arrow to the inside edge" in text


def test_the_sentence_lists_left_and_right_apart_with_counts_and_lengths() -> None:
    kinds = kinds_by_id(derive())
    rip = kinds["rip/side_rail"].text
    assert "2 × left side rail 22 1/2 in long, 2 × right side rail 22 1/2 in long" in rip
    assert "2 × back rail 14 3/4 in long" in rip
    groove = kinds["groove/side_rail"].text
    assert "2 × left side rail (back end first" in groove
    assert "2 × right side rail (front end first" in groove
    assert groove.count("inside face down".capitalize()) == 1
    assert "Stop block 20 in, measured at table level" in groove


def test_both_hands_are_looked_at_after_the_groove() -> None:
    kinds = kinds_by_id(derive())
    checks = {check.name: check.text for check in kinds["groove/side_rail"].checks}
    assert checks["mirror_pairs"] == "Do 2 left and 2 right pieces lie as mirror images?"
    assert "mirror_pairs" not in {check.name for check in kinds["groove/back_rail"].checks}


def test_checks_of_the_milling_are_answered_with_yes_or_no() -> None:
    checks = [check for kind in derive()[0] for check in kind.checks]
    assert checks
    assert all(check.value is None and check.text.endswith("?") for check in checks)


def test_numbers_in_words_are_in_the_units_of_the_person() -> None:
    kinds = kinds_by_id(derive(display="mm"))
    assert kinds["rip/side_rail"].title == "Rip to 88.9 mm"
    assert "571.5 mm long" in kinds["rip/side_rail"].text
    assert not any(" in " in kind.title for kind in kinds.values() if "Rip" in kind.title)


def test_an_angle_is_told_in_degrees() -> None:
    kinds = kinds_by_id(derive())
    mitre = kinds["mitre/side_rail"]
    assert "Gauge 21.8° off square" in mitre.text
    assert mitre.numbers[0].label == "gauge off square"
    assert isinstance(mitre.numbers[0].value, Angle)


def test_two_different_stops_are_told_apart() -> None:
    slot = Groove(
        "slot", Face.TOP, Face.LEFT, inch("1"), inch("1/4"), inch("1/4"), inch("1"), inch("2")
    )
    part = piece("rail", ("20", "3", "3/4"), (X, Y, Z), (("0", "0", "0"),), slot)
    kind = kinds_by_id(derive((part,)))["groove/rail"]
    stops = {number.label: number.value for number in kind.numbers}
    assert {stops["stop ahead"], stops["stop behind"]} == {inch("18"), inch("19")}
    assert "Stop blocks: " in kind.text


def test_every_kind_of_work_has_its_words_and_its_pace() -> None:
    assert set(WORDINGS) | {"guard", "mark"} == set(PACES)
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
    kind = kinds_by_id(derive())["rip_thin/runner"]
    assert kind.numbers[0].value == Length.inches("9/32")
    assert kind.numbers[0].label == "block to blade"
