"""A page of big rows to choose from; more than fit stand on the next page.

Imports the page and the places.
"""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType

from shopstep.tui.glove import Glove
from shopstep.tui.lines import EMPTY, Block, fold, line
from shopstep.tui.places import (
    Place,
    column_gap,
    least_width,
    place_grid,
    row_height,
    side_margin,
)
from shopstep.tui.screens.page import BACK, BACK_KEY, Page
from shopstep.tui.theme import Role
from shopstep.words import say

ON = "more_rows"
TWO_COLUMNS_FROM_WIDTH = 76
NUMBERS = "167890"
"""Keys of rows that have none of their own; Back, Hold, Why and More keep theirs."""
Item = tuple[str, str, str]
"""What is given back, its label, its key."""


class ListPage(Page):
    """Choices as (id, label, key) with an empty key for whichever is free; gives the id."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("0", "number('0')", id="list.number_0"),
        *[Binding(key, f"letter('{key}')", id=f"list.letter_{key}") for key in "ril"],
    ]

    def __init__(
        self,
        hand: Glove,
        title: str,
        items: list[tuple[str, str, str]],
        beside: tuple[tuple[str, str, str], ...] = (),
        back: str = "",
    ) -> None:
        super().__init__(hand)
        self._back = back or say("Back to the step")
        self._title = title
        self._items = items
        self._beside = beside
        """What stands at the foot on every page, so that it shifts no row."""
        self._at = 0

    def lay_out(self, width: int, height: int) -> tuple[Block, list[Place]]:
        """The rows of the present page, and the way back under them."""
        row = row_height(height)
        head = self._head(width, height - 2 * row - 2)
        top = len(head) + 1
        lines = max(1, (height - top - row) // (row + 1))
        filled = divide_pages(divide_lines(self._items, width, row), lines)
        pages = len(filled)
        self._at %= pages
        shown = [item for items in filled[self._at] for item in items]
        taken = {key for _, _, key in shown}
        free = iter([number for number in NUMBERS if number not in taken])
        places: list[Place] = []
        for items in filled[self._at]:
            rows = [(choice, label, key or next(free)) for choice, label, key in items]
            columns = 2 if width >= TWO_COLUMNS_FROM_WIDTH else len(rows)
            places += place_grid(rows, columns, width, row, top)
            top += row + 1
        ways = [(BACK, self._back, BACK_KEY)]
        if pages > 1:
            ways.append((ON, say("More rows ({at} of {pages})", at=self._at + 1, pages=pages), "n"))
        ways += self._beside
        places += place_grid(ways, len(ways), width, row, height - row)
        return (*head, EMPTY), places

    def _head(self, width: int, most: int) -> Block:
        """The title in as many lines as it takes, up to what leaves one row of choices."""
        margin = side_margin(width)
        folded = fold(self._title, width - 2 * margin)
        if len(folded) > max(1, most):
            folded = [*folded[: max(1, most) - 1], f"{folded[max(1, most) - 1][:-1]}…"]
        return tuple(line(words, Role.HEAD, margin) for words in folded)

    def pick(self, choice: str) -> None:
        """Show the next rows, or give the choice."""
        if choice != ON:
            self.dismiss(choice)
            return
        self._at += 1
        self.show()


def divide_lines(items: list[Item], width: int, row: int) -> list[list[Item]]:
    """The choices in order, two on a line where both labels fit half of it."""
    half = (width - 2 * side_margin(width) - column_gap(width)) // 2
    lines: list[list[Item]] = []
    for item in items:
        before = lines[-1] if lines else []
        if len(before) == 1 and all(_is_short(i, width, half, row) for i in (item, *before)):
            before.append(item)
        else:
            lines.append([item])
    return lines


def _is_short(item: Item, width: int, half: int, row: int) -> bool:
    return width >= TWO_COLUMNS_FROM_WIDTH or least_width(item[1], "0", row) <= half


def divide_pages(lines: list[list[Item]], most_lines: int) -> list[list[list[Item]]]:
    """The lines on pages of so many, none with more choices than there are keys."""
    pages: list[list[list[Item]]] = [[]]
    for items in lines:
        count = sum(len(other) for other in pages[-1])
        if pages[-1] and (len(pages[-1]) == most_lines or count + len(items) > len(NUMBERS)):
            pages.append([])
        pages[-1].append(items)
    return pages
