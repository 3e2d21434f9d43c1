"""What the air does to the build's own glues and paints: wait times and findings."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from shopstep.conditions.glues import find_glue
from shopstep.conditions.limits import check_glue, check_paint
from shopstep.conditions.nights import check_glue_night, check_paint_night
from shopstep.conditions.paints import find_paint
from shopstep.conditions.timing import adjust_glue, adjust_paint
from shopstep.model.plan import (
    BuildFileError,
    Conditions,
    Finding,
    PlanRequest,
    Where,
)
from shopstep.model.step import Outline, Supply, WaitKind
from shopstep.planner.labels import check_labels, with_glue_label, with_paint_label
from shopstep.planner.placed_work import air_outdoors, paints_outdoors, say_outdoors

Times = dict[tuple[str, WaitKind], tuple[int, str]]
_NOWHERE: Mapping[str, Where] = {}


@dataclass(frozen=True, slots=True)
class Air:
    """Wait times of the build's own glues and paints in this air."""

    times: Times
    findings: tuple[Finding, ...]


def read_air(request: PlanRequest, outline: Outline, places: Mapping[str, Where] = _NOWHERE) -> Air:
    """Times and findings; what the labels say stands in the place of the tables.

    Of a glue or a paint that no step uses nothing is told. ``places``: where they stand, by
    ``glues.NAME`` and ``paints.NAME``.
    """
    labels = (*request.read_labels, *request.labels)
    check_labels(labels, outline)
    request = replace(request, labels=labels)
    times: Times = {}
    findings: list[Finding] = []
    _refuse_unknown(outline, places)
    used = {kind.glue for kind in outline.kinds} | {paint for _, paint in outline.painted}
    for supply in outline.glues:
        told = _glue_times(supply, request, times)
        findings += told if supply.id in used else ()
    outside = paints_outdoors(outline, request.shop)
    for supply in outline.paints:
        paint_times = _paint_outdoors if supply.id in outside else _paint_times
        told = paint_times(supply, request, times)
        findings += told if supply.id in used else ()
    return Air(times, tuple(dict.fromkeys(findings)))


def _refuse_unknown(outline: Outline, places: Mapping[str, Where]) -> None:
    """A row that no table has is told with the line of the glue or the paint."""
    kinds: tuple[tuple[str, tuple[Supply, ...], Callable[[str], object]], ...] = (
        ("glues", outline.glues, find_glue),
        ("paints", outline.paints, find_paint),
    )
    for block, supplies, find in kinds:
        for supply in supplies:
            try:
                find(supply.row)
            except ValueError as problem:
                place = places.get(f"{block}.{supply.id}", Where(name=supply.id))
                raise BuildFileError(str(problem), place) from None


def _night(conditions: Conditions) -> Conditions:
    """The air that governs what cures or dries through the night: the colder of both."""
    if conditions.night_c is None or conditions.night_c >= conditions.temperature_c:
        return conditions
    return replace(conditions, temperature_c=conditions.night_c)


def _glue_times(supply: Supply, request: PlanRequest, times: Times) -> tuple[Finding, ...]:
    glue = with_glue_label(find_glue(supply.row), supply, request.labels)
    day = adjust_glue(glue, request.conditions)
    night = adjust_glue(glue, _night(request.conditions))
    times[(supply.id, WaitKind.OPEN)] = (day.open_s, day.source)
    times[(supply.id, WaitKind.CLAMP)] = (night.clamp_s, night.source)
    times[(supply.id, WaitKind.CURE)] = (night.handle_s, night.source)
    return (*check_glue(glue, request.conditions), *check_glue_night(glue, request.conditions))


def _paint_outdoors(supply: Supply, request: PlanRequest, times: Times) -> tuple[Finding, ...]:
    """The same in the air outdoors."""
    air, asked = air_outdoors(request.shop, request.conditions)
    found = _paint_times(supply, replace(request, conditions=air), times)
    return (*asked, *(found if asked else say_outdoors(found)))


def _paint_times(supply: Supply, request: PlanRequest, times: Times) -> tuple[Finding, ...]:
    paint = with_paint_label(find_paint(supply.row), supply, request.labels)
    found = adjust_paint(paint, _night(request.conditions))
    times[(supply.id, WaitKind.TOUCH)] = (found.touch_s, found.source)
    times[(supply.id, WaitKind.RECOAT)] = (found.recoat_s, found.source)
    times[(supply.id, WaitKind.DRY_THROUGH)] = (found.through_s, found.source)
    return (*check_paint(paint, request.conditions), *check_paint_night(paint, request.conditions))
