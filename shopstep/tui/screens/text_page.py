"""A page of words: why a step is done this way, the whole card, the keys.

Imports the page. What does not fit stands on the next page.
"""

from __future__ import annotations

from collections.abc import Callable

from shopstep.tui.big_type import LARGE_FROM_WIDTH, tall_block
from shopstep.tui.glove import Glove
from shopstep.tui.lines import EMPTY, WIDEST_TEXT, Block, block, line
from shopstep.tui.places import Place, place_grid, row_height, side_margin
from shopstep.tui.screens.page import BACK, BACK_KEY, Page
from shopstep.tui.theme import Role
from shopstep.words import say

ON, ON_KEY = "read_on", "1"


class TextPage(Page):
    """A title and lines that are folded to the width."""

    def __init__(
        self,
        hand: Glove,
        title: str,
        words: Callable[[int], list[str]],
        large: str = "",
        back: str = "",
        last: tuple[tuple[str, str, str], ...] = (),
    ) -> None:
        super().__init__(hand)
        self._back = back or say("Back to the step")
        self._last = last
        """Choices (id, label, key) at the right end of the last page, once all was in sight."""
        self._title = title
        self._words = words
        self._large = large
        """The same words as one text, to be drawn in tall letters where they fit."""
        self._at = 0
        self._pages = 1

    def lay_out(self, width: int, height: int) -> tuple[Block, list[Place]]:
        """The lines of the present page over one row of buttons."""
        margin, row = side_margin(width), row_height(height)
        room = max(1, height - row - 3)
        rows = self._all_rows(width, room, margin)
        self._pages = max(1, -(-len(rows) // room))
        self._at %= self._pages
        count = (
            say(" ({at} of {pages})", at=self._at + 1, pages=self._pages) if self._pages > 1 else ""
        )
        head = (line(self._title + count, Role.HEAD, margin), EMPTY)
        choices = [(BACK, self._back, BACK_KEY)]
        is_last = self._at == self._pages - 1
        if self._pages > 1:
            choices.insert(0, (ON, say("Page 1") if is_last else say("Read on"), ON_KEY))
        if is_last:
            choices += self._last
        places = place_grid(choices, len(choices), width, row, height - row)
        return (*head, *rows[self._at * room : (self._at + 1) * room]), places

    def _all_rows(self, width: int, room: int, margin: int) -> Block:
        if self._large and width >= LARGE_FROM_WIDTH:
            drawn = tall_block(self._large, width, Role.TEXT, margin=margin, most=room)
            if drawn is not None and len(drawn) <= room:
                return drawn
        return block(self._words(min(width, WIDEST_TEXT) - 2 * margin), margin=margin)

    def action_letter(self, key: str) -> None:
        """``n`` turns the page as its number does."""
        if key == "n" and self._pages > 1:
            self.choose(ON)

    def pick(self, choice: str) -> None:
        """Turn the page (the first follows the last), or go back."""
        if choice == ON:
            self._at += 1
            self.show()
        else:
            self.dismiss(choice)
