"""The measuring page: asks for a build's measurements one at a time, by taps alone.

Imports the page, the keys and the shared words of measurements. A reading is on disk before the
next one is asked for; nothing is kept before Keep or One more, and neither ever has the focus by
itself.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import ClassVar

from shopstep.present.readings import MeasureCard, decides_words, range_complaint
from shopstep.tui.glove import Glove
from shopstep.tui.glyphs import tall_length
from shopstep.tui.lines import EMPTY, Block, block, fold
from shopstep.tui.measure_keys import FINER, FRACTION, WHOLE, Entry, place_keys
from shopstep.tui.places import Place, place_grid, row_height, side_margin
from shopstep.tui.screens.keypad_page import KeypadPage, keypad_bindings
from shopstep.tui.screens.text_page import TextPage
from shopstep.tui.theme import Role
from shopstep.units import Length
from shopstep.words import say, to_say

GO_BACK, SKIP, READ, AGAIN, KEEP = "go_back", "skip", "read", "again", "keep"
MOST_KEYS = 27
NOTHING_YET = to_say("Tap in what the rule says, or Skip.")

KeepReading = Callable[[str, Length, str], str]
"""Name, value and round of a reading: stores it, gives the words for what is kept now. Raises an
exception with a plain sentence where it could not be stored."""


class MeasurePage(KeypadPage):
    """Goes through the cards; calls ``leave`` after the last one and before the first."""

    BINDINGS = keypad_bindings("measure", "sr")
    _LETTERS: ClassVar[Mapping[str, str]] = {
        "k": KEEP, "n": AGAIN, "s": SKIP, "r": READ, ".": "point", "del": "delete",
    }  # fmt: skip

    def __init__(
        self,
        glove: Glove,
        cards: Sequence[MeasureCard],
        keep: KeepReading,
        new_round: Callable[[], str],
        leave: Callable[[], None],
        way_out: str = "",
    ) -> None:
        super().__init__(glove, MOST_KEYS)
        self._way_out = way_out or say("Quit")
        self.first_focus = SKIP
        self._cards = list(cards)
        self._keep = keep
        self._new_round = new_round
        self._leave = leave
        self._open(0)

    def _open(self, number: int) -> None:
        """Ask for the measurement with this number, from 0; readings so far stay as they are."""
        self.number = number
        self._round = self._new_round()
        self._begin_reading("")

    def _begin_reading(self, notice: str) -> None:
        self.entry = Entry(self.card.unit)
        self.keys = WHOLE
        self.notice = notice
        self._warned = Entry(self.card.unit)

    @property
    def card(self) -> MeasureCard:
        """What is asked for now."""
        return self._cards[self.number]

    def lay_out(self, width: int, height: int) -> tuple[Block, list[Place]]:
        """Words and number, keys, and the way on."""
        row = row_height(height)
        foot = height - row
        keys = place_keys(self.card.unit, self.keys, width, height, foot - 1)
        top = min(place.y for place in keys)
        rows, is_whole = self._words(width, top, side_margin(width))
        ways = [
            (GO_BACK, say("Back") if self.number else self._way_out, "b"),
            (SKIP, say("Skip"), "s"),
        ]
        ways += [] if is_whole else [(READ, say("Read"), "r")]
        ways += [(AGAIN, say("One more"), "n"), (KEEP, say("Keep"), "k")]
        return rows, keys + place_grid(ways, len(ways), width, row, foot)

    def _words(self, width: int, room: int, margin: int) -> tuple[Block, bool]:
        """What fits into the room above the keys, and whether that is everything."""
        inner = width - 2 * margin
        head = fold(
            say(
                "{card_title} ({number} of {cards})",
                card_title=self.card.title,
                number=self.number + 1,
                cards=len(self._cards),
            ),
            inner,
        )
        told = [row for text in self.told() for row in fold(text, inner)]
        notice = fold(self.notice, inner) if self.notice else []
        for scale in (2, 1):
            number = tall_length(self.entry.text, scale)
            spare = room - len(head) - len(notice) - len(number) - len(told)
            if len(number[0]) <= inner and spare >= 0:
                gap = (EMPTY,) * (spare > 1)
                rows = (
                    *block(head, Role.HEAD, margin), *gap,
                    *block(number, Role.NUMBER, margin), *gap,
                    *block(notice, Role.STRONG, margin), *block(told, Role.TEXT, margin),
                )  # fmt: skip
                return rows, True
        first = f"{self.entry.text}  {head[0]}"
        rows = (
            *block(fold(first, inner)[:1], Role.NUMBER, margin),
            *block(notice or told, Role.STRONG if notice else Role.TEXT, margin),
        )
        return rows[:room], not notice and len(rows) <= room

    def told(self) -> list[str]:
        """How to take it, what is usual, what is kept."""
        kept = (
            say("Kept: {kept}.", kept=self.card.kept)
            if self.card.kept
            else say("Nothing is kept for it yet.")
        )
        question = self.card.question
        return [
            question.prompt,
            kept,
            say(
                "{usual}; works from {allowed}.{decides}",
                usual=self.card.usual,
                allowed=self.card.allowed,
                decides=decides_words(question),
            ),
        ]

    def pick(self, choice: str) -> None:
        """A key changes the number; the ways keep it or leave it."""
        if choice in (WHOLE, FRACTION, FINER):
            self._turn_keys(choice)
        elif choice == READ:
            self._open_reading()
        elif choice in (KEEP, AGAIN):
            self._take(choice)
        elif choice in (SKIP, GO_BACK):
            self._move(1 if choice == SKIP else -1)
        else:
            self.entry, self.notice = self.entry.press(choice), ""
        self.show()

    def _take(self, choice: str) -> None:
        if self.entry.is_empty:
            self.notice = say(NOTHING_YET)
            return
        complaint = range_complaint(self.card.question, self.entry.value, self.card.unit)
        if complaint and self._warned != self.entry:
            self._warned = self.entry
            self.notice = say(
                "{complaint} Measure again, or tap again to keep it.", complaint=complaint
            )
            self.hand.mark_shown()
            return
        if self._store():
            if choice == KEEP:
                self._move(1)
            else:
                self._begin_reading(
                    say("{entry} is kept. Take the next reading.", entry=self.entry.text)
                )
                self.hand.mark_shown()

    def _store(self) -> bool:
        """Whether the reading is on disk."""
        try:
            kept = self._keep(self.card.question.name, self.entry.value, self._round)
        except Exception as problem:  # the page must outlive a full or removed disk
            self.notice = say("This was not kept: {problem} Try again.", problem=problem)
            return False
        self._cards[self.number] = replace(self.card, kept=kept)
        return True

    def _move(self, by: int) -> None:
        """The next measurement, or the one before; out at both ends."""
        number = self.number + by
        if 0 <= number < len(self._cards):
            self._open(number)
            self._buttons.focus_on(self.first_focus)
            self.hand.mark_shown()
        else:
            self._leave()

    def _open_reading(self) -> None:
        texts = [self.notice, *self.told()] if self.notice else self.told()
        page = TextPage(
            self.hand,
            self.card.title,
            lambda width: [row for text in texts for row in fold(text, width)],
            back=say("Back to measuring"),
        )
        self.app.push_screen(page, lambda _: self.hand.mark_shown())

    def action_number(self, key: str) -> None:
        """A digit, where the digits are in sight."""
        self._choose_if_shown(f"digit {key}")

    def action_close(self) -> None:
        """Back: to the measurement before, or out."""
        self.choose(GO_BACK)
