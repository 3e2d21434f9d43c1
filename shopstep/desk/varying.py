"""What if: the same batch with a little more of one thing, and how many evenings that saves.

Imports ``model`` and the ports of this room.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from shopstep.desk.ports import Planner
from shopstep.model.plan import BuildFileError, Plan, PlanRefused, PlanRequest

MORE_CLAMPS = 2
MORE_PLACES = 4
LONGER_MIN = 30
WARMER_C = 5.0


@dataclass(frozen=True, slots=True)
class WhatIf:
    """One change, and the plan with it."""

    change: str
    """In words: ``two more clamps``."""
    plan: Plan | None
    """None where there is none even so."""


def what_if(request: PlanRequest, plan: Plan, planner: Planner) -> tuple[WhatIf, ...]:
    """The plan of each change, one at a time; ``plan``: the request's own, from which they begin.

    Where the change only gives room (clamps, places, hours), its plan is never a worse one.
    """
    return tuple(
        WhatIf(words, _plan(changed, plan, planner)) for words, changed in _changes(request)
    )


def _plan(request: PlanRequest, plan: Plan, planner: Planner) -> Plan | None:
    try:
        return planner.vary_plan(request, plan)
    except (PlanRefused, BuildFileError):
        return None


def _changes(request: PlanRequest) -> Iterator[tuple[str, PlanRequest]]:
    for words, change in _CHANGES.items():
        changed = change(request)
        if changed is not None:
            yield words, changed


def _more_clamps(request: PlanRequest) -> PlanRequest:
    shop = request.shop
    return replace(request, shop=replace(shop, clamps=shop.clamps + MORE_CLAMPS))


def _more_places(request: PlanRequest) -> PlanRequest:
    shop = request.shop
    return replace(request, shop=replace(shop, drying_places=shop.drying_places + MORE_PLACES))


def _longer(request: PlanRequest) -> PlanRequest | None:
    calendar = request.shop.calendar
    closes = calendar.closes_min + LONGER_MIN
    if closes > 24 * 60:
        return None
    longer = replace(calendar, closes_min=closes)
    return replace(request, shop=replace(request.shop, calendar=longer))


def _every_day(request: PlanRequest) -> PlanRequest | None:
    calendar = request.shop.calendar
    if len(calendar.days) == 7:
        return None
    whole = replace(calendar, days=tuple(range(7)))
    return replace(request, shop=replace(request.shop, calendar=whole))


def _warmer(request: PlanRequest) -> PlanRequest:
    air = request.conditions
    return replace(request, conditions=replace(air, temperature_c=air.temperature_c + WARMER_C))


_CHANGES: dict[str, Callable[[PlanRequest], PlanRequest | None]] = {
    f"{MORE_CLAMPS} more clamps": _more_clamps,
    f"{MORE_PLACES} more drying places": _more_places,
    f"{LONGER_MIN} min longer each evening": _longer,
    "open on every day": _every_day,
    f"{WARMER_C:g} °C warmer": _warmer,
}
