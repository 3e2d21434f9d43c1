"""The page of the board: where every unit stands. It ticks nothing.

Imports the page and the board's sheet.
"""

from __future__ import annotations

from collections.abc import Callable

from shopstep.present.board import Board
from shopstep.tui.board_sheet import board_pages
from shopstep.tui.glove import Glove
from shopstep.tui.lines import Block
from shopstep.tui.places import Place, place_grid, row_height, side_margin
from shopstep.tui.screens.page import BACK, BACK_KEY, Page
from shopstep.words import say

ON, ON_KEY = "read_on", "1"
BEFORE, BEFORE_KEY = "read_back", "3"
MINUTE_S = 60


class BoardPage(Page):
    """Gives BACK once it was read.

    ``tell`` gives the board as of now; ``look_ahead`` is called once the page is in sight, and what
    it found out (the times from now on, which take a moment) is on the next board that is told.
    """

    def __init__(
        self,
        hand: Glove,
        tell: Callable[[], Board],
        look_ahead: Callable[[], None],
        now_s: Callable[[], int],
    ) -> None:
        super().__init__(hand)
        self._tell = tell
        self._look_ahead = look_ahead
        self._now_s = now_s
        self._board: Board | None = None
        self._minute = -1
        self._at = 0
        self._pages = 1

    def on_mount(self) -> None:
        """The page comes up at once; what takes a moment follows."""
        super().on_mount()
        self.call_after_refresh(self._fill_in)

    def _fill_in(self) -> None:
        self._look_ahead()
        self._minute = -1
        lit = self._buttons.focused_choice()
        self.show()
        self._buttons.focus_on(lit)
        self.hand.mark_shown()

    def lay_out(self, width: int, height: int) -> tuple[Block, list[Place]]:
        """The rows of the present page over the ways on and back."""
        row = row_height(height)
        room = max(1, height - row - 1)
        pages = board_pages(self._now(), width, room, side_margin(width))
        self._pages = len(pages)
        self._at %= len(pages)
        choices = [(BACK, say("Back to the step"), BACK_KEY)]
        if len(pages) > 1:
            choices.insert(
                0, (ON, say("Read on {at}/{pages}", at=self._at + 1, pages=len(pages)), ON_KEY)
            )
        if len(pages) > 2:
            choices.append((BEFORE, say("Page before"), BEFORE_KEY))
        places = place_grid(choices, len(choices), width, row, height - row)
        return pages[self._at], places

    def _now(self) -> Board:
        """The board of this minute."""
        minute = self._now_s() // MINUTE_S
        if self._board is None or minute != self._minute:
            self._minute, self._board = minute, self._tell()
        return self._board

    def show_clock(self) -> None:
        """Times and what is ready are told anew each minute."""
        super().show_clock()
        if self._now_s() // MINUTE_S != self._minute:
            self.show()

    def action_letter(self, key: str) -> None:
        """``n`` and ``p`` turn the pages as their numbers do."""
        if key == "n" and self._pages > 1:
            self.choose(ON)
        elif key == "p" and self._pages > 2:
            self.choose(BEFORE)

    def pick(self, choice: str) -> None:
        """Turn the page (the first follows the last), or go back."""
        if choice in (ON, BEFORE):
            self._at += 1 if choice == ON else -1
            self.show()
        else:
            self.dismiss(choice)
