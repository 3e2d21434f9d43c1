"""The sample batch with a longest wait before its first coat; invented data."""

from __future__ import annotations

from dataclasses import replace

from shopstep.model.plan import Plan
from shopstep.model.step import Wait, WaitKind

MOST_S = 3_000
LATE = "Sand again with 120 grit before the first coat."


def with_limits(plan: Plan, seconds: int = MOST_S) -> Plan:
    """The first coat begins within ``seconds`` after the screws of its unit."""
    limits = tuple(
        Wait(
            f"u{unit}/screw/screws:within",
            WaitKind.WITHIN,
            f"first coat, unit {unit}",
            f"u{unit}/screw/screws",
            f"u{unit}/paint/coat1",
            seconds,
            "invented",
            LATE,
        )
        for unit in range(1, plan.units + 1)
    )
    return replace(plan, waits=(*plan.waits, *limits))
