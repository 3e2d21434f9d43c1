"""Steps from setups: one batch step each, boards made ready before, left and right marked,
guards back on.

Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from shopstep.milling.allowing import as_cut
from shopstep.milling.drafts import GUARD_OFF, PLANER, SHAPING_SIZE, SHORT, TABLE_SAW
from shopstep.milling.guard import Guard
from shopstep.milling.kinds import mark_kind, refit_kind, setup_kind
from shopstep.milling.planing import boards_of, plane_kind
from shopstep.milling.rough import (
    edge_kind,
    name_boards,
    rough_kind,
    section_kind,
    sectioned_boards,
    trace_parts,
)
from shopstep.milling.route import Milling
from shopstep.milling.spares import count_spares
from shopstep.milling.words import Telling
from shopstep.model.joint import Joint
from shopstep.model.operation import PLANE, Operation, Setup
from shopstep.model.part import Hand, Part
from shopstep.model.resources import Planer
from shopstep.model.step import MACHINES, Step, StepKind
from shopstep.model.stock import StockPiece


def derive_steps(
    milling: Milling,
    parts: tuple[Part, ...],
    display: str,
    pieces: tuple[StockPiece, ...],
    joints: tuple[Joint, ...] = (),
    planer: Planer | None = None,
    sheets: frozenset[str] = frozenset(),
) -> tuple[tuple[StepKind, ...], tuple[Step, ...]]:
    """Step kinds and batch steps of the milling, in working order; cautions come later.

    ``pieces`` is what everything is cut from: boards that are too thick are planed first, whole
    (``planer``), then all are cut into rough lengths that get a straight edge. ``joints`` tell
    which channels something goes into, ``sheets`` which materials are no boards: some of them are
    sawn into sections first. Handed parts are marked before the first feature is cut into
    them. After setups that need the guard off, putting it back is a step of its own, and all later
    saw steps need it. Setups with the guard off and the step that puts it back follow each other at
    once, so that no evening ends with the guard off.
    """
    parts = tuple(as_cut(part) for part in parts)
    telling = Telling(display, trace_parts(pieces), joints=joints, spares=count_spares(pieces))
    line = _Line(milling, parts, telling)
    if planer is not None:
        line.add_planing(pieces, planer)
    line.add_boards(pieces, sheets)
    for setup in milling.setups:
        if setup.kind == PLANE:
            continue
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
class _Boards:
    """Of one material: steps that others of the same material wait for; built up one by one."""

    ready: list[str] = field(default_factory=list)
    """Rough lengths cut and one edge straight."""
    sliced: list[str] = field(default_factory=list)
    short: list[str] = field(default_factory=list)
    """Short pieces off the long stick."""

    def needs(self, kind: str) -> tuple[str, ...]:
        """What comes before: slices before rips, short pieces before long ones."""
        later = {"rip": self.sliced, "crosscut": self.short}
        return (*self.ready, *later.get(kind, ())) if kind in SHAPING_SIZE else ()

    def note(self, kind: str, step: str, part: Part) -> None:
        """Remember a step that cuts this part."""
        if kind == "slice":
            self.sliced.append(step)
        elif kind in ("crosscut", "crosscut_hand") and part.length < SHORT:
            self.short.append(step)


@dataclass(slots=True)
class _Line:
    """The steps so far: built up one by one, so this alone is not frozen."""

    milling: Milling
    parts: tuple[Part, ...]
    telling: Telling
    kinds: list[StepKind] = field(default_factory=list)
    steps: list[Step] = field(default_factory=list)
    made: dict[str, str] = field(default_factory=dict)
    """Step id of each operation that has one."""
    marked: dict[str, str] = field(default_factory=dict)
    """Step id of the marking of each handed part."""
    boards: dict[str, _Boards] = field(default_factory=dict)
    """By material."""
    guard: Guard = field(default_factory=Guard)
    last: Setup | None = None

    def operations(self, setup: Setup) -> tuple[Operation, ...]:
        """The operations of a setup."""
        return tuple(op for op in self.milling.operations if op.id in setup.operations)

    def add_planing(self, pieces: tuple[StockPiece, ...], planer: Planer) -> None:
        """Boards to thickness; all other work on boards of their material waits for it."""
        names, display = name_boards(pieces), self.telling.display
        materials = {part.name: part.material for part in self.parts}
        for setup in self.milling.setups:
            if setup.kind != PLANE:
                continue
            own = self.operations(setup)
            kind = plane_kind(setup, boards_of(setup, own, pieces), names, planer, display)
            step = self._add(kind, (), (PLANER,))
            self.made |= dict.fromkeys(setup.operations, step)
            for material in {materials[op.part] for op in own}:
                self.boards.setdefault(material, _Boards()).ready.append(step)

    def add_boards(self, pieces: tuple[StockPiece, ...], sheets: frozenset[str]) -> None:
        """Rough lengths and a straight edge for each material that is sold in boards; sections of
        ``sheets``.

        Boards that were added since are not among them: the lists on the cards stay as they were.
        """
        names, display = name_boards(pieces), self.telling.display
        own = tuple(piece for piece in pieces if not piece.is_added)
        for material, boards in sectioned_boards(own).items():
            ready = self.boards.setdefault(material, _Boards()).ready
            kind = rough_kind(material, boards, names, display)
            if material in sheets:
                every = tuple(piece for piece in own if piece.material == material)
                kind = section_kind(material, every, names, display)
            ready[:] = [self._add(kind, tuple(ready), ())]
            edge = edge_kind(material, boards, names, display)
            if edge:
                step = self._add(edge, ready, (TABLE_SAW,))
                self.guard.note_on(TABLE_SAW, step, ready)
                ready[:] = [step]

    def add_setup(self, setup: Setup) -> None:
        """One batch step for the setup."""
        operations = self.operations(setup)
        owners = {(part.name, part.hand): part for part in self.parts}
        parts = {op.id: owners[op.part, op.hand] for op in operations}
        behind = self.guard.follows(setup)
        telling = replace(self.telling, before=self.last if behind else None)
        kind = setup_kind(setup, operations, parts, telling, self._count_pairs(operations))
        needs = (*self._needs(setup, operations, parts), *((behind,) if behind else ()))
        resources = (setup.tool,) if setup.tool in MACHINES else ()
        guard = self.guard.needs(setup.tool, setup.kind)
        step = self._add(kind, (*needs, *guard), resources, behind)
        self.made |= dict.fromkeys(setup.operations, step)
        self.last = setup
        for part in parts.values():
            self._boards_of(part).note(setup.kind, step, part)
        if setup.kind in GUARD_OFF:
            self.guard.note_off(setup, step)
        else:
            self.guard.note_on(setup.tool, step, needs)

    def _boards_of(self, part: Part) -> _Boards:
        return self.boards.setdefault(part.material, _Boards())

    def _needs(
        self, setup: Setup, operations: tuple[Operation, ...], parts: Mapping[str, Part]
    ) -> list[str]:
        needs = [need for p in parts.values() for need in self._boards_of(p).needs(setup.kind)]
        needs += [self.made[need] for op in operations for need in op.needs if need in self.made]
        return needs + [self.marked[op.part] for op in operations if op.part in self.marked]

    def _count_pairs(self, operations: tuple[Operation, ...]) -> tuple[int, int]:
        """Left and right pieces that have a cut of this setup once it is done."""
        if not all(op.hand and _is_feature(op) and op.kind != "drill" for op in operations):
            return 0, 0
        ids = {op.id for op in operations}
        others = {_mirror_id(op) for op in operations} & self.made.keys()
        counted = [op for op in self.milling.operations if op.id in ids | others]
        return count_hands(counted)

    def add_refit(self) -> None:
        """Guard and riving knife back on, if they are off."""
        if self.guard.last_off is not None:
            kind = refit_kind(self.guard.last_off)
            step = self._add(kind, self.guard.off, (TABLE_SAW,), self.guard.off[-1])
            self.guard = Guard(refit=(step,))

    def add_marks(self, names: Iterable[str]) -> None:
        """Mark left and right on each of these parts that is handed, cut and not yet marked."""
        for name in dict.fromkeys(names):
            own = [op for op in self.milling.operations if op.part == name]
            sized = [op for op in own if not _is_feature(op)]
            left = next((p for p in self.parts if p.name == name and p.hand is Hand.LEFT), None)
            if left and sized and name not in self.marked and all(o.id in self.made for o in sized):
                needs = dict.fromkeys(self.made[op.id] for op in sized)
                last = {(op.part, op.hand): op for op in sized}
                kind = mark_kind(left, count_hands(last.values()))
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


def _mirror_id(operation: Operation) -> str:
    """The id of the same cut in the other hand."""
    other = Hand.RIGHT if operation.hand is Hand.LEFT else Hand.LEFT
    lead = f"/{operation.part}/"
    return operation.id.replace(f"{lead}{operation.hand}", f"{lead}{other}", 1)


def count_hands(operations: Iterable[Operation]) -> tuple[int, int]:
    """How many left and how many right pieces these operations cut."""
    counted = tuple(operations)
    left, right = (sum(op.count for op in counted if op.hand is hand) for hand in Hand)
    return left, right
