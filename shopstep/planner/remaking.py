"""Milling steps for pieces that are made again: one piece each, under ids that end in ``~2``.

Imports milling and ``model``.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from shopstep.milling import derive_steps, plan_milling
from shopstep.model.material import Material
from shopstep.model.operation import Blank
from shopstep.model.part import Part
from shopstep.model.plan import Remake
from shopstep.model.step import Step, StepKind
from shopstep.units import Length


@dataclass(frozen=True, slots=True)
class Remade:
    """What making pieces again adds to a plan."""

    blanks: tuple[Blank, ...] = ()
    kinds: tuple[StepKind, ...] = ()
    steps: tuple[Step, ...] = ()
    last: tuple[tuple[Remake, str], ...] = ()
    """For each remake the steps that must be done before the piece is used."""


def remake_parts(
    remakes: tuple[Remake, ...],
    parts: tuple[Part, ...],
    materials: tuple[Material, ...],
    kerf: Length,
    display: str,
) -> Remade:
    """The blanks and steps of all remakes; a part that the design has no more is passed over."""
    made = Remade()
    for remake in remakes:
        single = _single(remake, parts)
        if single is not None:
            one = _remake(remake, single, materials, kerf, display)
            made = Remade(
                (*made.blanks, *one.blanks),
                (*made.kinds, *one.kinds),
                (*made.steps, *one.steps),
                (*made.last, *one.last),
            )
    return made


def _single(remake: Remake, parts: tuple[Part, ...]) -> Part | None:
    for part in parts:
        if part.name == remake.part and (part.hand.value if part.hand else "") == remake.hand:
            return replace(part, count_unit=1, places=part.places[:1])
    return None


def _remake(
    remake: Remake, part: Part, materials: tuple[Material, ...], kerf: Length, display: str
) -> Remade:
    milling = plan_milling((part,), materials, 1, kerf, display)
    kinds, steps = derive_steps(milling, (part,), display, ())
    left_out = {step.id for step, kind in zip(steps, kinds, strict=True) if kind.stage == "mark"}
    names = {step.id: f"{step.id}~{remake.number}" for step in steps}
    kept = [
        replace(
            step,
            id=names[step.id],
            kind=f"{step.kind}~{remake.number}",
            needs=tuple(names[need] for need in step.needs if need not in left_out),
            behind=names[step.behind] if step.behind is not None else None,
        )
        for step in steps
        if step.id not in left_out
    ]
    told = tuple(
        replace(
            kind,
            id=f"{kind.id}~{remake.number}",
            title=f"{kind.title}, again",
            text=f"For unit {remake.unit}, {part.label}. {kind.text}",
        )
        for kind in kinds
        if kind.stage != "mark"
    )
    return Remade(milling.blanks, told, tuple(kept), tuple((remake, step.id) for step in kept))


def need_remade(
    steps: tuple[Step, ...], kinds: tuple[StepKind, ...], made: Remade, done: frozenset[str]
) -> tuple[Step, ...]:
    """Authored steps of a unit that hold a remade piece and are not done wait for its steps."""
    holds = {kind.id: kind.parts for kind in kinds}

    def needs(step: Step) -> tuple[str, ...]:
        more = [
            last
            for remake, last in made.last
            if step.unit == remake.unit and remake.part in holds.get(step.kind, ())
        ]
        return tuple(dict.fromkeys((*step.needs, *more)))

    return tuple(step if step.id in done else replace(step, needs=needs(step)) for step in steps)
