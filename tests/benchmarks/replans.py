"""Replanning fifty floors after 1,000 random disturbances: every plan valid, and how long it takes.

    python -m tests.benchmarks.replans [DISTURBANCES] [UNITS]

Judged by the tests' own checker of schedules. Times are of this machine: compare them with the
first plan's in the same run.
"""

from __future__ import annotations

import statistics
import sys
from time import perf_counter

from shopstep.planner import make_plan, retime
from tests.floor import SHOP, floor_request
from tests.random_disturbances import disturb
from tests.schedule_checker import violations


def main() -> int:
    """Prints the figures; 1 where a plan broke a rule."""
    disturbances = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    units = int(sys.argv[2]) if len(sys.argv) > 2 else 50
    began = perf_counter()
    plan = make_plan(floor_request(units=units))
    first_s = perf_counter() - began
    taken, wrong = [], 0
    for seed in range(disturbances):
        found = disturb(plan, SHOP, seed)
        began = perf_counter()
        made = retime(plan, found.shop, found.finished, found.now_s)
        taken.append(perf_counter() - began)
        broken = violations(
            plan.steps, made.steps, plan.waits, plan.holds, found.shop, found.now_s, found.finished
        )
        if broken:
            wrong += 1
            print(f"disturbance {seed}: {broken[0]}")
    middle, worst = statistics.median(taken), max(taken)
    print(f"{disturbances} disturbances of {units} floors, {len(plan.steps)} steps: {wrong} wrong")
    print(
        f"first plan {first_s * 1000:.0f} ms; new times {middle * 1000:.0f} ms in the middle, "
        f"{worst * 1000:.0f} ms at most ({first_s / middle:.0f} × faster)"
    )
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
