"""Wood that was laid out for a piece that is made again, once the boards of its material are cut.

Imports ``model``, stock and the settled cuts of this room.
"""

from __future__ import annotations

from dataclasses import replace

from shopstep.model.plan import Remake
from shopstep.model.stock import StockPiece
from shopstep.planner.settling import CutBoards
from shopstep.stock import StockPlan


def claim_wood(stock: StockPlan, cut: CutBoards, remakes: tuple[Remake, ...]) -> StockPlan:
    """Marks each new piece beside those that are ``cut`` up with whom it was laid out for.

    That is the newest of the pieces made again that lies on it. What the batch itself needs
    besides is told by ``done_otherwise``.
    """
    stood = {piece.id for piece in cut.pieces}
    begun = {piece.material for piece in cut.pieces} - cut.whole
    return replace(
        stock,
        pieces=tuple(
            replace(piece, again=_newest(piece, remakes))
            if piece.material in begun and piece.id not in stood and not piece.is_added
            else piece
            for piece in stock.pieces
        ),
    )


def _newest(piece: StockPiece, remakes: tuple[Remake, ...]) -> str:
    """How the ids of its steps end; empty where no piece made again lies there."""
    laid = {(cut.part, cut.hand.value if cut.hand else "") for cut in piece.cuts if not cut.spare}
    numbers = [remake.number for remake in remakes if (remake.part, remake.hand) in laid]
    return f"~{max(numbers)}" if numbers else ""
