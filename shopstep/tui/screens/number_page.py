"""How many: a number of at most three digits, by large keys. Nothing is typed.

Imports the page, the glyphs and the places.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import ClassVar

from textual.binding import Binding, BindingType

from shopstep.tui.glove import Glove
from shopstep.tui.glyphs import tall
from shopstep.tui.lines import Block, block, fold
from shopstep.tui.measure_keys import DELETE_KEY
from shopstep.tui.places import Place, place_grid, row_height, side_margin
from shopstep.tui.screens.page import BACK, Page
from shopstep.tui.theme import Role
from shopstep.tui.top_line import title_line
from shopstep.words import say

TAKE, DELETE = "take", "delete"
MOST_DIGITS = 3


class NumberPage(Page):
    """Asks for a whole number from 1 to ``most``; calls ``chosen`` with it; BACK closes it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("0", "number('0')", id="units.number_0"),
        Binding("backspace,delete", "letter('del')", id="units.delete"),
    ]

    def __init__(
        self,
        glove: Glove,
        title: str,
        asked: str,
        most: int,
        chosen: Callable[[int], None],
        clock: Callable[[], str],
    ) -> None:
        super().__init__(glove)
        self._title, self._asked, self._most = title, asked, most
        self._chosen = chosen
        self._clock_words = clock
        self.typed = ""
        self.notice = ""
        self.first_focus = "digit 1"

    def lay_out(self, width: int, height: int) -> tuple[Block, list[Place]]:
        """The question and the number, ten digits, and the ways."""
        margin, row = side_margin(width), row_height(height)
        top = height - 3 * row - 2
        digits = [(f"digit {digit}", digit, "") for digit in "1234567890"]
        places = place_grid(digits, 5, width, row, top)
        ways = [
            (BACK, say("Back"), "b"),
            (DELETE, say("Delete"), DELETE_KEY),
            (TAKE, say("Go on"), "n"),
        ]
        *others, take = place_grid(ways, 3, width, row, height - row)
        places += [*others, replace(take, is_lead=bool(self.typed), is_lit=bool(self.typed))]
        return self._words(width, top, margin), places

    def _words(self, width: int, room: int, margin: int) -> Block:
        head = title_line(self._title, (), self._clock_words(), width, margin)
        words = fold(self.notice or self._asked, width - 2 * margin)
        shown = self.typed or "–"
        drawn = tall(shown) if self.typed and room >= len(words) + 6 else [shown]
        role = Role.STRONG if self.notice else Role.TEXT
        return (head, *block(words, role, margin), *block(drawn, Role.NUMBER, margin))

    def action_number(self, key: str) -> None:
        """A digit."""
        self.choose(f"digit {key}")

    def action_letter(self, key: str) -> None:
        """Taking back, or the letter that goes on."""
        if key == "del":
            self.choose(DELETE)
        elif key in "nk":
            self.choose(TAKE)

    def action_choose_focused(self) -> None:
        """Enter, Space, PageDown: after a digit the light is on Go on; a bounce does not go on."""
        is_digit = self._buttons.focused_choice().startswith("digit")
        super().action_choose_focused()
        if is_digit:
            self.hand.mark_shown()

    def pick(self, choice: str) -> None:
        """A key changes the number; the ways keep it or leave it."""
        self.notice = ""
        kind, _, digit = choice.partition(" ")
        if choice == BACK:
            self.action_close()
            return
        if choice == TAKE:
            self._take()
        elif choice == DELETE:
            self.typed = self.typed[:-1]
        elif kind == "digit":
            longer = (self.typed + digit).lstrip("0")
            self.typed = longer if len(longer) <= MOST_DIGITS else self.typed
        self.show()
        if kind == "digit" and self.typed:
            self._buttons.focus_on(TAKE)

    def _take(self) -> None:
        if not self.typed:
            self.notice = say("Tap a number first, 1 to {most}.", most=self._most)
        elif int(self.typed) > self._most:
            self.notice = say(
                "{typed} is too many; 1 to {most} can be planned.",
                typed=self.typed,
                most=self._most,
            )
            self.typed = ""
        else:
            self._chosen(int(self.typed))
