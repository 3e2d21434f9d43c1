"""Words of steps that differ by unit, and words that stay: what is done keeps the card it had.

Imports ``model`` only.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from shopstep.model.plan import Plan
from shopstep.model.step import Step, StepKind


def with_unit_kinds(
    kinds: tuple[StepKind, ...],
    steps: tuple[Step, ...],
    units: Mapping[int, tuple[StepKind, ...]],
    kept: Mapping[str, StepKind],
) -> tuple[tuple[StepKind, ...], tuple[Step, ...]]:
    """Kinds and steps where units with readings of their own have words of their own.

    ``units``: by unit, the authored kinds at its sizes. Such a kind's id ends in ``~u2``.
    ``kept``: by step, the kind of those that are done.
    """
    common = {kind.id: kind for kind in kinds}
    own: dict[str, StepKind] = {}
    changed: list[Step] = []
    for step in steps:
        if step.id in kept:
            was = kept[step.id]
            own |= {was.id: was} if was.id not in common else {}
            changed.append(replace(step, kind=was.id))
            continue
        told = _kind_for(step, units)
        if told is None or told == common[step.kind]:
            changed.append(step)
            continue
        named = f"{told.id}~u{step.unit}"
        own[named] = replace(told, id=named)
        changed.append(replace(step, kind=named))
    return (*kinds, *own.values()), tuple(changed)


def _kind_for(step: Step, units: Mapping[int, tuple[StepKind, ...]]) -> StepKind | None:
    if step.unit is None or step.unit not in units:
        return None
    return next((kind for kind in units[step.unit] if kind.id == step.kind), None)


def done_kinds(plan: Plan, done: frozenset[str]) -> dict[str, StepKind]:
    """By step, the kinds of what is done."""
    kinds = {kind.id: kind for kind in plan.kinds}
    return {step.id: kinds[step.kind] for step in plan.steps if step.id in done}


def keep_asked(kinds: tuple[StepKind, ...], plan: Plan) -> tuple[StepKind, ...]:
    """A number that becomes a size is still asked for as it was planned, not as it was read."""
    before = {kind.id: {check.name: check for check in kind.checks} for kind in plan.kinds}
    return tuple(
        replace(
            kind,
            checks=tuple(
                before.get(kind.id, {}).get(check.name, check) if check.becomes else check
                for check in kind.checks
            ),
        )
        for kind in kinds
    )


def keep_done(
    kinds: tuple[StepKind, ...], steps: tuple[Step, ...], plan: Plan, done: frozenset[str]
) -> tuple[StepKind, ...]:
    """A kind of which nothing is ahead stays as it was when it was done."""
    before = {kind.id: kind for kind in plan.kinds}
    ahead = {step.kind for step in steps if step.id not in done}
    return tuple(
        kind if kind.id in ahead or kind.id not in before else before[kind.id] for kind in kinds
    )
