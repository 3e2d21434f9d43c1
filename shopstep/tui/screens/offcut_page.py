"""The offcut page: a piece for the rack, told by taps alone, one thing at a time.

Imports the page, the keys and what is asked. Nothing is put on the rack before the last page, which
shows all of it; Back leads one question back.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import ClassVar

from shopstep.model.rack import KeptPiece, Stuff
from shopstep.present.rack_text import size_words
from shopstep.tui.glove import Glove
from shopstep.tui.glyphs import tall_length
from shopstep.tui.lines import EMPTY, Block, block, fold
from shopstep.tui.measure_keys import FINER, FRACTION, WHOLE, Entry, place_keys
from shopstep.tui.offcut_steps import LOOK, NO, SIZES, STUFF, YES, Offcut
from shopstep.tui.places import Place, place_grid, row_height, side_margin
from shopstep.tui.screens.keypad_page import KeypadPage, keypad_bindings
from shopstep.tui.screens.page import BACK
from shopstep.tui.theme import Role
from shopstep.words import say

TAKE, PUT, ANOTHER = "take", "put", "another"
MOST_KEYS = 27

PutPiece = Callable[[KeptPiece], str]
"""Puts a piece on the rack and says which number it got; raises an exception with a plain sentence
where it could not."""


class OffcutPage(KeypadPage):
    """Asks for one piece after the other; BACK before the first question leaves."""

    BINDINGS = keypad_bindings("offcut", "yg")
    _LETTERS: ClassVar[Mapping[str, str]] = {
        "g": TAKE, "y": YES, "n": NO, "p": PUT, ".": "point", "del": "delete",
    }  # fmt: skip

    def __init__(self, glove: Glove, unit: str, put: PutPiece, way_out: str = "") -> None:
        super().__init__(glove, MOST_KEYS)
        self._put = put
        self._way_out = way_out or say("Leave")
        self._unit = unit
        self.done = ""
        """What was said of the piece that was put there last; empty while one is asked about."""
        self._begin()

    def _begin(self) -> None:
        self.offcut = Offcut(self._unit)
        self._ask("")

    def _ask(self, notice: str) -> None:
        self.entry = Entry(self._unit)
        self.keys = WHOLE
        self.notice = notice
        is_new = not self.offcut.stuff
        self.loss = (
            "" if is_new or self.done else say("The offcut is not on the rack. Tell it again.")
        )

    def lay_out(self, width: int, height: int) -> tuple[Block, list[Place]]:
        """What is asked over the keys or the answers, and the way back."""
        row = row_height(height)
        foot = height - row
        if self.offcut.asks in SIZES and not self.done:
            keys = place_keys(self._unit, self.keys, width, height, foot - 1)
            ways = [(BACK, say("Back"), "b"), (TAKE, say("Go on"), "g")]
            places = keys + place_grid(ways, 2, width, row, foot)
        else:
            places = self._answers(width, row, foot)
        return self._words(width, min(place.y for place in places)), places

    def _answers(self, width: int, row: int, foot: int) -> list[Place]:
        """Answers above, and the way back below, so that neither stands where the other was."""
        if self.done:
            choices = [(ANOTHER, say("Another"), "1"), (BACK, self._way_out, "b")]
            return place_grid(choices, 2, width, row, foot)
        way_back = say("Back") if self.offcut.stuff else self._way_out
        back = place_grid([(BACK, way_back, "b")], 1, width, row, foot)
        if self.offcut.asks == STUFF:
            stuffs = [(s.value, s.value.capitalize(), str(n)) for n, s in enumerate(Stuff, 1)]
            return place_grid(stuffs, 3, width, row, foot - 2 * (row + 1)) + back
        if self.offcut.asks == LOOK:
            return (
                place_grid([(PUT, say("Put it there"), "p")], 1, width, row, foot - row - 1) + back
            )
        answers = [(YES, say("Yes"), "y"), (NO, say("No"), "n")]
        return place_grid(answers, 2, width, row, foot - row - 1) + back

    def _words(self, width: int, room: int) -> Block:
        margin = side_margin(width)
        inner = width - 2 * margin
        notice = fold(self.notice, inner) if self.notice else []
        if self.done:
            return (*block(fold(self.done, inner), Role.HEAD, margin),)[:room]
        asked = fold(self.offcut.question, inner)
        told = fold(self._told(), inner) if self._told() else []
        if self.offcut.asks not in SIZES:
            rows = (*block(asked, Role.HEAD, margin), *block(notice, Role.STRONG, margin))
            return (*rows, *block(told, Role.TEXT, margin))[:room]
        for scale in (2, 1):
            number = tall_length(self.entry.text, scale)
            spare = room - len(asked) - len(notice) - len(number)
            if len(number[0]) <= inner and spare >= 0:
                gap = (EMPTY,) * (spare > 1)
                below = block(told, Role.TEXT, margin) if spare > len(told) + 2 else ()
                return (
                    *block(asked, Role.HEAD, margin), *gap,
                    *block(number, Role.NUMBER, margin), *gap,
                    *block(notice, Role.STRONG, margin), *below,
                )  # fmt: skip
        first = block(fold(f"{self.entry.text}  {asked[0]}", inner)[:1], Role.NUMBER, margin)
        return (*first, *block(notice, Role.STRONG, margin))[:room]

    def _told(self) -> str:
        """What was told so far."""
        offcut = self.offcut
        if offcut.asks == LOOK:
            return f"{offcut.piece.stuff.value}, {size_words(offcut.piece, self._unit)}"
        return f"{offcut.stuff.value}" if offcut.stuff else ""

    def pick(self, choice: str) -> None:
        """A key changes the number; an answer leads on; Put has it on the rack."""
        if choice in (WHOLE, FRACTION, FINER):
            self._turn_keys(choice)
        elif choice == BACK:
            self._go_back()
            return
        elif choice == ANOTHER:
            self.done = ""
            self._begin()
            self.hand.mark_shown()
        elif choice == TAKE:
            self._take()
        elif choice == PUT:
            self._put_there()
        elif self.offcut.asks in SIZES:
            self.entry, self.notice = self.entry.press(choice), ""
        else:
            self.offcut = self.offcut.answer(choice)
            self._lead_on()
        self.show()

    def _take(self) -> None:
        taken = self.offcut.take_size(self.entry)
        if isinstance(taken, str):
            self.notice = taken
            return
        self.offcut = taken
        self._lead_on()

    def _lead_on(self) -> None:
        self._ask("")
        self.show()
        self._buttons.focus_on(BACK)  # harmless: Enter pressed twice answers nothing
        self.hand.mark_shown()

    def _put_there(self) -> None:
        try:
            self.done = self._put(self.offcut.piece)
        except Exception as problem:  # the page must outlive a full disk and a locked rack
            self.notice = say("It is not on the rack: {problem}", problem=problem)
            return
        self._lead_on()

    def _go_back(self) -> None:
        before = None if self.done else self.offcut.back()
        if before is None:
            self.loss = ""
            self.dismiss(BACK)
            return
        self.offcut = before
        self._lead_on()

    def action_number(self, key: str) -> None:
        """A digit, where the digits are in sight; else the answer with that number."""
        if not self._choose_if_shown(f"digit {key}"):
            self._choose_by_key(key)

    def action_close(self) -> None:
        """Back: one question, or out."""
        self.choose(BACK)
