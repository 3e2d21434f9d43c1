"""A spoiled piece as stock: plain wood at its true size, once somebody has looked it over.

Pure, as ``rack_moves``. Imports ``stock`` for what is worth keeping, and ``model``.
"""

from __future__ import annotations

from collections.abc import Set as AbstractSet

from shopstep.model.operation import PLANE, Operation
from shopstep.model.part import Part
from shopstep.model.plan import Plan
from shopstep.model.step import Source
from shopstep.model.stock import Cut, Rest, StockPiece
from shopstep.session.events import PartSpoiled
from shopstep.stock.rests import is_kept
from shopstep.units import Length

SPOILED = "spoiled-"
"""Begins the key of a spoiled piece among what came off a piece of stock."""
_ON_EDGE = "rip_thin"


def spoiled_rest(
    event: PartSpoiled, plan: Plan, finished: AbstractSet[str]
) -> tuple[str, StockPiece, Rest, Length] | None:
    """The step that cut the piece, what it was cut from, its place and size, and its thickness.

    None where it is no plain stock any more (something is cut into it, or an authored step had it
    in hand: it may be glued, nailed or painted), and where it is too small to be kept.
    """
    part = next(
        (p for p in plan.parts if p.name == event.part and (p.hand or "") == event.hand), None
    )
    material = next((m for m in plan.materials if part and m.id == part.material), None)
    if part is None or material is None or part.features or _was_used(event, plan, finished):
        return None
    own = [(p, cut) for p in plan.stock for cut in p.cuts if _is_of(cut, part) and not cut.spare]
    step = _last_cut(part, plan, finished)
    if not own or not step:
        return None
    piece, cut = own[min(len(own), event.unit * part.count_unit) - 1]
    key = f"{SPOILED}{part.name}-{event.hand or 'none'}-{event.unit}-{event.number}"
    place = (cut.at_length, cut.at_width, cut.length, cut.width)
    rest = Rest(key, *place, "crosscut", (part.name,))
    if not is_kept(rest, material.form):
        return None
    thin = any(op.kind == _ON_EDGE for op in _operations_on(part, plan))
    return step, piece, rest, part.thickness if thin else material.thickness


def _is_of(cut: Cut, part: Part) -> bool:
    return (cut.part, cut.hand) == (part.name, part.hand)


def _operations_on(part: Part, plan: Plan) -> list[Operation]:
    own = [op for op in plan.operations if (op.part, op.hand) == (part.name, part.hand)]
    return [op for op in own if op.kind != PLANE]


def _last_cut(part: Part, plan: Plan, finished: AbstractSet[str]) -> str:
    """The step that brought it to its size; empty where none of this plan did."""
    names = {op.id for op in _operations_on(part, plan)}
    done = [f"all/{s.id}" for s in plan.setups if names.intersection(s.operations)]
    return next((step for step in reversed(done) if step in finished), "")


def _was_used(event: PartSpoiled, plan: Plan, finished: AbstractSet[str]) -> bool:
    held = {k.id for k in plan.kinds if k.source is Source.AUTHORED and event.part in k.parts}
    return any(
        step.kind in held and step.unit in (None, event.unit) and step.id in finished
        for step in plan.steps
    )
