"""Step kinds of the milling: a setup, guard and riving knife back on, left and right marked.

Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Mapping

from shopstep.milling.drafts import TABLE_SAW
from shopstep.milling.marks import say_marking
from shopstep.milling.times import estimate_s
from shopstep.milling.words import WORDINGS, make_checks, make_numbers, make_text, make_title
from shopstep.model.operation import Operation, Setup
from shopstep.model.part import Hand, Part
from shopstep.model.step import Check, GlueRole, Number, Scope, Source, StepKind
from shopstep.units import ZERO


def setup_kind(
    setup: Setup, operations: tuple[Operation, ...], parts: Mapping[str, Part], display: str
) -> StepKind:
    """The step of a setup; ``parts`` is keyed by operation id."""
    pieces = sum(operation.count for operation in operations)
    return _make_kind(
        setup.id,
        title=make_title(setup, parts.values(), display),
        text=make_text(setup, operations, parts, display),
        why=WORDINGS[setup.kind].why,
        numbers=make_numbers(setup, pieces),
        parts=tuple(dict.fromkeys(part.name for part in parts.values())),
        tool=setup.tool,
        checks=(*make_checks(setup, parts.values(), display), *_check_pairs(operations)),
        duration_s=estimate_s(setup.kind, pieces),
    )


def _check_pairs(operations: tuple[Operation, ...]) -> tuple[Check, ...]:
    """Where both hands get a feature: look at the mirror images before going on."""
    kinds = {operation.kind for operation in operations}
    left, right = count_hands(operations)
    if not (left and right and kinds & {"groove", "notch", "bevel_rip"}):
        return ()
    text = f"Do {left} left and {right} right pieces lie as mirror images?"
    return (Check("mirror_pairs", text, None, ZERO),)


def count_hands(operations: tuple[Operation, ...]) -> tuple[int, int]:
    """How many left and how many right pieces these operations cut."""
    left = sum(op.count for op in operations if op.hand is Hand.LEFT)
    right = sum(op.count for op in operations if op.hand is Hand.RIGHT)
    return left, right


def refit_kind(last: Setup) -> StepKind:
    """Putting the guard back after the last of consecutive cuts without it.

    Source: 29 CFR 1910.213(c)(2), from memory: replaced immediately after the operation.
    """
    return _make_kind(
        f"guard/refit-{last.id.replace('/', '-')}",
        title="Refit riving knife and guard",
        text=(
            "Unplug the saw, put riving knife and guard back on, in line with the blade, and take "
            "featherboard and stop blocks off. Cuts that go through the wood need the guard."
        ),
        why="They came off only for the cuts that do not go through.",
        numbers=(),
        parts=(),
        tool=TABLE_SAW,
        checks=(Check("guard_on", "Are riving knife and guard on and tight?", None, ZERO),),
        duration_s=estimate_s("guard", 0),
    )


def mark_kind(left: Part, counts: tuple[int, int], units: int) -> StepKind:
    """Marking the pieces of a handed part; counts are left and right for the batch."""
    return _make_kind(
        f"mark/{left.name}",
        title=f"Mark {left.title} L and R",
        text=say_marking(left, *counts, units),
        why="Until now they are all alike; the next cuts make mirror images of them.",
        numbers=(Number("left", counts[0]), Number("right", counts[1])),
        parts=(left.name,),
        tool="",
        checks=(Check("marked", f"Are {counts[0]} marked L and {counts[1]} R?", None, ZERO),),
        duration_s=estimate_s("mark", sum(counts)),
    )


def _make_kind(
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
