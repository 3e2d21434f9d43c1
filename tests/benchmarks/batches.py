"""Batches of the floor: evenings of the plan beside the labour bound and beside simpler ways.

    python -m tests.benchmarks.batches [UNITS ...]

*Step after step*: every step for all units before the next one. *Unit after unit*: each unit is
made for itself, with its own setups at the saw, and the waits of one are filled with work on the
next ones; *shared cuts*: the same, but all units are cut at the same setups.
Four clamps, twelve drying places, evenings from 18:00 to 21:00. Seconds are of this machine.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from dataclasses import replace
from time import perf_counter

from shopstep.model.plan import Plan
from shopstep.model.step import Hold, Step, Wait
from shopstep.planner import make_plan
from shopstep.sequence.blocks import form_blocks
from shopstep.sequence.bonds import bind_steps
from shopstep.sequence.hours import Hours
from shopstep.sequence.placing import Problem, place_blocks
from shopstep.sequence.rules import judge_starts, make_rules
from shopstep.sequence.supplies import capacities
from shopstep.sequence.taking import find_safe_order
from tests.floor import BEGIN_S, SHOP, floor_request
from tests.labour import labour_bound

Work = tuple[tuple[Step, ...], tuple[Wait, ...], tuple[Hold, ...]]


def main() -> int:
    """Prints a row for each batch; 1 where step after step would have been better."""
    units = [int(word) for word in sys.argv[1:]] or [1, 6, 12, 24, 50]
    alone = make_plan(floor_request(units=1))
    print("units  evenings  no plan below  labour  step after step  shared cuts  unit after unit")
    worse = False
    for number in units:
        began = perf_counter()
        plan = make_plan(floor_request(units=number))
        seconds = perf_counter() - began
        made = count_evenings(plan.steps)
        by_step = by_rule("step after step", work_of(plan))
        by_unit = by_rule("unit after unit", work_of(plan))
        each = by_rule("unit after unit", copied(alone, number))
        labour = labour_bound(plan.steps, SHOP)
        worse |= made > by_step
        print(
            f"{number:5}  {made:8}  {plan.least_evenings:13}  {labour:6}  {by_step:15}  "
            f"{by_unit:11}  {each:6} ({1 - made / each:4.0%} fewer)   {seconds:.2f} s"
        )
    return int(worse)


def count_evenings(steps: Iterable[Step]) -> int:
    """On how many days work begins; the shop here never works past midnight."""
    return len({step.start_s // 86_400 for step in steps})


def work_of(plan: Plan) -> Work:
    """What is to be placed."""
    return plan.steps, plan.waits, plan.holds


def copied(plan: Plan, number: int) -> Work:
    """The plan of one unit, ``number`` times over: no setup serves two units."""
    steps: list[Step] = []
    waits: list[Wait] = []
    holds: list[Hold] = []
    for unit in range(1, number + 1):
        mark = f"{unit}."
        for step in plan.steps:
            needs = tuple(mark + need for need in step.needs)
            behind = mark + step.behind if step.behind else None
            steps.append(replace(step, id=mark + step.id, unit=unit, needs=needs, behind=behind))
        waits += [
            replace(w, id=mark + w.id, after=mark + w.after, before=mark + w.before)
            for w in plan.waits
        ]
        holds += [replace(h, first=mark + h.first, last=mark + h.last) for h in plan.holds]
    return tuple(steps), tuple(waits), tuple(holds)


def by_rule(name: str, work: Work) -> int:
    """Evenings where that rule alone places the work."""
    bonds = bind_steps(*work, BEGIN_S, {})
    hours = Hours(SHOP.calendar, BEGIN_S)
    have = capacities(SHOP, work[2])
    blocks, findings = form_blocks(bonds, hours, tuple(have))
    assert not findings, findings
    capacity = tuple(have.values())
    order = find_safe_order(blocks, capacity)
    assert order is not None
    problem = Problem(blocks, capacity, hours, BEGIN_S, tuple(order))
    rule = next(rule for rule in make_rules(blocks) if rule.name == name)
    return judge_starts(problem, place_blocks(problem, rule)).evenings


if __name__ == "__main__":
    sys.exit(main())
