"""What no plan is made of, before any room is asked. Imports ``model``."""

from __future__ import annotations

from shopstep.model.plan import BuildFileError, PlanRequest, Where
from shopstep.model.step import Outline, StepKind
from shopstep.words import figure, say

MOST_UNITS = 200


def refuse_taken_names(
    request: PlanRequest, derived: tuple[StepKind, ...], outline: Outline
) -> None:
    """An authored step must not bear the name of a machine step: it would hide its caution."""
    taken = {kind.id for kind in derived}
    for kind in outline.kinds:
        if kind.id in taken:
            raise BuildFileError(
                say(
                    "step '{kind_id}' bears the name of a step that the program makes itself;"
                    " name it otherwise",
                    kind_id=kind.id,
                ),
                Where(request.build.name, kind.line, kind.id),
            )


def check_units(units: int) -> None:
    """One unit or more, and no more than can be planned."""
    if not 1 <= units <= MOST_UNITS:
        raise BuildFileError(
            say(
                "a batch of {units} units cannot be planned; 1 to {most_units} is possible",
                units=figure(units, ","),
                most_units=MOST_UNITS,
            ),
            Where("--units", 0, "units"),
        )
