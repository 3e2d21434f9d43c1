"""Machine work in progress: what is done stays in its setups, and boards that are cut up stay so.

New sizes can bring an uncut part to the same fence as one that is cut. A setup that is done would
then count that part as cut too; so what is done is set apart first. Imports milling and ``model``.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from shopstep.milling import Milling
from shopstep.milling.fewest import fewest_setups
from shopstep.milling.lots import LOT
from shopstep.milling.setups import group_setups
from shopstep.model.material import Form
from shopstep.model.operation import PLANE, Setup
from shopstep.model.plan import Plan
from shopstep.model.stock import StockPiece
from shopstep.planner.cutting import find_cut
from shopstep.planner.planing import begun_planing


def settle_setups(milling: Milling, plan: Plan | None, done: frozenset[str]) -> Milling:
    """The milling with the setups that the steps ``done`` stand for, and all others grouped anew.

    As it is where both agree already, so that steps keep their ids.
    """
    setups = plan.setups if plan is not None else ()
    own = (setup for setup in setups if setup.kind != PLANE)
    was = {setup.id: setup for setup in own if not done.isdisjoint(_steps_of(setup))}
    if _agree(milling, was):
        return milling
    operations = {operation.id for operation in milling.operations}
    kept = tuple(
        replace(setup, operations=tuple(op for op in setup.operations if op in operations))
        for setup in was.values()
        if operations.intersection(setup.operations)
    )
    finished = frozenset(op for setup in kept for op in setup.operations)
    ahead = tuple(op for op in milling.operations if op.id not in finished)
    setups = (*kept, *group_setups(ahead, finished, frozenset(was)))
    least = len(kept) + fewest_setups(ahead, finished).least
    return replace(milling, setups=setups, least_setups=least)


def _steps_of(setup: Setup) -> tuple[str, str]:
    """The step of a setup, and its first lot where it is done in lots."""
    return _steps_of_id(setup.id)


def _steps_of_id(name: str) -> tuple[str, str]:
    return f"all/{name}", f"all/{name}{LOT}1"


def _agree(milling: Milling, was: dict[str, Setup]) -> bool:
    now = {setup.id: frozenset(setup.operations) for setup in milling.setups}
    return all(now.get(name) == frozenset(setup.operations) for name, setup in was.items())


def is_rough_cut(material: str, done: frozenset[str]) -> bool:
    """Whether the boards of a material are cut into rough lengths, or a first lot of them is."""
    return not done.isdisjoint(_steps_of_id(f"rough_cut/{material}"))


@dataclass(frozen=True, slots=True)
class CutBoards:
    """The boards and sheets of materials that are cut up already, as they were laid out."""

    pieces: tuple[StockPiece, ...] = ()
    ripped: frozenset[str] = frozenset()
    """Materials of which some are ripped, and not only cut into rough lengths."""
    whole: frozenset[str] = frozenset()
    """Materials of which boards are planed, and none is cut yet."""
    planed: frozenset[str] = frozenset()
    """Materials of which no further board is planed."""


def boards_cut(before: Plan, done: frozenset[str], found: frozenset[str]) -> CutBoards:
    """``found``: rack pieces that a part is as wide as; they are looked for anew.

    Boards that are planed stand as well: they are as thick as their parts now, all in one setup.
    """
    forms = {material.id: material.form for material in before.materials}
    ripped = frozenset(part.part.material for part in find_cut(before, done).values())
    sawn = ripped | {name for name in forms if is_rough_cut(name, done)}
    planed = begun_planing(before, done)
    begun = sawn | planed
    pieces = tuple(
        piece
        for piece in before.stock
        if piece.material in begun
        and forms[piece.material] is not Form.ROLL
        and piece.id not in found
    )
    return CutBoards(pieces, ripped, planed - sawn, frozenset(forms) if planed else begun)
