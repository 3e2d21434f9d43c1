"""Step kinds of the milling: a setup, guard and riving knife back on, left and right marked.

Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Mapping

from shopstep.milling.clauses import feature_of
from shopstep.milling.drafts import TABLE_SAW
from shopstep.milling.faces import say_face
from shopstep.milling.marks import say_marking
from shopstep.milling.spares import spare_numbers
from shopstep.milling.times import estimate_s
from shopstep.milling.trials import bevel_trials, channel_trials
from shopstep.milling.words import (
    Telling,
    make_checks,
    make_numbers,
    make_text,
    make_title,
    make_why,
)
from shopstep.model.feature import Groove
from shopstep.model.operation import Operation, Setup
from shopstep.model.part import Part
from shopstep.model.step import Check, GlueRole, Number, Scope, Source, StepKind
from shopstep.units import ZERO
from shopstep.words import say


def setup_kind(
    setup: Setup,
    operations: tuple[Operation, ...],
    parts: Mapping[str, Part],
    telling: Telling,
    pairs: tuple[int, int] = (0, 0),
) -> StepKind:
    """The step of a setup; ``parts`` is keyed by operation id.

    ``pairs``: how many left and right pieces have the same cut when this is done.
    """
    owners, display = tuple(parts.values()), telling.display
    pieces = sum(operation.count for operation in operations)
    slopes = bevel_trials(setup, operations, parts, display)
    return make_kind(
        setup.id,
        title=make_title(setup, owners, display),
        text=make_text(setup, operations, parts, telling),
        why=make_why(setup, owners, display),
        numbers=(
            *make_numbers(setup, operations, parts),
            *spare_numbers(setup, operations, telling.spares),
        ),
        parts=tuple(dict.fromkeys(part.name for part in owners)),
        tool=setup.tool,
        checks=(
            *(slopes or make_checks(setup, owners, display)),
            *channel_trials(setup, operations, telling.joints),
            *_check_pairs(operations[0], owners[0], pairs),
        ),
        duration_s=estimate_s(setup.kind, pieces),
    )


def _check_pairs(operation: Operation, part: Part, pairs: tuple[int, int]) -> tuple[Check, ...]:
    """Where both hands have a feature now: look at the mirror images before going on."""
    left, right = pairs
    if not (left and right):
        return ()
    lie = say("Do {left} left and {right} right lie as mirror images", left=left, right=right)
    groove = feature_of(operation, part)
    if isinstance(groove, Groove):
        stood = say_face(part, groove.reference)
        lie = say("{lie}, and stood on the {stood}, do their grooves meet", lie=lie, stood=stood)
    return (Check("mirror_pairs", f"{lie}?", None, ZERO),)


def refit_kind(last: Setup) -> StepKind:
    """Putting the guard back after the last of consecutive cuts without it.

    Source: 29 CFR 1910.213(c)(2), from memory: replaced immediately after the operation. That no
    dado set runs behind a riving knife, and that the fence reads true again without its scrap
    board: common practice, no source; the saw's manual governs.
    """
    return make_kind(
        f"guard/refit-{last.id.replace('/', '-')}",
        title=say("Refit riving knife and guard"),
        text=(
            say(
                "Unplug the saw; a dado set out, the saw blade in. Riving knife and guard on, in "
                "line with the blade. Featherboard, stop blocks and the fence's scrap board off. "
                "Cuts that go through the wood need the guard."
            )
        ),
        why=say("They came off only for the cuts that do not go through."),
        numbers=(),
        parts=(),
        tool=TABLE_SAW,
        checks=(
            Check(
                "guard_on", say("Saw blade in, riving knife and guard on and tight?"), None, ZERO
            ),
        ),
        duration_s=estimate_s("guard", 0),
    )


def mark_kind(left: Part, counts: tuple[int, int]) -> StepKind:
    """Marking the pieces of a handed part; counts are left and right for the batch."""
    return make_kind(
        f"mark/{left.name}",
        title=say("Mark {left_title} L and R", left_title=left.title),
        text=say_marking(left, *counts),
        why=say("Until now they are all alike; the next cuts make mirror images of them."),
        numbers=(Number("left", counts[0]), Number("right", counts[1])),
        parts=(left.name,),
        tool="",
        checks=(
            Check(
                "marked",
                say(
                    "Are {counts} marked L and {counts_2} R?", counts=counts[0], counts_2=counts[1]
                ),
                None,
                ZERO,
            ),
        ),
        duration_s=estimate_s("mark", sum(counts)),
    )


def make_kind(
    kind_id: str,
    *,
    title: str,
    text: str,
    why: str,
    numbers: tuple[Number, ...],
    parts: tuple[str, ...],
    tool: str,
    checks: tuple[Check, ...],
    duration_s: int,
) -> StepKind:
    """A derived step for the whole batch; its cautions come later."""
    return StepKind(
        id=kind_id,
        stage=kind_id.split("/")[0],
        title=title,
        text=text,
        why=why,
        numbers=numbers,
        parts=parts,
        tool=tool,
        cautions=(),
        fasteners=(),
        checks=checks,
        role=GlueRole.NONE,
        glue=None,
        scope=Scope.BATCH,
        source=Source.DERIVED,
        duration_s=duration_s,
        picture=None,
        line=0,
    )
