"""An outline times the number of units: step instances, waits and holds with their ids.

Ids stay the same from plan to plan: ``u2/glue/close_frame``, ``all/rip/side_rail``.
Imports ``model`` only.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from shopstep.model.step import (
    MACHINES,
    Hold,
    Outline,
    Scope,
    Step,
    StepKind,
    Wait,
    WaitKind,
    WaitRule,
)
from shopstep.words import say

WaitTimes = Mapping[tuple[str, WaitKind], tuple[int, str]]
"""Seconds and source by (supply id, kind of wait)."""


@dataclass(frozen=True, slots=True)
class Expanded:
    """The authored part of a plan before it has times, step kind by step kind."""

    steps: tuple[Step, ...]
    waits: tuple[Wait, ...]
    holds: tuple[Hold, ...]


def expand_outline(
    outline: Outline, units: int, times: WaitTimes, before: Mapping[str, tuple[str, ...]]
) -> Expanded:
    """Instances for every unit.

    ``before``: ids of other steps (milling) that each step kind needs besides its authored needs.
    """
    scopes = {kind.id: kind.scope for kind in outline.kinds}
    some = dict(outline.units)
    every = tuple(range(1, units + 1))
    of = {kind.id: _units_of(kind.scope, some.get(kind.id, every)) for kind in outline.kinds}
    behind = dict(outline.behind)
    steps = [
        _instance(
            kind,
            unit,
            needs,
            of,
            before.get(kind.id, ()),
            behind.get(kind.id),
            outdoors=(kind.id, "outdoors") in outline.places,
        )
        for kind, needs in zip(outline.kinds, outline.needs, strict=True)
        for unit in of[kind.id]
    ]
    waits = [wait for rule in outline.waits for wait in _wait_instances(rule, of, times)]
    holds = [
        Hold(take.resource, take.amount, first, _one(take.last, unit, scopes), take.reach)
        for take in outline.takes
        for unit in of[take.first]
        for first in [step_id(take.first, unit)]
    ]
    return Expanded(tuple(steps), tuple(waits), tuple(holds))


def step_id(kind: str, unit: int | None) -> str:
    """``u2/glue/close`` for unit 2, ``all/rip/rail`` for the whole batch."""
    return f"{'all' if unit is None else f'u{unit}'}/{kind}"


Units = tuple[int | None, ...]
"""For which units a kind is done; None alone: once for the whole batch."""


def _units_of(scope: Scope, units: tuple[int, ...]) -> Units:
    return (None,) if scope is Scope.BATCH else units


def _one(kind: str, unit: int | None, scopes: Mapping[str, Scope]) -> str:
    return step_id(kind, None if scopes[kind] is Scope.BATCH else unit)


def _instance(
    kind: StepKind,
    unit: int | None,
    needs: tuple[str, ...],
    of: Mapping[str, Units],
    before: tuple[str, ...],
    behind: str | None,
    *,
    outdoors: bool,
) -> Step:
    ids = [other for need in needs for other in _related(need, unit, of)]
    return Step(
        id=step_id(kind.id, unit),
        kind=kind.id,
        unit=unit,
        needs=tuple(dict.fromkeys([*before, *ids])),
        duration_s=kind.duration_s,
        start_s=0,
        end_s=0,
        resources=(kind.tool,) if kind.tool in MACHINES else (),
        behind=step_id(behind, unit) if behind else None,
        outdoors=outdoors,
        people=kind.people,
    )


def _related(need: str, unit: int | None, of: Mapping[str, Units]) -> list[str]:
    """The instances of ``need`` that an instance for ``unit`` depends on."""
    if unit is None or of[need] == (None,):
        return [step_id(need, number) for number in of[need]]
    return [step_id(need, unit)]


def _whose(unit: int | None) -> str:
    return say("whole batch") if unit is None else say("unit {unit}", unit=unit)


def _wait_instances(rule: WaitRule, of: Mapping[str, Units], times: WaitTimes) -> list[Wait]:
    if rule.kind is WaitKind.WITHIN:
        seconds, source = rule.seconds, rule.source
    else:
        seconds, source = times[(rule.supply, rule.kind)]
    pairs: dict[tuple[str, str], int | None] = {}
    for unit in of[rule.before]:
        for after in _related(rule.after, unit, of):
            pairs[(after, step_id(rule.before, unit))] = unit
    return [
        Wait(
            id=f"{after}:{rule.kind}:{before.split('/', 1)[1]}",
            kind=rule.kind,
            title=f"{rule.title}, {_whose(unit)}",
            after=after,
            before=before,
            seconds=seconds,
            source=source,
            late=rule.late,
        )
        for (after, before), unit in pairs.items()
    ]
