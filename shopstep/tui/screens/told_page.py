"""A page of the start screen: words over a few large buttons; what is chosen goes to its caller.

Imports the page, ``stack`` and the head line. The page stays where it is while others lie over it,
so that Back always leads to what was there before.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from shopstep.tui.glove import Glove
from shopstep.tui.lines import EMPTY, Block
from shopstep.tui.picture_spot import find_spot, lay_in
from shopstep.tui.places import Place, place_grid, row_height, side_margin
from shopstep.tui.screens.page import BACK, Page
from shopstep.tui.stack import fill_pages
from shopstep.tui.step_picture import LOOK_S, DrawPicture
from shopstep.tui.top_line import title_line
from shopstep.tui.widgets.big_button import fits_tall
from shopstep.words import say

ON, ON_KEY = "read_on", "n"
TWO_ROWS_BELOW = 56
"""Narrower screens have their buttons in two rows."""


@dataclass(frozen=True, slots=True)
class Told:
    """What a page shows for a width and a margin."""

    title: str
    beside: str
    """Beside the title, where there is room."""
    blocks: tuple[Block, ...]
    """Kept whole on one page where they can be."""
    choices: tuple[tuple[str, str, str], ...]
    """Id, label and key; the first leads on and has the focus."""
    large: tuple[Block, ...] = ()
    """The same blocks in tall letters, taken where all of them fit on one page; may be empty."""


class ToldPage(Page):
    """Shows what ``tell`` gives for a width and a margin; calls ``chosen``; BACK closes it.

    The picture that ``draw`` gives stands in what the words leave free, once it is there.
    """

    def __init__(
        self,
        glove: Glove,
        tell: Callable[[int, int], Told],
        chosen: Callable[[str], None],
        clock: Callable[[], str],
        draw: DrawPicture | None = None,
    ) -> None:
        super().__init__(glove)
        self._draw = draw
        self._is_owed = False
        self._tell = tell
        self._chosen = chosen
        self._clock_words = clock
        self._at = 0
        self._pages = 1

    def on_mount(self) -> None:
        """A picture that takes a moment follows the words."""
        super().on_mount()
        if self._draw is not None:
            self.set_interval(LOOK_S, self._look)

    def _look(self) -> None:
        if self._is_owed:
            self.show()

    def lay_out(self, width: int, height: int) -> tuple[Block, list[Place]]:
        """The head, the words of the present page, the buttons in one row or two."""
        margin, row = side_margin(width), row_height(height)
        told = self._tell(width, margin)
        count = len(told.choices)
        columns = -(-count // 2) if width < TWO_ROWS_BELOW and count > 2 else count
        foot = -(-count // columns) * (row + 1) - 1
        blocks = self._on_pages(told, max(1, height - foot - 3))
        choices = list(told.choices)
        if self._pages > 1:
            choices.append(
                (ON, say("Read on {at}/{pages}", at=self._at + 1, pages=self._pages), ON_KEY)
            )
            columns = -(-len(choices) // 2) if width < TWO_ROWS_BELOW else len(choices)
            foot = -(-len(choices) // columns) * (row + 1) - 1
        places = place_grid(choices, columns, width, row, height - foot)
        # without room for its own tall letters the lead keeps the others from having them
        places[0] = replace(places[0], is_lead=fits_tall(places[0]), is_lit=True)
        self.first_focus = choices[0][0]
        head = title_line(told.title, (told.beside,), self._clock_words(), width, margin)
        body = (head, EMPTY, *blocks)
        return self._with_picture(body, width, height - foot - 1, margin), places

    def _with_picture(self, body: Block, width: int, height: int, margin: int) -> Block:
        spot = find_spot(body, width, height, margin) if self._draw is not None else None
        self._is_owed = False
        if self._draw is None or spot is None:
            return body
        cells = self._draw(spot.columns, spot.rows)
        self._is_owed = cells is None
        return lay_in(body, spot, cells) if cells else body

    def _on_pages(self, told: Told, room: int) -> Block:
        large = fill_pages(told.large, room, may_divide=False)
        fits = bool(told.large) and len(large) == 1
        pages = large if fits else fill_pages(told.blocks, room, may_divide=False)
        self._pages = len(pages)
        self._at %= len(pages)
        return tuple(row for block in pages[self._at] for row in block)

    def renew(self) -> None:
        """Show what is true now, after another page lay over this one."""
        self._at = 0
        self.show()
        self._buttons.focus_on(self.first_focus)
        self.hand.mark_shown()

    def pick(self, choice: str) -> None:
        """Turn the page, close it, or tell the caller."""
        if choice == ON:
            self._at += 1
            self.show()
        elif choice == BACK:
            self.action_close()
        else:
            self._chosen(choice)
