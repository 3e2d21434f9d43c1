"""Batches of the shipped floor: few evenings, beside the labour and beside simpler ways."""

from __future__ import annotations

import pytest

from shopstep.planner import make_plan
from tests.benchmarks.batches import by_rule, copied, count_evenings, work_of
from tests.floor import SHOP, floor_request
from tests.labour import labour_bound


@pytest.mark.parametrize("units", [12, 24])
def test_a_batch_takes_few_evenings(units: int) -> None:
    plan = make_plan(floor_request(units=units))
    alone = make_plan(floor_request(units=1))
    evenings = count_evenings(plan.steps)
    assert plan.least_evenings <= evenings <= labour_bound(plan.steps, SHOP) + 1
    assert evenings <= by_rule("step after step", work_of(plan))
    assert evenings <= by_rule("unit after unit", work_of(plan))
    each_for_itself = by_rule("unit after unit", copied(alone, units))
    assert evenings <= 0.7 * each_for_itself
