"""Steps from setups: one batch step each, left and right marked, guards back on.

Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from shopstep.milling.drafts import DRILL_PRESS, GUARD_OFF, SHAPING_SIZE, TABLE_SAW
from shopstep.milling.kinds import count_hands, mark_kind, refit_kind, setup_kind
from shopstep.milling.route import Milling
from shopstep.model.operation import Operation, Setup
from shopstep.model.part import Hand, Part
from shopstep.model.step import Step, StepKind

_MACHINES = (TABLE_SAW, DRILL_PRESS)
"""Only one step at a time can use these."""


def derive_steps(
    milling: Milling, parts: tuple[Part, ...], units: int, display: str
) -> tuple[tuple[StepKind, ...], tuple[Step, ...]]:
    """Step kinds and batch steps of the milling, in working order; cautions come later.

    Handed parts are marked before the first feature is cut into them. After setups that need
    the guard off, putting it back is a step of its own, and all later saw steps need it. Setups
    with the guard off and the step that puts it back follow each other at once, so that no
    evening ends with the guard off.
    """
    line = _Line(milling, parts, units, display)
    for setup in milling.setups:
        if setup.kind not in GUARD_OFF:
            line.add_refit()
        line.add_marks(
            operation.part for operation in line.operations(setup) if _is_feature(operation)
        )
        line.add_setup(setup)
    line.add_refit()
    line.add_marks(operation.part for operation in milling.operations)
    return tuple(line.kinds), tuple(line.steps)


def _is_feature(operation: Operation) -> bool:
    return operation.kind not in SHAPING_SIZE


@dataclass(slots=True)
class _Guard:
    """Where riving knife and guard are, while the steps are laid out."""

    on: list[str] = field(default_factory=list)
    """Saw steps since they were last put back, less those that another of them needs."""
    off: list[str] = field(default_factory=list)
    """Saw steps since they were taken off."""
    last_off: Setup | None = None
    refit: tuple[str, ...] = ()
    """The step that last put them back."""

    def needs(self, setup: Setup) -> tuple[str, ...]:
        """Steps that must be done so that the guard is where this setup wants it."""
        if setup.tool != TABLE_SAW:
            return ()
        return (*self.refit, *(self.on if setup.kind in GUARD_OFF else ()))

    def note(self, setup: Setup, step: str, needs: Iterable[str]) -> None:
        """Remember that the setup was done as that step."""
        if setup.kind in GUARD_OFF:
            self.off.append(step)
            self.last_off = setup
        elif setup.tool == TABLE_SAW:
            self.on = [other for other in self.on if other not in needs] + [step]


@dataclass(slots=True)
class _Line:
    """The steps so far: built up one by one, so this alone is not frozen."""

    milling: Milling
    parts: tuple[Part, ...]
    units: int
    display: str
    kinds: list[StepKind] = field(default_factory=list)
    steps: list[Step] = field(default_factory=list)
    made: dict[str, str] = field(default_factory=dict)
    """Step id of each operation that has one."""
    marked: dict[str, str] = field(default_factory=dict)
    """Step id of the marking of each handed part."""
    guard: _Guard = field(default_factory=_Guard)

    def operations(self, setup: Setup) -> tuple[Operation, ...]:
        """The operations of a setup."""
        return tuple(op for op in self.milling.operations if op.id in setup.operations)

    def add_setup(self, setup: Setup) -> None:
        """One batch step for the setup."""
        operations = self.operations(setup)
        owners = {(part.name, part.hand): part for part in self.parts}
        parts = {op.id: owners[op.part, op.hand] for op in operations}
        needs = [self.made[need] for op in operations for need in op.needs if need in self.made]
        needs += [self.marked[op.part] for op in operations if op.part in self.marked]
        kind = setup_kind(setup, operations, parts, self.display)
        resources = (setup.tool,) if setup.tool in _MACHINES else ()
        behind = self.guard.off[-1] if setup.kind in GUARD_OFF and self.guard.off else None
        needs += [behind] if behind else []
        step = self._add(kind, (*needs, *self.guard.needs(setup)), resources, behind)
        self.made |= dict.fromkeys(setup.operations, step)
        self.guard.note(setup, step, needs)

    def add_refit(self) -> None:
        """Guard and riving knife back on, if they are off."""
        if self.guard.last_off is not None:
            behind = self.guard.off[-1]
            step = self._add(refit_kind(self.guard.last_off), self.guard.off, (TABLE_SAW,), behind)
            self.guard = _Guard(refit=(step,))

    def add_marks(self, names: Iterable[str]) -> None:
        """Mark left and right on each of these parts that is handed, cut and not yet marked."""
        for name in dict.fromkeys(names):
            cuts = tuple(
                op for op in self.milling.operations if op.part == name and op.kind == "crosscut"
            )
            left = next((p for p in self.parts if p.name == name and p.hand is Hand.LEFT), None)
            if left and cuts and name not in self.marked and all(op.id in self.made for op in cuts):
                needs = [self.made[op.id] for op in cuts]
                kind = mark_kind(left, count_hands(cuts), self.units)
                self.marked[name] = self._add(kind, needs, ())

    def _add(
        self,
        kind: StepKind,
        needs: Iterable[str],
        resources: tuple[str, ...],
        behind: str | None = None,
    ) -> str:
        step = Step(
            id=f"all/{kind.id}",
            kind=kind.id,
            unit=None,
            needs=tuple(dict.fromkeys(needs)),
            duration_s=kind.duration_s,
            start_s=0,
            end_s=0,
            resources=resources,
            behind=behind,
        )
        self.kinds.append(kind)
        self.steps.append(step)
        return step.id
