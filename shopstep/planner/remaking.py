"""Milling steps for pieces made alone: made again (ids end in ``~2``), or for one unit (``~u2``).

Imports milling and ``model``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, replace

from shopstep.milling import derive_steps, plan_milling
from shopstep.model.bench import Apart
from shopstep.model.joint import Joint
from shopstep.model.material import Material
from shopstep.model.operation import Blank
from shopstep.model.part import Part
from shopstep.model.plan import Remake
from shopstep.model.step import Step, StepKind
from shopstep.units import Length
from shopstep.words import say


@dataclass(frozen=True, slots=True)
class Remade:
    """What making pieces alone adds to a plan."""

    blanks: tuple[Blank, ...] = ()
    kinds: tuple[StepKind, ...] = ()
    steps: tuple[Step, ...] = ()
    last: tuple[tuple[int, str, str], ...] = ()
    """Unit and part of a piece, and a step that must be done before it is used."""

    def plus(self, other: Remade) -> Remade:
        """Both together."""
        return Remade(
            (*self.blanks, *other.blanks),
            (*self.kinds, *other.kinds),
            (*self.steps, *other.steps),
            (*self.last, *other.last),
        )


@dataclass(frozen=True, slots=True)
class Alone:
    """What milling has to know besides the part."""

    materials: tuple[Material, ...]
    kerf: Length
    display: str
    joints: tuple[Joint, ...] = ()


def remake_parts(
    remakes: tuple[Remake, ...], parts_for: Callable[[int], tuple[Part, ...]], shop: Alone
) -> Remade:
    """The blanks and steps of all remakes, at the sizes that their units want today.

    What was spoiled at once is cut together, at shared settings. A part that the design has no
    more is passed over.
    """
    groups: dict[tuple[int, int], list[Remake]] = {}
    for remake in remakes:
        groups.setdefault((remake.number, remake.unit), []).append(remake)
    made = Remade()
    for (number, unit), group in groups.items():
        counts = Counter((remake.part, remake.hand) for remake in group)
        parts = tuple(
            replace(part, count_unit=count, places=part.places[:1], apart=())
            for part in parts_for(unit)
            if (count := counts.get((part.name, part.hand.value if part.hand else "")))
        )
        if parts:
            made = made.plus(_mill_alone(parts, unit, (f"~{number}", say(", again")), shop))
    return made


def make_apart(apart: tuple[Apart, ...], shop: Alone) -> Remade:
    """The blanks and steps of pieces that one unit has at its own sizes."""
    made = Remade()
    for piece in apart:
        told = (f"~u{piece.unit}", say(", unit {piece_unit}", piece_unit=piece.unit))
        made = made.plus(_mill_alone((piece.part,), piece.unit, told, shop))
    return made


def remade_pieces(
    remakes: tuple[Remake, ...], parts: tuple[Part, ...], units: int
) -> tuple[tuple[str, int | None], ...]:
    """Part and unit of what is made again, every piece of it; in a batch of one, that is all."""
    wanted = Counter[str]()
    for part in parts:
        wanted[part.name] += part.count_unit
    again = Counter((remake.part, remake.unit) for remake in remakes)
    whole = [key for key, count in again.items() if count >= wanted[key[0]]]
    return (*whole, *((part, None) for part, _ in whole if units == 1))


def _mill_alone(parts: tuple[Part, ...], unit: int, told: tuple[str, str], shop: Alone) -> Remade:
    """``told``: the end of the ids, and of the titles."""
    tag, title_end = told
    milling = plan_milling(parts, shop.materials, 1, shop.kerf, shop.display)
    kinds, steps = derive_steps(milling, parts, shop.display, (), shop.joints)
    left_out = {step.id for step, kind in zip(steps, kinds, strict=True) if kind.stage == "mark"}
    names = {step.id: f"{step.id}{tag}" for step in steps}
    kept = [
        replace(
            step,
            id=names[step.id],
            kind=f"{step.kind}{tag}",
            needs=tuple(names[need] for need in step.needs if need not in left_out),
            behind=names[step.behind] if step.behind is not None else None,
        )
        for step in steps
        if step.id not in left_out
    ]
    worded = tuple(
        replace(
            kind,
            id=f"{kind.id}{tag}",
            title=f"{kind.title}{title_end}",
            text=say(
                "For unit {unit}, {labels}. {kind}",
                unit=unit,
                labels=_labels(parts, kind),
                kind=kind.text,
            ),
        )
        for kind in kinds
        if kind.stage != "mark"
    )
    cuts = {kind.id: kind.parts for kind in worded}
    last = tuple(
        (unit, part, step.id)
        for step in kept
        for part in cuts[step.kind] or tuple({part.name for part in parts})
    )
    return Remade(milling.blanks, worded, tuple(kept), last)


def _labels(parts: tuple[Part, ...], kind: StepKind) -> str:
    """The pieces that a step is about: "left side rail, panel"."""
    return ", ".join(part.label for part in parts if not kind.parts or part.name in kind.parts)


def need_remade(
    steps: tuple[Step, ...], kinds: tuple[StepKind, ...], made: Remade, done: frozenset[str]
) -> tuple[Step, ...]:
    """Authored steps that hold a piece made alone and are not done wait for its steps."""
    holds = {kind.id: kind.parts for kind in kinds}

    def needs(step: Step) -> tuple[str, ...]:
        more = [
            last
            for unit, part, last in made.last
            if step.unit in (None, unit) and part in holds.get(step.kind, ())
        ]
        return tuple(dict.fromkeys((*step.needs, *more)))

    return tuple(step if step.id in done else replace(step, needs=needs(step)) for step in steps)
