"""The fewest setups: held against every order of small random work, and shown for six floors."""

from __future__ import annotations

from collections import deque
from random import Random

import pytest

from shopstep.desk import Wish
from shopstep.milling.fewest import fewest_setups, key_of
from shopstep.milling.setups import group_setups
from shopstep.model.operation import Operation, Setting
from shopstep.units import Length
from shopstep.wiring.desks import open_desk
from tests.floor import BEGIN_S


def draw_work(seed: int) -> tuple[Operation, ...]:
    """Up to ten operations at up to four settings, each with needs among those before it."""
    chance = Random(seed)
    settings = chance.randint(1, 4)
    made: list[Operation] = []
    for number in range(chance.randint(1, 10)):
        fence = Setting("fence", Length.inches(chance.randint(1, settings)))
        needs = tuple(o.id for o in made if chance.random() < 0.35)
        made.append(Operation(f"o{number}", "rip", "table_saw", "p", None, 1, (fence,), needs, ""))
    return tuple(made)


def count_by_every_order(operations: tuple[Operation, ...]) -> int:
    """Breadth first over what is done and what the saw is set to, one operation at a time."""
    begin: tuple[frozenset[str], object] = (frozenset(), None)
    counts = {begin: 0}
    queue = deque([begin])
    best: list[int] = []
    while queue:
        state = queue.popleft()
        done, last = state
        if len(done) == len(operations):
            best.append(counts[state])
            continue
        for operation in operations:
            if operation.id in done or not done.issuperset(operation.needs):
                continue
            key = key_of(operation)
            after = (done | {operation.id}, key)
            count = counts[state] + (key != last)
            if count < counts.get(after, 99):
                counts[after] = count
                # nought before one, so that what is taken from the queue is final
                (queue.appendleft if key == last else queue.append)(after)
    return min(best)


@pytest.mark.parametrize("group", range(4))
def test_the_bound_is_the_least_of_every_order_and_the_plan_reaches_it(group: int) -> None:
    split = 0
    for seed in range(group, 400, 4):
        operations = draw_work(seed)
        least = count_by_every_order(operations)
        assert fewest_setups(operations).least == least
        setups = group_setups(operations)
        assert len(setups) == least
        assert sorted(o for s in setups for o in s.operations) == sorted(o.id for o in operations)
        done: set[str] = set()
        known = {operation.id: operation for operation in operations}
        for name in (name for setup in setups for name in setup.operations):
            assert done.issuperset(known[name].needs)
            done.add(name)
        split += least > len({key_of(operation) for operation in operations})
    assert split > 10, "in some of them a setting has to be made twice"


def test_six_floors_take_the_proved_fewest_setups() -> None:
    plan = open_desk().plan(Wish("screened-floor", units=6), BEGIN_S)
    assert len(plan.setups) == plan.least_setups == len({key_of(o) for o in plan.operations})
