"""A batch in progress that life interferes with: overruns, lost evenings, spoiled order, cold days.

Random and seeded; shares nothing with the sequencer but the plan it disturbs.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

from shopstep.model.plan import OtherDay, Plan, Shop


@dataclass(frozen=True)
class Disturbance:
    """What is done by now, with its real times, and the shop as it is now."""

    finished: dict[str, tuple[int, int]]
    now_s: int
    shop: Shop


def disturb(plan: Plan, shop: Shop, seed: int) -> Disturbance:
    """A place in the plan, reached late: the last step overran by up to two hours.

    What glue has open or what must follow at once is worked on to its end first, as at the bench.
    """
    rng = random.Random(seed)
    count = rng.randrange(1, len(plan.steps))
    done = [step.id for step in plan.steps[:count]]
    chained = {step.behind: step.id for step in plan.steps if step.behind is not None}
    while done[-1] in chained and chained[done[-1]] not in done:
        done.append(chained[done[-1]])
    ids = set(done)
    done += [s.id for s in plan.steps if s.behind in ids and s.id not in ids]
    late_s = rng.choice((0, 60, 600, 1800, 3600, 7200))
    times = {step.id: (step.start_s, step.end_s) for step in plan.steps}
    finished = {step: times[step] for step in done}
    last = max(finished, key=lambda step: finished[step][1])
    start_s, end_s = finished[last]
    finished[last] = (start_s, end_s + late_s)
    now_s = end_s + late_s + rng.choice((0, 0, 300, 86400, 5 * 86400))
    return Disturbance(finished, now_s, _disturbed_shop(shop, now_s, rng))


def _disturbed_shop(shop: Shop, now_s: int, rng: random.Random) -> Shop:
    """Some evenings are lost or short; a clamp may be broken, but never one too many."""
    today = datetime.fromtimestamp(now_s, UTC).date()
    lost = [(today + timedelta(days=day)).isoformat() for day in range(14) if rng.random() < 0.2]
    others = tuple(
        OtherDay(day, None, None) if rng.random() < 0.5 else OtherDay(day, 19 * 60, 20 * 60)
        for day in lost
    )
    calendar = replace(shop.calendar, other_days=others)
    return replace(shop, calendar=calendar)
