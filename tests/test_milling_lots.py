"""Long machine work in lots: nothing longer than an evening, and no evening with the guard off."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from shopstep.milling.lots import LOT
from shopstep.milling.times import PACES
from shopstep.model.plan import Calendar, Plan
from shopstep.planner import make_plan
from shopstep.present.evenings import plan_evenings
from tests.floor import BEGIN_S, SHOP, floor_plan, floor_request
from tests.schedule_checker import violations

# by hand, from 29 CFR 1910.213(c)(2): cuts that do not go through, for which the guard comes off
OFF = {"groove", "notch", "rabbet", "rabbet_end", "dado", "fingers"}


@pytest.fixture(scope="module")
def fifty() -> Plan:
    """Fifty floors."""
    return make_plan(floor_request(units=50))


def lots_by_step(plan: Plan) -> dict[str, list[str]]:
    """Ids of the lots of each step that is done in lots, the last one (its own id) at the end."""
    lots: dict[str, list[str]] = {}
    for step in plan.steps:
        whole, mark, _ = step.id.partition(LOT)
        if mark and "guard/" not in whole:
            lots.setdefault(whole, []).append(step.id)
    return {whole: [*sorted(ids), whole] for whole, ids in lots.items()}


def test_no_step_takes_more_than_the_shop_is_open(fifty: Plan) -> None:
    assert max(step.duration_s for step in fifty.steps) <= 3 * 3600
    assert lots_by_step(fifty)


def test_the_lots_together_are_all_pieces_each_once(fifty: Plan) -> None:
    made = {kind.id: kind for kind in fifty.kinds}
    kinds = {step.id: made[step.kind] for step in fifty.steps}
    for whole, lots in lots_by_step(fifty).items():
        at = 0
        for number, lot in enumerate(lots, 1):
            assert kinds[lot].title.endswith(f", lot {number} of {len(lots)}")
            told = {n.label: n.value for n in kinds[lot].numbers}
            assert told["from piece"] == at + 1
            assert isinstance(told["to piece"], int)
            at = told["to piece"]
        pieces = at
        for setup in fifty.setups:
            if f"all/{setup.id}" == whole:
                counts = [op.count for op in fifty.operations if op.id in setup.operations]
                assert pieces == sum(counts)


def test_each_lot_sets_the_machine_anew_and_follows_the_one_before(fifty: Plan) -> None:
    steps = {step.id: step for step in fifty.steps}
    kinds = {kind.id: kind for kind in fifty.kinds}
    for whole, lots in lots_by_step(fifty).items():
        pace = PACES[kinds[steps[whole].kind].stage]
        for before, lot in pairwise(lots):
            assert steps[lot].start_s >= steps[before].end_s
        for lot in lots:
            assert (steps[lot].duration_s - pace.setup_s) % pace.piece_s == 0
            assert any(caution.must_ack for caution in kinds[steps[lot].kind].cautions) == any(
                caution.must_ack for caution in kinds[steps[whole].kind].cautions
            )


@pytest.mark.parametrize("units", [2, 12, 24, 50])
def test_no_evening_ends_with_the_guard_off_and_no_through_cut_is_made_without(units: int) -> None:
    plan = floor_plan(units=units)
    stages = {kind.id: (kind.stage, kind.tool) for kind in plan.kinds}
    for evening in plan_evenings(plan):
        is_on = True
        for step in sorted(evening.steps, key=lambda s: s.start_s):
            stage, tool = stages[step.kind]
            if stage == "guard":
                is_on = True
            elif stage in OFF and tool == "table_saw":
                is_on = False
            elif tool == "table_saw":
                assert is_on, step.id
        assert is_on


def test_the_plan_keeps_every_rule(fifty: Plan) -> None:
    assert violations(fifty.steps, fifty.steps, fifty.waits, fifty.holds, SHOP, BEGIN_S) == []


def test_a_shorter_evening_makes_more_lots(fifty: Plan) -> None:
    short = replace(SHOP, calendar=Calendar("UTC", 18 * 60, 19 * 60 + 30, (0, 1, 2, 3, 4, 5, 6)))
    plan = make_plan(floor_request(units=50, shop=short))
    assert max(step.duration_s for step in plan.steps) <= 90 * 60
    assert len(lots_by_step(plan)) > len(lots_by_step(fifty))
    assert violations(plan.steps, plan.steps, plan.waits, plan.holds, short, BEGIN_S) == []


def test_a_small_batch_has_no_lots() -> None:
    assert not any(LOT in step.id for step in floor_plan(units=2).steps)
