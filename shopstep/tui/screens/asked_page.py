"""What was heard and has to be confirmed, in large words: yes or no, by voice or by a tap.

Imports the page. Silence means no: the page goes away by itself when its time is over.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual.binding import Binding, BindingType

from shopstep.tui.actions import TALK
from shopstep.tui.big_type import tall_block
from shopstep.tui.glove import Glove
from shopstep.tui.lines import EMPTY, Block, fold_block
from shopstep.tui.places import Place, place_grid, row_height, side_margin
from shopstep.tui.screens.page import BACK, BACK_KEY, Page
from shopstep.tui.theme import Role
from shopstep.words import say, to_say

YES, YES_KEY = "yes", "1"
TALK_KEY = "t"
FOR = to_say(" for ")
"""Between a number that was heard and what it is the number of."""


class AskedPage(Page):
    """Gives YES, or BACK for no."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(TALK_KEY, f"letter('{TALK_KEY}')", id="asked.talk"),
    ]

    def __init__(
        self, hand: Glove, question: str, answers: tuple[str, str], talk: Callable[[], object]
    ) -> None:
        super().__init__(hand)
        self._question = question
        self._answers = answers
        """How yes and no are said."""
        self._talk = talk

    def lay_out(self, width: int, height: int) -> tuple[Block, list[Place]]:
        """The question as large as it goes, how it is answered, three buttons."""
        margin, row = side_margin(width), row_height(height)
        choices = [
            (YES, say("Yes"), YES_KEY),
            (BACK, say("No"), BACK_KEY),
            (TALK, say("Talk"), TALK_KEY),
        ]
        places = place_grid(choices, len(choices), width, row, height - row)
        yes, no = self._answers
        ways = fold_block(say("say: {yes}; or: {no}", yes=yes, no=no), width, Role.TEXT, margin)
        room = max(1, height - row - 1)
        value, for_what, name = self._question.partition(say(FOR))
        rest = (
            fold_block(f"{say(FOR).strip()} {name}", width, Role.NUMBER, margin) if for_what else ()
        )
        small = fold_block(self._question, width, Role.NUMBER, margin)
        for text, scale, below in (
            (self._question, 2, ()), (self._question, 1, ()), (value, 2, rest), (value, 1, rest),
        ):  # fmt: skip
            large = tall_block(text, width, Role.NUMBER, margin=margin, scale=scale, most=room)
            if large is not None and (for_what or text == self._question):
                rows = (*large, EMPTY, *below, *ways)
                if len(rows) <= room:
                    return rows, places
        gap = (EMPTY,) if len(small) + len(ways) < room else ()
        return (*small, *gap, *ways)[:room], places

    def pick(self, choice: str) -> None:
        """The microphone, or the answer."""
        if choice == TALK:
            self._talk()
        else:
            self.dismiss(choice)
