"""Making just some of the parts: what is cut, which steps stay, and what is said of the rest."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.model.codec import decode, encode
from shopstep.model.plan import BuildFileError, Plan, PlanRequest
from shopstep.model.step import GlueRole, Source
from shopstep.planner import make_plan, revise
from tests.floor import BEGIN_S, SHOP, floor_plan, floor_request, floor_text
from tests.schedule_checker import violations


def plan_of(*only: str, text: str | None = None) -> Plan:
    """The floor's plan for some of its parts."""
    return make_plan(replace(floor_request(text=text), only=only))


def authored(plan: Plan) -> list[str]:
    """Ids of the step kinds that come from the build file."""
    return [kind.id for kind in plan.kinds if kind.source is Source.AUTHORED]


def test_only_the_named_parts_are_cut_and_bought() -> None:
    plan = plan_of("door", "tray")
    assert {part.name for part in plan.parts} == {"door", "tray"}
    assert {cut.part for piece in plan.stock for cut in piece.cuts} == {"door", "tray"}
    assert {operation.part for operation in plan.operations} == {"door", "tray"}
    assert {line.item for line in plan.buy if line.unit == "can"} == set()


def test_a_named_part_is_as_large_as_in_the_whole_and_so_is_the_finished_thing() -> None:
    whole = {part.name: part for part in floor_plan().parts}
    plan = plan_of("door", "tray")
    assert all(part == whole[part.name] for part in plan.parts)
    assert plan.overall == floor_plan().overall
    assert [fit.name for fit in plan.fits] == [fit.name for fit in floor_plan().fits]


def test_steps_that_have_no_other_part_in_hand_stay() -> None:
    """By hand, from the build file: all steps whose parts are the tray and its pull alone."""
    plan = plan_of("tray", "tray_pull")
    assert authored(plan) == ["tray/spread", "tray/close", "close/tray"]
    kinds = {kind.id: kind for kind in plan.kinds}
    assert kinds["tray/spread"].role is GlueRole.SPREAD
    assert {wait.kind for wait in plan.waits} == {"open", "clamp"}


@pytest.mark.parametrize(
    "only", [("tray",), ("door", "tray"), ("runner", "stiffener"), ("side_rail",), ("screen",)]
)
def test_what_stays_is_a_plan_of_its_own_that_breaks_no_rule(only: tuple[str, ...]) -> None:
    plan = plan_of(*only)
    ids = {step.id for step in plan.steps}
    assert all(set(step.needs) <= ids for step in plan.steps)
    assert violations(plan.steps, plan.steps, plan.waits, plan.holds, SHOP, BEGIN_S) == []
    for kind in plan.kinds:
        assert set(kind.parts) <= set(only), kind.id


def test_glue_that_nobody_closes_is_not_spread() -> None:
    """The stiffener's glue is closed on the panel; the runners' is closed on what is there."""
    text = floor_text()
    a = text.index("  bearers/close_runners:")
    broken = text[:a] + text[a:].replace("    parts: [runner]\n", "    parts: [runner, panel]\n", 1)
    assert "bearers/spread_runners" in authored(plan_of("runner"))
    assert not [k for k in authored(plan_of("runner", text=broken)) if "runner" in k]


def test_a_step_without_parts_stays_where_what_it_follows_stays() -> None:
    every = tuple(dict.fromkeys(part.name for part in floor_plan().parts))
    assert authored(plan_of(*every)) == authored(floor_plan())
    small = plan_of("door", "turn_button", "entrance_block", "door_cloth")
    kept = authored(small)
    assert {"small/first", "small/second", "door/cloth", "close/door"} <= set(kept)
    assert "plane/flush" not in kept
    assert "paint/chalk" not in kept


def test_what_is_left_out_is_told_with_the_other_parts_in_hand() -> None:
    (note,) = [f for f in plan_of("door", "tray").findings if f.rule == "only_left_out"]
    assert "'Hang the door' (with turn button)" in note.text
    assert "Try the tray" not in note.text
    assert not [f for f in plan_of("tray", "tray_pull").findings if f.rule == "only_left_out"]


def test_steps_keep_their_order_through_what_is_left_out() -> None:
    plan = plan_of("door", "turn_button", "entrance_block", "tray", "tray_pull", "door_cloth")
    needs = {step.id: step.needs for step in plan.steps}
    assert "u1/close/tray" in needs["u1/close/door"]
    assert "u1/close/entrance_block" in needs["u1/close/tray"]


def test_a_part_that_is_not_there_names_the_nearest() -> None:
    with pytest.raises(BuildFileError, match="did you mean 'door'") as caught:
        plan_of("dor")
    assert caught.value.where.file == "--only"


def test_a_session_of_some_parts_is_planned_anew_for_the_same_parts() -> None:
    request = replace(floor_request(), only=("tray", "tray_pull"))
    plan = make_plan(request)
    first = plan.steps[0]
    again = revise(request, plan, {first.id: (first.start_s, first.end_s)}, first.end_s + 600)
    assert {step.id for step in again.steps} == {step.id for step in plan.steps}


def test_a_request_that_was_stored_before_there_was_a_choice_of_parts_asks_for_all() -> None:
    stored = encode(floor_request())
    del stored["only"]
    assert decode(PlanRequest, stored).only == ()
