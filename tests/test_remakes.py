"""A spoiled piece comes back into the plan: its cuts again, for its unit, while others go on."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache

import pytest

from shopstep.model.plan import Plan, PlanRequest, Remake
from shopstep.model.step import GlueRole, Source
from shopstep.planner import make_plan, revise
from shopstep.present.log import log_lines
from shopstep.session import commands as c
from shopstep.session import events as e
from shopstep.session.commands import Refusal
from shopstep.session.flow import open_joints
from shopstep.session.statuses import Status, step_standing
from shopstep.storage.clock import FixedClock
from shopstep.storage.event_text import EventText, read_event, write_event
from shopstep.units import Length
from shopstep.wiring.late_planner import LatePlanner
from shopstep.workbench import Accepted, Workbench
from tests.floor import BEGIN_S, SHOP, floor_request
from tests.schedule_checker import violations
from tests.session_bench import MemoryJournal, first_events, new_id

LEFT = Remake("side_rail", "left", 2, 2, "split")


@cache
def request() -> PlanRequest:
    """Two floors."""
    return floor_request()


@cache
def plan() -> Plan:
    """Their plan."""
    return make_plan(request())


@cache
def again() -> Plan:
    """The plan with one rail made again, from the beginning."""
    return make_plan(replace(request(), remakes=(LEFT,)))


def added(made: Plan) -> list[str]:
    """Steps that the plan without remakes has not."""
    known = {step.id for step in plan().steps}
    return [step.id for step in made.steps if step.id not in known]


def test_the_milling_of_just_that_piece_comes_back_under_ids_of_its_own() -> None:
    found = added(again())
    assert found
    assert all(step.endswith("~2") for step in found)
    kinds = {kind.id: kind for kind in again().kinds}
    steps = {step.id: step for step in again().steps}
    for step in found:
        kind = kinds[steps[step].kind]
        assert set(kind.parts) <= {"side_rail"}
        assert "unit 2" in kind.text
    stages = {kinds[steps[step].kind].stage for step in found}
    assert {"rip", "crosscut", "groove"} <= stages
    assert "guard" in stages


def test_a_piece_to_cut_it_from_is_in_the_cut_plan() -> None:
    def count(made: Plan) -> int:
        cuts = [cut for piece in made.stock for cut in piece.cuts]
        return sum(1 for cut in cuts if cut.part == "side_rail" and not cut.spare)

    assert count(again()) == count(plan()) + 1


def test_every_power_tool_step_that_comes_back_has_its_caution() -> None:
    for kind in again().kinds:
        if kind.id.endswith("~2") and kind.tool == "table_saw" and kind.stage != "guard":
            assert any(caution.must_ack for caution in kind.cautions), kind.id


def test_only_the_unit_of_the_piece_waits_for_it() -> None:
    made = again()
    kinds = {kind.id: kind for kind in made.kinds}
    for step in made.steps:
        kind = kinds[step.kind]
        waits = any(need.endswith("~2") for need in step.needs)
        if kind.source is Source.AUTHORED:
            assert waits == (step.unit == 2 and "side_rail" in kind.parts), step.id


def test_the_plan_keeps_every_rule_of_the_calendar() -> None:
    made = again()
    assert violations(made.steps, made.steps, made.waits, made.holds, SHOP, BEGIN_S) == []


def test_the_same_request_gives_the_same_plan() -> None:
    assert make_plan(replace(request(), remakes=(LEFT,))) == again()
    assert again().remakes == (LEFT,)


def test_what_is_done_keeps_its_time_when_a_piece_is_made_again_later() -> None:
    first = plan().steps[0]
    finished = {first.id: (first.start_s, first.end_s)}
    made = revise(replace(request(), remakes=(LEFT,)), plan(), finished, first.end_s + 60)
    same = next(step for step in made.steps if step.id == first.id)
    assert (same.start_s, same.end_s) == (first.start_s, first.end_s)


@pytest.fixture
def bench() -> tuple[Workbench, FixedClock]:
    """Two floors at the bench, all rails cut and marked, nothing joined."""
    journal = MemoryJournal.__new__(MemoryJournal)
    journal.plans, journal.stored, journal._request = {1: plan()}, [], request()  # noqa: SLF001
    clock = FixedClock(BEGIN_S)
    journal.append(0, first_events(plan(), BEGIN_S), clock.now(), "bench", "begin")
    made = Workbench(journal, clock, "bench", LatePlanner())
    cut_all(made, clock)
    return made, clock


def cut_all(bench: Workbench, clock: FixedClock) -> None:
    """Does step after step until the side rails are cut to their end."""
    kinds = {kind.id: kind for kind in bench.plan.kinds}
    cuts = {
        step.id
        for step in bench.plan.steps
        if kinds[step.kind].source is Source.DERIVED and "side_rail" in kinds[step.kind].parts
    }
    for _ in range(200):
        if cuts <= bench.state.finished.keys():
            return
        card = bench.card()
        clock.at_s += 30 if any(timer.is_most for timer in card.timers) else 120
        if card.step_id:
            work(bench, card.step_id)
        else:
            clock.at_s += 3600


def work(bench: Workbench, step: str) -> None:
    """Answers, measures and finishes one step."""
    do(bench, c.AcknowledgeCaution(id=new_id(), step=step))
    for check in bench.card().checks:
        if check.expected_nm is not None:
            value = Length(check.expected_nm)
            do(bench, c.TakeMeasure(id=new_id(), step=step, name=check.name, value=value))
    do(bench, c.FinishStep(id=new_id(), step=step))


def do(bench: Workbench, command: c.Command) -> Accepted:
    """A command that must be carried out."""
    outcome = bench.do(command)
    assert isinstance(outcome, Accepted), outcome
    return outcome


def spoil(part: str = "side_rail", hand: str = "left", unit: int = 2) -> c.SpoilPart:
    """The command."""
    return c.SpoilPart(id=new_id(), part=part, hand=hand, unit=unit, reason="split")


def test_at_the_bench_the_fact_is_stored_first_and_then_the_plan(
    bench: tuple[Workbench, FixedClock],
) -> None:
    made, _ = bench
    outcome = do(made, spoil())
    fact, revised = (envelope.event for envelope in outcome.envelopes)
    assert fact == e.PartSpoiled("side_rail", "left", 2, 2, "split")
    assert isinstance(revised, e.PlanRevised)
    assert revised.voided == ()
    assert all(step.endswith("~2") for step in revised.added)
    assert "the left side rail of unit 2 is made again" in outcome.card.notice
    again_spoiled = do(made, spoil(unit=1))
    assert again_spoiled.envelopes[0].event == e.PartSpoiled("side_rail", "left", 1, 3, "split")
    assert {r.number for r in made.plan.remakes} == {2, 3}


def test_the_batch_goes_on_to_its_end_with_the_new_piece(
    bench: tuple[Workbench, FixedClock],
) -> None:
    made, clock = bench
    do(made, spoil())
    done = set()
    for _ in range(600):
        card = made.card()
        if card.mode.is_ended:
            break
        clock.at_s += 30 if any(t.is_most for t in card.timers) else 60
        if card.step_id:
            done.add(card.step_id)
            work(made, card.step_id)
        else:
            clock.at_s += 3600
    assert made.card().mode.value == "complete"
    assert {step for step in done if step.endswith("~2")}


@pytest.mark.parametrize(
    ("command", "rule"),
    [
        (spoil(part="side_rial"), "unknown_part"),
        (spoil(hand=""), "which_hand"),
        (spoil(unit=3), "bad_value"),
    ],
)
def test_what_is_no_piece_is_refused(
    bench: tuple[Workbench, FixedClock], command: c.SpoilPart, rule: str
) -> None:
    outcome = bench[0].do(command)
    assert isinstance(outcome, Refusal)
    assert outcome.rule == rule


def test_a_painted_piece_that_is_made_again_gets_its_coats_again(
    bench: tuple[Workbench, FixedClock],
) -> None:
    """Common practice, no source: two coats on a bare door, also where it is a later door."""
    made, clock = bench
    coats = [f"u2/small/{coat}" for coat in ("first", "second")]
    for _ in range(600):
        if coats[1] in made.state.finished:
            break
        card = made.card()
        clock.at_s += 30 if any(timer.is_most for timer in card.timers) else 60
        if card.step_id:
            work(made, card.step_id)
        else:
            clock.at_s += 3600
    done = dict(made.state.finished)
    assert set(coats) <= done.keys()
    outcome = do(made, spoil("door", "", 2))
    assert "the door of unit 2 is made again" in outcome.card.notice
    assert done.keys() - made.state.finished.keys() == set(coats)
    now_s = made.now_s()
    first = step_standing(made.state, made.plan, coats[0], now_s)
    assert first.status is Status.AGAIN
    steps = {step.id: step for step in made.plan.steps}
    assert any(need.endswith("~2") for need in steps[coats[0]].needs), "cut before it is painted"


def join_unit_one(made: Workbench, clock: FixedClock) -> str:
    """Works on until the first joint of unit 1 is closed; its closing step."""
    kinds = {kind.id: kind for kind in made.plan.kinds}
    joins = [
        step.id
        for step in made.plan.steps
        if step.unit == 1
        and "side_rail" in kinds[step.kind].parts
        and kinds[step.kind].role is GlueRole.CLOSE
    ]
    for _ in range(300):
        if joins[0] in made.state.finished and not open_joints(made.state, made.plan):
            return joins[0]
        card = made.card()
        clock.at_s += 30 if any(timer.is_most for timer in card.timers) else 120
        if card.step_id:
            work(made, card.step_id)
        else:
            clock.at_s += 3600
    raise AssertionError("never joined")


def test_a_piece_that_is_joined_is_asked_about_with_all_that_it_is_joined_to(
    bench: tuple[Workbench, FixedClock],
) -> None:
    made, clock = bench
    join_unit_one(made, clock)
    before = made.state
    outcome = made.do(spoil(unit=1))
    assert isinstance(outcome, Refusal)
    assert outcome.rule == "joined"
    # by hand: rails, back rail, rear head, panel, landing board and front bearer are in the frame
    assert "that is 7 pieces" in outcome.text
    assert outcome.typed == "In words: `spoiled all side_rail left unit 1`."
    assert made.state == before


def test_all_of_it_is_made_again_and_its_steps_come_back(
    bench: tuple[Workbench, FixedClock],
) -> None:
    made, clock = bench
    closed = join_unit_one(made, clock)
    done = dict(made.state.finished)
    outcome = do(made, replace(spoil(unit=1), sure=True))
    pieces = [v.event for v in outcome.envelopes if isinstance(v.event, e.PartSpoiled)]
    assert sorted(f"{p.hand} {p.part}".strip() for p in pieces) == [
        "back_rail",
        "front_bearer",
        "landing_board",
        "left side_rail",
        "panel",
        "rear_head",
        "right side_rail",
    ]
    assert {p.number for p in pieces} == {2}
    assert closed not in made.state.finished
    gone = done.keys() - made.state.finished.keys()
    assert all(step.startswith("u1/") for step in gone)
    assert made.state.again == gone
    for step in gone:
        assert step_standing(made.state, made.plan, step, made.now_s()).status in (
            Status.AGAIN,
            Status.AHEAD,
        )
    assert "7 pieces of unit 1 are made again" in outcome.card.notice
    rips = [step.id for step in made.plan.steps if step.id.endswith("~2") and "/rip/" in step.id]
    first = [step.id for step in plan().steps if "/rip/" in step.id]
    assert len(rips) <= len(first), "what is made at once shares its settings"


def test_the_batch_comes_to_its_end_after_a_whole_frame_was_made_again(
    bench: tuple[Workbench, FixedClock],
) -> None:
    made, clock = bench
    join_unit_one(made, clock)
    do(made, replace(spoil(unit=1), sure=True))
    for _ in range(800):
        card = made.card()
        if card.mode.is_ended:
            break
        clock.at_s += 30 if any(timer.is_most for timer in card.timers) else 60
        if card.step_id:
            work(made, card.step_id)
        else:
            clock.at_s += 3600
    assert made.card().mode.value == "complete"
    assert made.state.again == frozenset()


def test_nothing_is_spoiled_with_its_glue_open(bench: tuple[Workbench, FixedClock]) -> None:
    made, clock = bench
    join_unit_one(made, clock)
    for _ in range(60):
        if open_joints(made.state, made.plan):
            break
        card = made.card()
        clock.at_s += 60 if card.step_id else 3600
        if card.step_id:
            work(made, card.step_id)
    assert open_joints(made.state, made.plan)
    outcome = made.do(replace(spoil(unit=1), sure=True))
    assert isinstance(outcome, Refusal)
    assert outcome.rule == "joint_open"


def test_the_log_tells_what_came_back(bench: tuple[Workbench, FixedClock]) -> None:
    made, clock = bench
    join_unit_one(made, clock)
    do(made, replace(spoil(unit=1), sure=True))
    said = "\n".join(log_lines(made.changes_since(0), made.plan, 200))
    assert "left side rail of unit 1 is made again: split" in said
    assert "steps are to be done again" in said


def test_a_piece_that_is_to_be_made_again_is_not_made_twice(
    bench: tuple[Workbench, FixedClock],
) -> None:
    made, clock = bench
    cut_all(made, clock)
    do(made, spoil())
    twice = made.do(spoil())
    assert isinstance(twice, Refusal)
    assert "is to be made again already" in twice.text
    assert len(made.plan.remakes) == 1
    do(made, spoil(hand="right"))
    do(made, spoil(unit=1))
    assert len(made.plan.remakes) == 3


def test_the_step_at_the_bench_goes_back_where_it_needs_the_spoiled_piece(
    bench: tuple[Workbench, FixedClock],
) -> None:
    made, clock = bench
    for _ in range(200):
        if made.card().step_id == "u1/glue/spread_left":
            break
        clock.at_s += 60
        work(made, made.card().step_id or "")
    before = made.state.at_bench
    assert before == "u1/glue/spread_left"
    outcome = do(made, spoil("panel", "", 1))
    revised = outcome.envelopes[-1].event
    assert isinstance(revised, e.PlanRevised)
    assert revised.returned == ("u1/glue/spread_left",)
    assert made.state.at_bench is None
    assert made.card().step_id != "u1/glue/spread_left"
    old = {k: v for k, v in json.loads(write_event(revised).body).items() if k != "returned"}
    assert read_event(EventText("plan_revised", 1, json.dumps(old))) == replace(
        revised, returned=()
    )
