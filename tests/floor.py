"""The shipped floor, and requests for it, as the tests use them."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from shopstep.model.plan import (
    BuildText,
    Calendar,
    Conditions,
    Plan,
    PlanRequest,
    Shop,
)
from shopstep.units import Length

FILE = Path(__file__).resolve().parent.parent / "builds" / "screened-floor.yaml"
BEGIN_S = 1_768_500_000
"""2026-01-15 18:00 UTC, a Thursday."""
SHOP = Shop(
    name="bench",
    calendar=Calendar("UTC", 18 * 60, 21 * 60, (0, 1, 2, 3, 4, 5, 6)),
    clamps=4,
    drying_places=12,
    kerf=Length.inches("1/8"),
)


@cache
def floor_text() -> str:
    """The text of the shipped build."""
    return FILE.read_text(encoding="utf-8")


def floor_request(
    *settings: tuple[str, str],
    units: int = 2,
    text: str | None = None,
    temperature_c: float = 20.0,
    shop: Shop = SHOP,
) -> PlanRequest:
    """A request for the floor; ``text`` in place of the shipped build."""
    return PlanRequest(
        build=BuildText("screened-floor.yaml", floor_text() if text is None else text),
        parents=(),
        settings=settings,
        units=units,
        display="in",
        shop=shop,
        conditions=Conditions(temperature_c, 50.0),
        rack=(),
        begin_s=BEGIN_S,
        seed=0,
    )


@cache
def floor_plan(*settings: tuple[str, str], units: int = 2) -> Plan:
    """The floor's plan."""
    from shopstep.planner import make_plan

    return make_plan(floor_request(*settings, units=units))
