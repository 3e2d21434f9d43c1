"""The board of a running session, as the page asks for it. Imports the bench and the board."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopstep.model.plan import Plan, PlanRefused
from shopstep.present.board import Board, board_of

if TYPE_CHECKING:
    from shopstep.present.face import Bench


class BoardView:
    """Tells the board; knows the times from now on after ``look_ahead``."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._ahead: Plan | None = None

    def tell(self) -> Board:
        """The board as of now."""
        bench = self._bench
        return board_of(bench.state, bench.plan, bench.now_s(), self._ahead)

    def look_ahead(self) -> None:
        """Work out the times from now on; without a plan for them there is no list for today."""
        try:
            self._ahead = self._bench.ahead()
        except PlanRefused:
            self._ahead = None
