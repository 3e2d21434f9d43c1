"""Which spare blanks are wanted: one for each setup that is handed, at a bevel, or tried in scrap.

It goes through the setup first, and stands in where a piece goes wrong. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import replace

from shopstep.milling.drafts import SHAPING_SIZE
from shopstep.milling.route import Milling
from shopstep.model.operation import PLANE, Blank, Operation, Setup
from shopstep.model.part import Hand
from shopstep.model.step import Number
from shopstep.model.stock import StockPiece
from shopstep.words import to_say

_BEVELLED = frozenset({"bevel_rip", "mitre"})
_TRIED = frozenset({"groove", "rout", "dado", "fingers"})
"""Channels whose width is tried in scrap (``trials``)."""

Owner = tuple[str, Hand | None]


def wants_spare(setup: Setup, operations: Iterable[Operation]) -> bool:
    """Whether a piece more is wanted for the setup."""
    if setup.kind in SHAPING_SIZE or setup.kind in ("drill", PLANE):
        return False
    return setup.kind in _BEVELLED | _TRIED or any(op.hand is not None for op in operations)


def spare_blanks(milling: Milling) -> tuple[Blank, ...]:
    """One blank for each such setup, of the first part that is cut at it."""
    known = {operation.id: operation for operation in milling.operations}
    blanks = {(blank.part, blank.hand): blank for blank in milling.blanks}
    wanted = Counter[Owner]()
    for setup in milling.setups:
        own = [known[name] for name in setup.operations if name in known]
        if own and wants_spare(setup, own):
            wanted[own[0].part, own[0].hand] += 1
    return tuple(
        replace(blanks[owner], count=count) for owner, count in wanted.items() if owner in blanks
    )


def count_spares(pieces: Iterable[StockPiece]) -> dict[Owner, int]:
    """By part and hand how many spare blanks the boards hold."""
    return dict(
        Counter((cut.part, cut.hand) for piece in pieces for cut in piece.cuts if cut.spare)
    )


def spare_numbers(
    setup: Setup, operations: tuple[Operation, ...], spares: Mapping[Owner, int]
) -> tuple[Number, ...]:
    """How many more than are counted come to the setup; nothing where there are none."""
    if not wants_spare(setup, operations) and setup.kind not in SHAPING_SIZE:
        return ()
    owners = dict.fromkeys((op.part, op.hand) for op in operations)
    count = sum(spares.get(owner, 0) for owner in owners)
    if setup.kind not in SHAPING_SIZE:
        count = min(count, 1)
    return (Number(to_say("and spare"), count),) if count else ()
