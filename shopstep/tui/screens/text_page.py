"""A page of words: why a step is done this way, the whole card, the keys.

Imports the page. What does not fit stands on the next page.
"""

from __future__ import annotations

from collections.abc import Callable

from shopstep.tui.hand import Hand
from shopstep.tui.lines import EMPTY, Block, block, line
from shopstep.tui.places import Place, place_grid, row_height, side_margin
from shopstep.tui.screens.page import BACK, Page
from shopstep.tui.step_sheet import WIDEST_TEXT
from shopstep.tui.theme import Role

ON = "read_on"


class TextPage(Page):
    """A title and lines that are folded to the width."""

    def __init__(self, hand: Hand, title: str, words: Callable[[int], list[str]]) -> None:
        super().__init__(hand)
        self._title = title
        self._words = words
        self._at = 0

    def lay_out(self, width: int, height: int) -> tuple[Block, list[Place]]:
        """The lines of the present page over one row of buttons."""
        margin = side_margin(width)
        rows = self._words(min(width, WIDEST_TEXT) - 2 * margin)
        room = max(1, height - row_height(height) - 3)
        pages = max(1, -(-len(rows) // room))
        self._at = min(self._at, pages - 1)
        shown = rows[self._at * room : (self._at + 1) * room]
        count = f" ({self._at + 1} of {pages})" if pages > 1 else ""
        words = (line(self._title + count, Role.HEAD, margin), EMPTY, *block(shown, margin=margin))
        choices = [(BACK, "Back to the step", "")]
        if pages > 1:
            choices.append((ON, "Read on", "n"))
        top = height - row_height(height)
        return words, place_grid(choices, len(choices), width, row_height(height), top)

    def pick(self, choice: str) -> None:
        """Turn the page (the first follows the last), or go back."""
        if choice != ON:
            self.dismiss(choice)
            return
        rows = self._words(min(self._room.width, WIDEST_TEXT) - 2 * side_margin(self._room.width))
        room = max(1, self._room.height - row_height(self._room.height) - 3)
        self._at = (self._at + 1) % max(1, -(-len(rows) // room))
        self.show()
