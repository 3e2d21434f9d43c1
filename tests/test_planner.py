"""The chain of rooms: one request, one plan; replanning keeps what is done."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.model.codec import to_text
from shopstep.model.plan import BuildFileError, Conditions, PlanRefused
from shopstep.model.step import GlueRole, Source, WaitKind
from shopstep.planner import check_build, make_plan, revise
from tests.floor import BEGIN_S, SHOP, floor_plan, floor_request, floor_text
from tests.schedule_checker import violations


def test_the_same_request_gives_the_same_plan_to_the_letter() -> None:
    assert to_text(make_plan(floor_request())) == to_text(make_plan(floor_request()))


@pytest.mark.parametrize("units", [1, 2, 5])
def test_every_plan_passes_the_independent_checker(units: int) -> None:
    plan = floor_plan(units=units)
    assert violations(plan.steps, plan.steps, plan.waits, plan.holds, SHOP, BEGIN_S) == []


def test_every_step_says_where_it_comes_from_and_has_a_kind() -> None:
    plan = floor_plan()
    kinds = {kind.id: kind for kind in plan.kinds}
    assert {step.kind for step in plan.steps} == set(kinds)
    assert {kind.source for kind in kinds.values()} == {Source.AUTHORED, Source.DERIVED}


def test_a_part_is_cut_before_a_step_takes_it_in_hand() -> None:
    plan = floor_plan()
    parts_of_setup = {
        f"all/{setup.id}": {op.part for op in plan.operations if op.id in setup.operations}
        for setup in plan.setups
    }
    place = {step.id: i for i, step in enumerate(plan.steps)}
    kinds = {kind.id: kind for kind in plan.kinds}
    for step in plan.steps:
        for setup, parts in parts_of_setup.items():
            if kinds[step.kind].source is Source.AUTHORED and parts & set(kinds[step.kind].parts):
                assert place[setup] < place[step.id], (setup, step.id)


def test_square_and_tack_follow_the_closing_without_a_gap() -> None:
    plan = floor_plan()
    ends = {step.id: step.end_s for step in plan.steps}
    behind = [step for step in plan.steps if step.behind is not None]
    assert {s.kind for s in behind} >= {"glue/square_frame", "glue/tack_frame", "glue/wipe_inside"}
    for step in behind:
        assert step.behind is not None
        assert step.start_s == ends[step.behind]


def test_the_guard_is_back_on_in_the_same_evening_without_a_gap() -> None:
    plan = floor_plan()
    starts = {step.id: step for step in plan.steps}
    (refit,) = [step for step in plan.steps if step.kind.startswith("guard/")]
    last = max(step.end_s for step in plan.steps if step.kind.split("/")[0] in ("groove", "notch"))
    assert refit.start_s == last
    assert refit.behind in starts


def test_every_glue_joint_is_closed_inside_its_open_time() -> None:
    plan = floor_plan()
    steps = {step.id: step for step in plan.steps}
    open_waits = [wait for wait in plan.waits if wait.kind is WaitKind.OPEN]
    closes = [step for step in plan.steps if step.kind.split("/")[1].startswith("close")]
    assert len(open_waits) >= len([s for s in closes if s.kind.startswith("glue")])
    for wait in open_waits:
        assert steps[wait.before].end_s - steps[wait.after].start_s <= wait.seconds


def test_a_warm_dry_shop_shortens_the_open_time_and_can_refuse_the_glue_up() -> None:
    warm = replace(floor_request(), conditions=Conditions(26.0, 50.0))
    usual = next(w for w in floor_plan().waits if w.kind is WaitKind.OPEN)
    wait = next(w for w in make_plan(warm).waits if w.id == usual.id)
    assert wait.seconds < usual.seconds
    hot = replace(floor_request(), conditions=Conditions(38.0, 20.0))
    assert any("the glue is open" in finding.text for finding in check_build(hot))


def test_a_cold_shop_is_refused_and_a_check_says_why() -> None:
    cold = floor_request(temperature_c=8.0)
    with pytest.raises(PlanRefused):
        make_plan(cold)
    assert any("will not bond" in finding.text for finding in check_build(cold))


def test_revising_keeps_the_moments_of_what_is_done_and_the_ids_of_the_rest() -> None:
    request = floor_request()
    plan = make_plan(request)
    finished = {step.id: (step.start_s + 60, step.end_s + 90) for step in plan.steps[:20]}
    begin_s = plan.steps[20].start_s + 3600
    again = revise(request, plan, finished, begin_s)
    assert {s.id for s in again.steps} == {s.id for s in plan.steps}
    for step in again.steps:
        if step.id in finished:
            assert (step.start_s, step.end_s) == finished[step.id]
        else:
            assert step.start_s >= begin_s


def test_a_wait_that_runs_keeps_its_time_when_the_air_changes() -> None:
    request = floor_request()
    plan = make_plan(request)
    close = next(s for s in plan.steps if s.id == "u1/glue/close_right")
    done = {s.id: (s.start_s, s.end_s) for s in plan.steps if s.end_s <= close.end_s}
    colder = replace(request, conditions=Conditions(12.0, 50.0))
    again = revise(colder, plan, done, close.end_s)
    old, new = ({w.id: w.seconds for w in p.waits} for p in (plan, again))
    running = [w.id for w in plan.waits if w.after == close.id]
    assert all(new[wait] == old[wait] for wait in running)
    assert any(new[wait] > old[wait] for wait in old if wait not in running)


def test_steps_that_spread_or_close_name_their_glue() -> None:
    for kind in floor_plan().kinds:
        assert (kind.role is GlueRole.NONE) or kind.glue


@pytest.mark.parametrize(
    ("old", "new", "hint"),
    [
        ("row: pva_crosslinking", "row: pva_crosslinkin", "nearest is 'pva_crosslinking'"),
        ("row: acrylic_paint", "row: acrylic_pain", "nearest is 'acrylic_paint'"),
        ("tool: chisel", "tool: chissel", "chisel"),
    ],
)
def test_a_row_or_tool_that_no_table_has_names_the_nearest(old: str, new: str, hint: str) -> None:
    with pytest.raises(BuildFileError, match=hint):
        make_plan(floor_request(text=floor_text().replace(old, new, 1)))


def test_parts_that_stand_in_the_same_place_are_refused() -> None:
    place = "left: board_thickness, bottom: 0 in}"
    text = floor_text().replace(f"inner_back, {place}", f"inner_back - 3 in, {place}")
    with pytest.raises(PlanRefused) as caught:
        make_plan(floor_request(text=text))
    assert any("back rail" in f.text for f in caught.value.findings)
