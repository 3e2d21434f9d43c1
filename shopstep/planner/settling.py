"""Machine work in progress: what is done stays in the setups that it was done in.

New sizes can bring an uncut part to the same fence as one that is cut. A setup that is done would
then count that part as cut too; so what is done is set apart first. Imports milling and ``model``.
"""

from __future__ import annotations

from dataclasses import replace

from shopstep.milling import Milling
from shopstep.milling.lots import LOT
from shopstep.milling.setups import group_setups
from shopstep.model.operation import Setup
from shopstep.model.plan import Plan


def settle_setups(milling: Milling, plan: Plan | None, done: frozenset[str]) -> Milling:
    """The milling with the setups that the steps ``done`` stand for, and all others grouped anew.

    As it is where both agree already, so that steps keep their ids.
    """
    setups = plan.setups if plan is not None else ()
    was = {s.id: s for s in setups if not done.isdisjoint(_steps_of(s))}
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
    return replace(milling, setups=(*kept, *group_setups(ahead, finished, frozenset(was))))


def _steps_of(setup: Setup) -> tuple[str, str]:
    """The step of a setup, and its first lot where it is done in lots."""
    return f"all/{setup.id}", f"all/{setup.id}{LOT}1"


def _agree(milling: Milling, was: dict[str, Setup]) -> bool:
    now = {setup.id: frozenset(setup.operations) for setup in milling.setups}
    return all(now.get(name) == frozenset(setup.operations) for name, setup in was.items())
