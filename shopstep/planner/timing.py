"""Times from the keeper's own sessions in place of guesses, where there are any.

Imports ``model`` only.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from shopstep.model.estimate import TimeFactor, own_key, work_key
from shopstep.model.step import GlueRole, Source, Step, StepKind

ROUND_S = 30


def time_kinds(
    kinds: tuple[StepKind, ...], build_id: str, factors: tuple[TimeFactor, ...]
) -> tuple[StepKind, ...]:
    """The step kinds with times of the same step, else of like machine work; the guess is kept.

    Steps at open glue keep their guess: what counts there is the glue's own time.
    """
    known = {factor.key: factor for factor in factors}
    return tuple(_timed(kind, build_id, known) for kind in kinds)


def _timed(kind: StepKind, build_id: str, known: Mapping[str, TimeFactor]) -> StepKind:
    factor = known.get(own_key(build_id, kind.id))
    if factor is None and kind.source is Source.DERIVED:
        factor = known.get(work_key(kind.stage))
    if factor is None or kind.role is not GlueRole.NONE:
        return kind
    rounded = max(ROUND_S, round(kind.duration_s * factor.factor / ROUND_S) * ROUND_S)
    return replace(kind, duration_s=rounded, guessed_s=kind.duration_s, timed=factor.count)


def time_steps(steps: tuple[Step, ...], kinds: tuple[StepKind, ...]) -> tuple[Step, ...]:
    """The steps with the times of their kinds."""
    durations = {kind.id: kind.duration_s for kind in kinds}
    return tuple(
        replace(step, duration_s=durations.get(step.kind, step.duration_s)) for step in steps
    )
