"""What the air does to the build's own glues and paints: wait times and findings."""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.conditions.glues import find_glue
from shopstep.conditions.limits import check_glue, check_paint
from shopstep.conditions.paints import find_paint
from shopstep.conditions.timing import adjust_glue, adjust_paint
from shopstep.model.plan import (
    BuildFileError,
    Finding,
    PlanRequest,
    Where,
)
from shopstep.model.step import Outline, Supply, WaitKind

Times = dict[tuple[str, WaitKind], tuple[int, str]]


@dataclass(frozen=True, slots=True)
class Air:
    """Wait times of the build's own glues and paints in this air."""

    times: Times
    findings: tuple[Finding, ...]


def read_air(request: PlanRequest, outline: Outline) -> Air:
    times: Times = {}
    findings: list[Finding] = []
    for supply in outline.glues:
        findings += _glue_times(supply, request, times)
    for supply in outline.paints:
        findings += _paint_times(supply, request, times)
    return Air(times, tuple(dict.fromkeys(findings)))


def _glue_times(supply: Supply, request: PlanRequest, times: Times) -> tuple[Finding, ...]:
    try:
        glue = find_glue(supply.row)
    except ValueError as problem:
        raise BuildFileError(str(problem), Where(request.build.name, 0, supply.id)) from None
    found = adjust_glue(glue, request.conditions)
    times[(supply.id, WaitKind.OPEN)] = (found.open_s, found.source)
    times[(supply.id, WaitKind.CLAMP)] = (found.clamp_s, found.source)
    times[(supply.id, WaitKind.CURE)] = (found.handle_s, found.source)
    return check_glue(glue, request.conditions)


def _paint_times(supply: Supply, request: PlanRequest, times: Times) -> tuple[Finding, ...]:
    try:
        paint = find_paint(supply.row)
    except ValueError as problem:
        raise BuildFileError(str(problem), Where(request.build.name, 0, supply.id)) from None
    found = adjust_paint(paint, request.conditions)
    times[(supply.id, WaitKind.TOUCH)] = (found.touch_s, found.source)
    times[(supply.id, WaitKind.RECOAT)] = (found.recoat_s, found.source)
    times[(supply.id, WaitKind.DRY_THROUGH)] = (found.through_s, found.source)
    return check_paint(paint, request.conditions)
