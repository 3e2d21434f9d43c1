"""The page for somebody who comes back: where the work stands, and one large button to go on.

Imports the page and the summary's sheet. It ticks nothing: its button only leads to the card.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from shopstep.present.summary import Summary
from shopstep.tui.glove import Glove
from shopstep.tui.lines import Block
from shopstep.tui.places import Place, place_grid, row_height, side_margin
from shopstep.tui.screens.page import BACK, Page
from shopstep.tui.summary_sheet import summary_pages
from shopstep.words import say, to_say

GO_ON, GO_ON_KEY = to_say("Go on"), "1"
ON, ON_KEY = "read_on", "n"
MINUTE_S = 60


class SummaryPage(Page):
    """Gives BACK once it was read; ``tell`` gives the summary as of now."""

    def __init__(self, hand: Glove, tell: Callable[[], Summary], now_s: Callable[[], int]) -> None:
        super().__init__(hand)
        self._tell = tell
        self._now_s = now_s
        self._minute = 0
        self._at = 0

    def lay_out(self, width: int, height: int) -> tuple[Block, list[Place]]:
        """The rows of the present page over Go on, with the way to the next page beside it."""
        self._minute = self._now_s() // MINUTE_S
        row = row_height(height)
        pages = summary_pages(self._tell(), width, max(1, height - row - 1), side_margin(width))
        self._at %= len(pages)
        choices = [(BACK, say(GO_ON), GO_ON_KEY)]
        if len(pages) > 1:
            choices.append(
                (ON, say("Read on {at}/{pages}", at=self._at + 1, pages=len(pages)), ON_KEY)
            )
        places = place_grid(choices, len(choices), width, row, height - row)
        places[0] = replace(places[0], is_lead=True, is_lit=True)
        return pages[self._at], places

    def show_clock(self) -> None:
        """What is left of a wait is told anew each minute."""
        super().show_clock()
        if self._now_s() // MINUTE_S != self._minute:
            self.show()

    def pick(self, choice: str) -> None:
        """Turn the page (the first follows the last), or go on to the card."""
        if choice == ON:
            self._at += 1
            self.show()
        else:
            self.dismiss(choice)
