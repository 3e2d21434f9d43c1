"""Replanning fifty floors after 1,000 random disturbances: every plan valid, and how long it takes.

    python -m tests.benchmarks.replans [DISTURBANCES] [UNITS] [BETTERED] [SECONDS]

Judged by the tests' own checker of schedules. Times are of this machine: compare them with the
first plan's in the same run. The first BETTERED of the plans are then made better, each for
SECONDS, as it is done beside the bench.
"""

from __future__ import annotations

import statistics
import sys
from time import perf_counter

from shopstep.model.better import Gain
from shopstep.model.plan import Plan
from shopstep.planner import make_plan, retime
from shopstep.sequence.bettering import Asked, better_starts, check_better
from tests.floor import SHOP, floor_request
from tests.random_disturbances import Disturbance, disturb
from tests.schedule_checker import violations


def main() -> int:
    """Prints the figures; 1 where a plan broke a rule."""
    disturbances = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    units = int(sys.argv[2]) if len(sys.argv) > 2 else 50
    bettered = int(sys.argv[3]) if len(sys.argv) > 3 else 60
    seconds = float(sys.argv[4]) if len(sys.argv) > 4 else 1.0
    began = perf_counter()
    plan = make_plan(floor_request(units=units))
    first_s = perf_counter() - began
    taken, wrong, gains = [], 0, list[Gain]()
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
        if seed < bettered:
            gains += better(made, found, seconds)
    middle, worst = statistics.median(taken), max(taken)
    print(f"{disturbances} disturbances of {units} floors, {len(plan.steps)} steps: {wrong} wrong")
    print(
        f"first plan {first_s * 1000:.0f} ms; new times {middle * 1000:.0f} ms in the middle, "
        f"{worst * 1000:.0f} ms at most ({first_s / middle:.0f} × faster)"
    )
    tried = min(bettered, disturbances)
    print(
        f"{seconds:g} s of search each: {len(gains)} of {tried} plans are worth changing, together "
        f"{sum(gain.evenings for gain in gains)} evenings fewer, the last one "
        f"{sum(gain.openings for gain in gains)} evenings earlier"
    )
    return 1 if wrong else 0


def better(made: Plan, found: Disturbance, seconds: float) -> list[Gain]:
    """What a search from the repaired plan gains; empty where the plan is left as it is."""
    finished = tuple((step, start, end) for step, (start, end) in found.finished.items())
    first = next((step.id for step in made.steps if step.id not in found.finished), "")
    steps, waits, holds = made.steps, made.waits, made.holds
    asked = Asked(steps, waits, holds, found.shop, found.now_s, finished, first)
    over_s = perf_counter() + seconds
    starts = better_starts(asked, 0, 100_000, lambda: perf_counter() > over_s)
    bettered = None if starts is None else check_better(asked, starts)
    if bettered is None:
        return []
    broken = violations(
        steps, bettered.steps, waits, holds, found.shop, found.now_s, found.finished
    )
    return [bettered.gain] if not broken else sys.exit(f"a better plan broke a rule: {broken[0]}")


if __name__ == "__main__":
    sys.exit(main())
