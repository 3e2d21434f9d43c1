"""What a tick moves on the rack: boards that are cut leave it, what remains comes back.

Pure: worked out from the plan, from what is finished, and from what was moved before. Imports
``stock`` for what remains, events of this room, and ``model``.
"""

from __future__ import annotations

from collections.abc import Set as AbstractSet
from dataclasses import dataclass

from shopstep.model.operation import PLANE
from shopstep.model.plan import Plan
from shopstep.model.step import StepKind
from shopstep.model.stock import REST, Rest, StockPiece
from shopstep.session.events import Event, PartSpoiled, StepFinished, StepReopened
from shopstep.session.spoiled_stock import SPOILED, spoiled_rest
from shopstep.stock.rests import rests_of_piece
from shopstep.units import Length

_ROUGH = "rough_cut"
CLEAR = "clear-"
"""Begins the key of a clear part that came back because another one of its board was cut."""
PLANED = " planed from "
"""Stands between a board of the rack and the thickness that it had, in nanometres."""
_RIPS = frozenset({"edge", "slice", "rip", "rip_thin", "sheet_cut", "straightedge"})
_CROSSCUTS = frozenset({"crosscut", "crosscut_hand"})
_SHEARS = frozenset({"shear", "snip", "knife_cut"})
_SIZING = _RIPS | _CROSSCUTS | _SHEARS
_PARTS_IT = {"rip": _RIPS | _SHEARS, "crosscut": _SIZING}
"""By stage of a rest, the work that parts it from its piece."""


@dataclass(frozen=True, slots=True)
class Leave:
    """A piece of the plan's stock was cut: it is no longer what it was."""

    step: str
    piece: StockPiece


@dataclass(frozen=True, slots=True)
class Thin:
    """A board was planed: it lies there whole, and thinner."""

    step: str
    piece: StockPiece
    thickness: Length

    @property
    def name(self) -> str:
        """What it goes by among what was moved."""
        return f"{self.piece.rack_id}{PLANED}{self.piece.planed_from.nm}"


@dataclass(frozen=True, slots=True)
class Come:
    """What remains of a piece came off."""

    step: str
    piece: StockPiece
    rest: Rest
    thickness: Length
    spoiled: str | None = None
    """Why, where it is a spoiled part (may be empty): it has to be looked over first."""


@dataclass(frozen=True, slots=True)
class CutInto:
    """What remained of a piece was cut into: as it was, it is there no more."""

    step: str
    piece: StockPiece
    key: str


@dataclass(frozen=True, slots=True)
class Undo:
    """A step was opened again: nothing was cut by it."""

    step: str


Move = Leave | CutInto | Thin | Come | Undo
Came = tuple[str, str]
"""Id of a stock piece, and which rest of it."""


@dataclass(frozen=True, slots=True)
class Moved:
    """What was moved on the rack for a session so far."""

    left: frozenset[str] = frozenset()
    """Ids of stock pieces that were cut; of boards that were planed, what ``Thin.name`` says."""
    came: frozenset[Came] = frozenset()


def may_move(event: Event) -> bool:
    """Whether an event can move anything; told from the event alone, without a plan."""
    if isinstance(event, PartSpoiled):
        return True
    if not isinstance(event, StepFinished | StepReopened):
        return False
    return work_of(event.step.partition("/")[2]) in _SIZING | {_ROUGH, PLANE}


def work_of(kind: str) -> str:
    """The kind of work in a kind's id: ``rip`` of ``rip/side_rail``, also in lots."""
    return kind.partition("/")[0].partition("#")[0].partition("~")[0]


def moves_of(
    event: Event, plan: Plan, finished: AbstractSet[str], moved: Moved
) -> tuple[Move, ...]:
    """What an event moves; ``finished``: steps that were done before it."""
    if isinstance(event, StepReopened) and may_move(event):
        return (Undo(event.step),)
    if isinstance(event, PartSpoiled):
        return _spoiled(event, plan, finished)
    if not isinstance(event, StepFinished) or not may_move(event):
        return ()
    kinds = {kind.id: kind for kind in plan.kinds}
    kind = next((kinds[step.kind] for step in plan.steps if step.id == event.step), None)
    if kind is None:
        return ()
    if work_of(kind.id) == PLANE:
        return tuple(thin for thin in _planed(kind, plan) if thin.name not in moved.left)
    now_left = tuple(
        piece for piece in plan.stock if piece.id not in moved.left and _cuts(kind, piece)
    )
    left = moved.left | {piece.id for piece in now_left}
    done = {*finished, event.step}
    cut = [piece for piece in plan.stock if piece.id in left]
    coming = tuple(come for piece in cut for come in _coming(event.step, piece, plan))
    ready = tuple(
        come for come in coming if _is_due(come, kind, moved) and _is_off(come, plan, kinds, done)
    )
    leaving = (Leave(event.step, piece) for piece in now_left)
    return (*leaving, *_cut_into(event.step, kind, cut, coming, moved), *ready)


def _planed(kind: StepKind, plan: Plan) -> tuple[Thin, ...]:
    """The rack's boards that have gone through the planer once this is done; each once.

    After a first lot of passes they are not there yet.
    """
    setup = next((s for s in plan.setups if s.id == kind.id), None)
    if setup is None:
        return ()
    step = f"all/{kind.id}"
    thin = {m.id: m.thickness for m in plan.materials if m.thickness == setup.settings[0].value}
    boards = {
        piece.rack_id: Thin(step, piece, thin[piece.material])
        for piece in plan.stock
        if piece.planed_from and piece.rack_id and piece.material in thin
    }
    return tuple(boards.values())


def _spoiled(event: PartSpoiled, plan: Plan, finished: AbstractSet[str]) -> tuple[Move, ...]:
    found = spoiled_rest(event, plan, finished)
    return (Come(*found, spoiled=event.reason),) if found is not None else ()


def _cut_into(
    step: str, kind: StepKind, cut: list[StockPiece], coming: tuple[Come, ...], moved: Moved
) -> tuple[CutInto, ...]:
    """Rests that came before, and that the plan now takes parts from."""
    touched = {p.id: p for p in cut if _parts_of(kind) & {each.part for each in p.cuts}}
    still = {(come.piece.id, come.rest.key) for come in coming}
    return tuple(
        CutInto(step, touched[stock], key)
        for stock, key in sorted(moved.came - still)
        if stock in touched and not key.startswith((CLEAR, SPOILED))
    )


def _is_due(come: Come, kind: StepKind, moved: Moved) -> bool:
    """Whether a rest is new, or the step cuts the piece that it came off once more."""
    if (come.piece.id, come.rest.key) not in moved.came:
        return True
    return bool(_parts_of(kind) & {cut.part for cut in come.piece.cuts})


def _cuts(kind: StepKind, piece: StockPiece) -> bool:
    """Whether a step of that kind is the first that takes a blade to a piece.

    What was laid out after the rough cut of its material is cut up with its first part.
    """
    work = work_of(kind.id)
    if work == _ROUGH:
        return bool(piece.sections) and not piece.is_added and _is_of(kind, piece)
    if piece.sections and not (piece.is_added or piece.id.startswith(REST)):
        return False
    return work in _SIZING and bool(_parts_of(kind) & {cut.part for cut in piece.cuts})


def _is_of(kind: StepKind, piece: StockPiece) -> bool:
    return kind.id.partition("/")[2].partition("#")[0] == piece.material


def _parts_of(kind: StepKind) -> set[str]:
    return set(kind.parts)


def _coming(step: str, piece: StockPiece, plan: Plan) -> tuple[Come, ...]:
    material = next(m for m in plan.materials if m.id == piece.material)
    return tuple(
        Come(step, piece, rest, material.thickness) for rest in rests_of_piece(piece, material.form)
    )


def _is_off(come: Come, plan: Plan, kinds: dict[str, StepKind], done: set[str]) -> bool:
    """Whether all that parts a rest from its piece is done."""
    if come.rest.stage == "rough":
        return True
    works = _PARTS_IT[come.rest.stage]
    owners = set(come.rest.owners)
    return all(
        step.id in done
        for step in plan.steps
        if work_of(step.kind) in works and owners & _parts_of(kinds[step.kind])
    )
