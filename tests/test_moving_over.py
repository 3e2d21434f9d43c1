"""A session whose build file changed: kept, looked at, or moved over with what is cut as it is."""

from __future__ import annotations

import pytest

from shopstep.model.bench import CUT_MISFIT
from shopstep.model.plan import Plan
from shopstep.present.change_text import change_lines
from shopstep.session import commands as c
from shopstep.session import events as e
from shopstep.session.commands import Refusal
from shopstep.storage.clock import FixedClock
from shopstep.storage.state_text import read_state, write_state
from shopstep.units import parse_length
from shopstep.workbench import Accepted, Workbench
from tests.floor import floor_request, floor_text
from tests.session_bench import new_id
from tests.test_following import open_bench, put_right_steps, walk

TALLER = floor_text().replace("tray_space: 1 in\n", "tray_space: 1 1/4 in\n")
"""The tray gets a quarter of an inch more: rails, heads and door grow with it."""


def move_to(text: str) -> c.MoveToBuild:
    """The command."""
    return c.MoveToBuild(id=new_id(), build_digest="d" * 64, texts=(("floor.yaml", text),))


def moved(bench: Workbench, text: str) -> Accepted:
    """Moves, which must be carried out."""
    outcome = bench.move(move_to(text))
    assert isinstance(outcome, Accepted), outcome
    return outcome


def cutting_steps(plan: Plan, part: str) -> list[str]:
    """Ids of the batch steps that cut a part."""
    own = {op.id for op in plan.operations if op.part == part}
    return [f"all/{setup.id}" for setup in plan.setups if own & set(setup.operations)]


def cut(bench: Workbench, clock: FixedClock, part: str) -> None:
    """Works on until a part is cut to its end."""
    for step in cutting_steps(bench.plan, part):
        walk(bench, clock, step)


def test_before_anything_is_cut_all_parts_follow_the_changed_build() -> None:
    bench, _ = open_bench(floor_request(units=1))
    outcome = moved(bench, TALLER)
    kinds = [type(envelope.event) for envelope in outcome.envelopes]
    assert kinds == [e.BuildMoved, e.PlanRevised]
    rail = next(part for part in bench.plan.parts if part.name == "side_rail")
    # by hand: 1/2 + 33/64 + 1/4 = 1 17/64, up to 1 5/16; with 1 1/4, 1/2, 1/32, 1/4 and 3/4
    old = next(part for part in open_bench(floor_request(units=1))[0].plan.parts)
    assert rail.width - old.width == parse_length("1/4 in")
    assert put_right_steps(bench.plan) == []
    assert bench.state.build_digest == "d" * 64


def test_what_is_cut_stays_as_it_was_cut_and_is_named() -> None:
    bench, clock = open_bench(floor_request(units=1))
    cut(bench, clock, "side_rail")
    before = next(part for part in bench.plan.parts if part.name == "side_rail")
    outcome = moved(bench, TALLER)
    after = next(part for part in bench.plan.parts if part.name == "side_rail")
    assert (after.length, after.width) == (before.length, before.width)
    named = [f.text for f in bench.plan.findings if f.rule == CUT_MISFIT]
    assert any("The side rail is cut" in text and "1/4 in too narrow" in text for text in named)
    assert "all/putright/side_rail" in put_right_steps(bench.plan)
    assert "it follows the build file as it stands now" in outcome.card.notice
    assert "side rail" in outcome.card.notice


def test_no_step_that_is_done_stands_for_a_part_that_is_not_cut() -> None:
    bench, clock = open_bench(floor_request(units=1))
    walk(bench, clock, "all/rip/back_rail")
    old = {setup.id: set(setup.operations) for setup in bench.plan.setups}
    # the rear head comes to the fence that the back rail was ripped at, and was not ripped then
    back = next(part for part in bench.plan.parts if part.name == "back_rail")
    text = floor_text().replace(
        "    width: rail_height - sill - tray_space\n", f"    width: {back.width.in_inches} in\n"
    )
    moved(bench, text)
    done = bench.state.finished
    for setup in bench.plan.setups:
        if f"all/{setup.id}" in done:
            assert set(setup.operations) <= old[setup.id], setup.id
    for operation in bench.plan.operations:
        setups = [s.id for s in bench.plan.setups if operation.id in s.operations]
        assert len(setups) == 1, operation.id
    walk(bench, clock, "all/" + next(s for s in setups_of(bench.plan, "rip/rear_head")))


def setups_of(plan: Plan, operation: str) -> list[str]:
    """Ids of the setups that hold an operation."""
    return [setup.id for setup in plan.setups if operation in setup.operations]


def test_a_moved_session_comes_to_its_end() -> None:
    bench, clock = open_bench(floor_request(units=1))
    cut(bench, clock, "tray")
    moved(bench, TALLER)
    walk(bench, clock, "")
    assert bench.card().mode.value == "complete"


def test_a_later_fact_is_planned_from_the_moved_build() -> None:
    bench, _ = open_bench(floor_request(units=1))
    moved(bench, TALLER)
    noted = bench.do(c.NoteConditions(id=new_id(), temperature_c=25.0, humidity_percent=40.0))
    assert isinstance(noted, Accepted)
    space = dict(bench.plan.sizes)["tray_space"]
    assert space == parse_length("1 1/4 in")
    assert bench.builds()[0].text == TALLER
    assert read_state(write_state(bench.state)) == bench.state


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (TALLER.replace("foot: 1/2 in", "foot: 5 in"), "is sold as 1×6, 8 ft"),
        (TALLER.replace("foot: 1/2 in", "foot: wide"), "'wide' is not known"),
    ],
)
def test_a_build_that_gives_no_plan_leaves_the_session_as_it_was(text: str, said: str) -> None:
    bench, _ = open_bench(floor_request(units=1))
    before, state = bench.plan, bench.state
    outcome = bench.move(move_to(text))
    assert isinstance(outcome, Refusal)
    assert said in outcome.text
    assert (bench.plan, bench.state) == (before, state)


def test_never_while_glue_is_open() -> None:
    bench, clock = open_bench(floor_request(units=1))
    walk(bench, clock, "u1/glue/spread_left")
    outcome = bench.move(move_to(TALLER))
    assert isinstance(outcome, Refusal)
    assert outcome.rule == "joint_open"


def test_what_it_would_change_can_be_seen_before() -> None:
    bench, clock = open_bench(floor_request(units=1))
    cut(bench, clock, "side_rail")
    state = bench.state
    said = "\n".join(change_lines(bench.plan, bench.plan_moved((("floor.yaml", TALLER),))))
    assert "Cut already" in said
    assert "The side rail is cut" in said
    assert "In this session" in said
    assert bench.state == state
