"""Two designs held against each other: what changes for parts, setups, steps, buying and time.

Takes two plans and makes no plan. Imports ``model`` and the evenings of this room.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from dataclasses import dataclass
from typing import Generic, TypeVar

from shopstep.model.operation import Setup
from shopstep.model.part import Part
from shopstep.model.plan import Fit, Plan
from shopstep.model.step import StepKind
from shopstep.model.stock import BuyLine
from shopstep.present.evenings import plan_evenings
from shopstep.units import Length

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Change(Generic[T]):
    """One thing that is in the old plan, in the new one, or in both and not the same."""

    old: T | None
    new: T | None

    @property
    def word(self) -> str:
        """``added``, ``gone`` or ``changed``."""
        if self.old is None:
            return "added"
        return "gone" if self.new is None else "changed"


@dataclass(frozen=True, slots=True)
class Load:
    """What a plan asks of its keeper."""

    setups: int
    evenings: int
    hands_on_s: int
    weak: tuple[Fit, ...]
    """Fits that are broken, or that may break within the tolerances."""

    @property
    def figures(self) -> tuple[object, ...]:
        """All that is compared of it; of the fits their names and whether they are broken."""
        weak = tuple((fit.name, fit.ok) for fit in self.weak)
        return (self.setups, self.evenings, self.hands_on_s, weak)


@dataclass(frozen=True, slots=True)
class Comparison:
    """What changes from one plan to another. Things that stay the same are not listed."""

    old: Plan
    new: Plan
    measured: tuple[tuple[str, Change[Length]], ...]
    parts: tuple[Change[Part], ...]
    setups: tuple[Change[Setup], ...]
    steps: tuple[Change[StepKind], ...]
    buy: tuple[Change[BuyLine], ...]
    loads: tuple[Load, Load]
    """Of the old and of the new plan."""

    @property
    def is_same(self) -> bool:
        """Whether nothing is added, gone or changed."""
        lists = (self.measured, self.parts, self.setups, self.steps, self.buy)
        return not any(lists) and self.loads[0].figures == self.loads[1].figures


def compare_plans(old: Plan, new: Plan) -> Comparison:
    """What changes from the old plan to the new one."""
    return Comparison(
        old=old,
        new=new,
        measured=_measured(old, new),
        parts=_changes(
            ((part.name, part.hand), part, _part_facts(part)) for part in old.parts
        ).against(((part.name, part.hand), part, _part_facts(part)) for part in new.parts),
        setups=_changes(_setup_rows(old)).against(_setup_rows(new)),
        steps=_changes((kind.id, kind, _step_facts(kind)) for kind in old.kinds).against(
            (kind.id, kind, _step_facts(kind)) for kind in new.kinds
        ),
        buy=_changes((line.item, line, line.text) for line in old.buy).against(
            (line.item, line, line.text) for line in new.buy
        ),
        loads=(weigh_plan(old), weigh_plan(new)),
    )


def weigh_plan(plan: Plan) -> Load:
    """What the plan asks of its keeper: setups, evenings, hands-on seconds, weak fits."""
    return Load(
        setups=len(plan.setups),
        evenings=len(plan_evenings(plan)),
        hands_on_s=sum(step.duration_s for step in plan.steps),
        weak=tuple(fit for fit in plan.fits if not fit.ok or fit.advice),
    )


Row = tuple[Hashable, T, Hashable]
"""What it is known by, the thing, and what must be equal for it to be the same."""


@dataclass(frozen=True, slots=True)
class _Rows(Generic[T]):
    """The things of the old plan, to be held against those of the new one."""

    old: dict[Hashable, tuple[T, Hashable]]

    def against(self, rows: Iterable[Row[T]]) -> tuple[Change[T], ...]:
        """What is gone or changed, in the old order, then what is added, in the new one."""
        new = {key: (thing, facts) for key, thing, facts in rows}
        gone = [
            Change(thing, new[key][0] if key in new else None)
            for key, (thing, facts) in self.old.items()
            if key not in new or new[key][1] != facts
        ]
        added = [Change(None, thing) for key, (thing, _) in new.items() if key not in self.old]
        return (*gone, *added)


def _changes(rows: Iterable[Row[T]]) -> _Rows[T]:
    return _Rows({key: (thing, facts) for key, thing, facts in rows})


def _measured(old: Plan, new: Plan) -> tuple[tuple[str, Change[Length]], ...]:
    values = [{item.name: item.value for item in plan.measured} for plan in (old, new)]
    names = dict.fromkeys([*values[0], *values[1]])
    pairs = [(name, Change(values[0].get(name), values[1].get(name))) for name in names]
    return tuple((name, change) for name, change in pairs if change.old != change.new)


def _part_facts(part: Part) -> Hashable:
    sizes = (part.length, part.width, part.thickness)
    return (part.material, part.count_unit, sizes, part.features)


def _step_facts(kind: StepKind) -> Hashable:
    return (kind.title, kind.text, kind.duration_s, kind.parts, kind.numbers, kind.fasteners)


def _setup_rows(plan: Plan) -> list[Row[Setup]]:
    """Setups are known by what is set on the machine: another setting is another setup."""
    return [((each.tool, each.kind, each.settings), each, None) for each in plan.setups]
