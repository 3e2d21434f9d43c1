"""The safety cards of each step, from its tool, its work and the parts in hand."""

from __future__ import annotations

from dataclasses import replace

from shopstep.conditions.paints import find_paint
from shopstep.design.resolve import Design
from shopstep.model.leaving import MakeSafe
from shopstep.model.part import Part
from shopstep.model.plan import BuildFileError, Where
from shopstep.model.step import Caution, HoldKind, Outline, StepKind
from shopstep.safety import Work, cautions_for
from shopstep.safety.leaving_rows import leaving_rows
from shopstep.units import ZERO, Length
from shopstep.words import say

OILY = "brush:oil"
"""How the table of leaving calls a brush with oil on it."""


def with_cautions(kinds: tuple[StepKind, ...], design: Design) -> tuple[StepKind, ...]:
    """The step kinds with the safety cards for their tools and for the parts in hand."""
    oily, painted = _oily_kinds(design.outline), {kind for kind, _ in design.outline.painted}

    def work(kind: StepKind) -> str:
        """A coat is told by its paint, and not by what the build calls its stage."""
        if kind.id not in painted:
            return kind.stage
        return "oil" if kind.id in oily else "paint"

    return tuple(replace(kind, cautions=_cautions(kind, work(kind), design)) for kind in kinds)


def make_safe_of(kinds: tuple[StepKind, ...], design: Design) -> tuple[MakeSafe, ...]:
    """What is due before the shop is left, for all tools of a plan."""
    tools = {kind.tool for kind in kinds}
    return leaving_rows(frozenset(tools | ({OILY} if _oily_kinds(design.outline) else set())))


def _oily_kinds(outline: Outline) -> frozenset[str]:
    """Steps whose rags can set fire to themselves."""
    rows = {supply.id: supply.row for supply in outline.paints}
    return frozenset(kind for kind, paint in outline.painted if find_paint(rows[paint]).oily)


def _cautions(kind: StepKind, work: str, design: Design) -> tuple[Caution, ...]:
    try:
        return cautions_for(kind.tool, work, _work(kind, design.parts))
    except ValueError as problem:
        raise BuildFileError(
            say("step '{kind_id}': {problem}", kind_id=kind.id, problem=problem),
            dict(design.places).get(kind.id, Where("", kind.line, kind.id)),
        ) from None


def _work(kind: StepKind, parts: tuple[Part, ...]) -> Work:
    held = [part for part in parts if part.name in kind.parts]
    said = [n.value for n in kind.numbers if n.label.startswith("fence")]
    fences = [value for value in said if isinstance(value, Length)]
    return Work(
        shortest=_shortest(kind, held),
        narrowest=min((*(part.width for part in held), *fences), default=None),
        thinnest=min((part.thickness for part in held), default=None),
    )


def _shortest(kind: StepKind, held: list[Part]) -> Length | None:
    """The shortest part; of a step that nails what was worked out for the free hand counts."""
    if any(hold.how in (HoldKind.CLEAT, HoldKind.CLAMP) for hold in kind.hands):
        return ZERO
    if kind.hands:
        return None
    return min((part.length for part in held), default=None)
