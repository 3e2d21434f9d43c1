"""The page with the picture of a step, as large as the screen allows.

Imports the page and the least size of a picture.
"""

from __future__ import annotations

from shopstep.present.picture_cells import LEAST_COLUMNS, LEAST_ROWS, SMALLEST_ROWS
from shopstep.present.step_picture import NO_PICTURE
from shopstep.tui.glove import Glove
from shopstep.tui.lines import EMPTY, Block, Line, Span, fold_block
from shopstep.tui.places import Place, place_grid, row_height, side_margin
from shopstep.tui.screens.page import BACK, BACK_KEY, Page
from shopstep.tui.step_picture import LOOK_S, DrawPicture
from shopstep.tui.theme import Role
from shopstep.words import say, to_say

PICTURE_KEY = "p"
BEING_DRAWN = to_say("The picture is being drawn.")
TOO_SMALL = to_say("A picture needs {columns} columns and {rows} rows; here are fewer.")
TITLE_FROM_ROWS = LEAST_ROWS + 6
"""Rows above the button from which the step's headline stands over the picture."""


class PicturePage(Page):
    """Gives BACK once it was seen; ``draw`` is asked again until it has an answer."""

    def __init__(self, hand: Glove, headline: str, draw: DrawPicture, back: str = "") -> None:
        super().__init__(hand)
        self._back = back or say("Back to the step")
        self._headline = headline
        self._draw = draw
        self._is_drawn = False

    def on_mount(self) -> None:
        """The page comes up at once; a picture that takes a moment follows."""
        super().on_mount()
        self.set_interval(LOOK_S, self._look)

    def _look(self) -> None:
        if not self._is_drawn:
            self.show()

    def lay_out(self, width: int, height: int) -> tuple[Block, list[Place]]:
        """The picture over the way back; a headline where there is room for one."""
        row = row_height(height)
        room = max(0, height - row)
        places = place_grid([(BACK, self._back, BACK_KEY)], 1, width, row, height - row)
        margin = side_margin(width)
        title: Block = ()
        if room >= TITLE_FROM_ROWS:
            title = (*fold_block(self._headline, width, Role.HEAD, margin), EMPTY)
        margin = margin if width - 2 * margin >= LEAST_COLUMNS else 0
        body = self._picture(width, width - 2 * margin, room - len(title), margin)
        return (*title, *body), places

    def _picture(self, width: int, columns: int, rows: int, margin: int) -> Block:
        if columns < LEAST_COLUMNS or rows < SMALLEST_ROWS:
            self._is_drawn = True
            too_small = say(TOO_SMALL, columns=LEAST_COLUMNS, rows=LEAST_ROWS)
            return fold_block(too_small, width, Role.TEXT, margin)[: max(0, rows)]
        cells = self._draw(columns, rows)
        self._is_drawn = cells is not None
        if not cells:
            words = say(BEING_DRAWN) if cells is None else say(NO_PICTURE)
            return fold_block(words, width, Role.TEXT, margin)
        return tuple(Line((Span(" " * margin), Span(text))) for text in cells)

    def action_letter(self, key: str) -> None:
        """The key that opened the page closes it."""
        if key == PICTURE_KEY:
            self.choose(BACK)
