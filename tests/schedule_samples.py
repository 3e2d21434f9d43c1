"""Small steps, waits, holds and shops for the tests of the sequence; invented data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from shopstep.model.plan import Calendar, Shop
from shopstep.model.resources import ClampSet, HelperTime
from shopstep.model.step import Hold, Step, Wait, WaitKind
from shopstep.sequence.schedule import Schedule, schedule_steps
from shopstep.units import Length
from tests.schedule_checker import violations

BEGIN_S = 1_764_093_600
"""Tuesday 2025-11-25 18:00 UTC."""
MIN = 60
H = 3600
DAY = 86400
EVERY_DAY = (0, 1, 2, 3, 4, 5, 6)
EVENINGS = Calendar("UTC", 18 * 60, 21 * 60, EVERY_DAY)
"""18 to 21 h on every day: 180 minutes."""


def make_shop(
    calendar: Calendar = EVENINGS,
    clamps: int = 4,
    drying_places: int = 12,
    bench_places: int | None = None,
    sets: tuple[ClampSet, ...] = (),
    helper: tuple[HelperTime, ...] = (),
) -> Shop:
    """A shop with these hours and resources; ``sets``: its clamps by their reach."""
    count = sum(each.count for each in sets) if sets else clamps
    shop = Shop("bench", calendar, count, drying_places, Length.inches("1/8"))
    return replace(shop, clamp_sets=sets, bench_places=bench_places, helper=helper)


def step(
    name: str,
    minutes: int,
    *needs: str,
    unit: int | None = None,
    kind: str | None = None,
    behind: str | None = None,
) -> Step:
    """A step that is not scheduled yet; its kind is its name without the unit."""
    return Step(
        id=name,
        kind=kind or name.split("/", 1)[-1],
        unit=unit,
        needs=needs,
        duration_s=minutes * MIN,
        start_s=0,
        end_s=0,
        resources=(),
        behind=behind,
    )


def least(after: str, before: str, minutes: int) -> Wait:
    """A least wait."""
    name = f"{after}:clamp:{before}"
    return Wait(name, WaitKind.CLAMP, "clamps", after, before, minutes * MIN, "invented")


def opened(spread: str, close: str, minutes: int) -> Wait:
    """An open time."""
    name = f"{spread}:open:{close}"
    return Wait(name, WaitKind.OPEN, "glue", spread, close, minutes * MIN, "invented")


def schedule(
    steps: tuple[Step, ...],
    waits: tuple[Wait, ...] = (),
    holds: tuple[Hold, ...] = (),
    shop: Shop | None = None,
    begin_s: int = BEGIN_S,
    fixed: Mapping[str, tuple[int, int]] | None = None,
) -> Schedule:
    """A schedule that the independent checker finds nothing wrong with, or a refusal."""
    shop = shop or make_shop()
    made = schedule_steps(steps, waits, holds, shop, begin_s, fixed or {})
    if made.steps:
        assert violations(steps, made.steps, waits, holds, shop, begin_s, fixed) == []
    return made


def starts_min(made: Schedule, begin_s: int = BEGIN_S) -> dict[str, float]:
    """Start of each step in minutes after the beginning."""
    return {step.id: (step.start_s - begin_s) / 60 for step in made.steps}


def glue_up_batch(units: int) -> tuple[tuple[Step, ...], tuple[Wait, ...], tuple[Hold, ...]]:
    """A batch of glue-ups: 12 steps and 89 minutes a unit, clamps, a night's cure, two coats."""
    rows = (
        ("fit/dry", 8), ("glue/spread", 2), ("glue/close", 2), ("glue/square", 3),
        ("glue/unclamp", 1), ("screw/frame", 14), ("plane/flush", 9), ("paint/first", 14),
        ("paint/second", 12), ("screen/cloth", 12), ("screen/strips", 8), ("close/look", 4),
    )  # fmt: skip
    steps = [
        step(f"u{u}/{name}", minutes, *([f"u{u}/{rows[i - 1][0]}"] if i else []), unit=u)
        for i, (name, minutes) in enumerate(rows)
        for u in range(1, units + 1)
    ]
    waits: list[Wait] = []
    holds: list[Hold] = []
    for u in (f"u{n}" for n in range(1, units + 1)):
        waits += [
            opened(f"{u}/glue/spread", f"{u}/glue/close", 5),
            least(f"{u}/glue/close", f"{u}/glue/unclamp", 60),
            least(f"{u}/glue/close", f"{u}/plane/flush", 24 * 60),
            least(f"{u}/paint/first", f"{u}/paint/second", 240),
            least(f"{u}/paint/second", f"{u}/screen/cloth", 24 * 60),
        ]
        holds += [
            Hold("clamps", 2, f"{u}/glue/close", f"{u}/glue/unclamp"),
            Hold("drying_places", 1, f"{u}/paint/first", f"{u}/paint/second"),
            Hold("drying_places", 1, f"{u}/paint/second", f"{u}/screen/cloth"),
        ]
    return tuple(steps), tuple(waits), tuple(holds)
