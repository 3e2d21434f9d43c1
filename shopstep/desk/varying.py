"""What if: the same batch with a little more of one thing, and how many evenings that saves.

Imports ``model`` and the ports of this room.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import product

from shopstep.desk.ports import Planner
from shopstep.model.plan import BuildFileError, Plan, PlanRefused, PlanRequest
from shopstep.model.resources import with_more
from shopstep.units import format_length
from shopstep.words import say_count

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
    yield from _longer_clamps(request)


def _more_clamps(request: PlanRequest) -> PlanRequest | None:
    shop = request.shop
    if shop.clamp_sets:
        return None
    return replace(request, shop=replace(shop, clamps=shop.clamps + MORE_CLAMPS))


def _longer_clamps(request: PlanRequest) -> Iterator[tuple[str, PlanRequest]]:
    """One more clamp of each reach that the shop has, and a pair."""
    shop = request.shop
    reaches = dict.fromkeys(each.reach for each in shop.clamp_sets)
    for reach, more in product(reaches, (1, MORE_CLAMPS)):
        sets = with_more(shop.clamp_sets, more, reach)
        length = format_length(reach, request.display or "in")
        words = say_count(
            "{n} more clamp of {length} reach",
            "{n} more clamps of {length} reach",
            more,
            length=length,
        )
        richer = replace(shop, clamps=shop.clamps + more, clamp_sets=sets)
        yield words, replace(request, shop=richer)


def _bench_place(request: PlanRequest) -> PlanRequest | None:
    shop = request.shop
    if shop.bench_places is None:
        return None
    return replace(request, shop=replace(shop, bench_places=shop.bench_places + 1))


def _helper_always(request: PlanRequest) -> PlanRequest | None:
    shop = request.shop
    return replace(request, shop=replace(shop, helper=())) if shop.helper else None


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
    "1 more bench place": _bench_place,
    "a helper at any time": _helper_always,
    f"{LONGER_MIN} min longer each evening": _longer,
    "open on every day": _every_day,
    f"{WARMER_C:g} °C warmer": _warmer,
}
