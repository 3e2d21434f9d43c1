"""Measuring line by line: prints how to take a measurement, reads a length, keeps it.

For screen readers, pipes and terminals without a screen. Imports ``present`` and ``units``;
reading, writing and keeping are handed in.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from shopstep.cli.plain import WIDTH, ReadLine, WriteLine
from shopstep.present.lines import wrap_lines
from shopstep.present.readings import MeasureCard, decides_words, range_complaint
from shopstep.units import Length, UnitError, parse_length, read_typed
from shopstep.words import say, to_say

HELP = to_say("Type a length such as 16 3/8 in or 412.8 mm; Enter: skip; back; quit.")
KeepReading = Callable[[str, Length, str], str]
"""Name, value and round of a reading: stores it and gives the words for what is kept now."""


def ask_line_by_line(
    cards: Sequence[MeasureCard],
    keep: KeepReading,
    new_round: Callable[[], str],
    read_line: ReadLine,
    write_line: WriteLine,
) -> None:
    """Ask for each measurement until the last, ``quit`` or the end of input."""
    talk = _Talk(keep, new_round, read_line, write_line)
    talk.say(say(HELP))
    number = 0
    while 0 <= number < len(cards):
        step = talk.ask(
            cards[number], say("{number} of {cards}", number=number + 1, cards=len(cards))
        )
        if step is None:
            return
        number += step


class _Talk:
    """One round of questions."""

    def __init__(
        self,
        keep: KeepReading,
        new_round: Callable[[], str],
        read_line: ReadLine,
        write_line: WriteLine,
    ) -> None:
        self._keep = keep
        self._new_round = new_round
        self._read_line = read_line
        self._write_line = write_line

    def say(self, text: str) -> None:
        """One paragraph."""
        for line in wrap_lines([text], WIDTH):
            self._write_line(line)

    def ask(self, card: MeasureCard, place: str) -> int | None:
        """One measurement; how many to go on by (-1: back), or None when the person leaves."""
        question = card.question
        self.say(f"{question.name} ({place}). {question.prompt}")
        kept = say("Kept: {kept}. ", kept=card.kept) if card.kept else ""
        works = say("{usual}; works from {allowed}.", usual=card.usual, allowed=card.allowed)
        self.say(f"{kept}{works}{decides_words(question)}")
        round_, doubted = self._new_round(), ""
        while True:
            typed = self._next_line()
            if typed is None or typed == "quit":
                return None
            if typed == "back":
                return -1
            if not typed:
                return 1
            doubted, is_kept = self._take(card, typed, round_, doubted)
            if is_kept and question.several == "latest":
                return 1

    def _take(self, card: MeasureCard, typed: str, round_: str, doubted: str) -> tuple[str, bool]:
        """What was doubted and would be kept if typed again, and whether it was kept."""
        try:
            value = parse_length(read_typed(typed))
        except UnitError as problem:
            self.say(f"{problem}.")
            return "", False
        if value.nm <= 0:
            self.say(say("A measurement is more than nothing. Type it again."))
            return "", False
        complaint = range_complaint(card.question, value, card.unit)
        if complaint and typed != doubted:
            again = say("Measure again, or type it once more to keep it all the same.")
            self.say(f"{complaint} {again}")
            return typed, False
        self.say(say("Kept: {kept}.", kept=self._keep(card.question.name, value, round_)))
        if card.question.several != "latest":
            self.say(say("Another reading of the same, or Enter to go on."))
        return "", True

    def _next_line(self) -> str | None:
        try:
            line = self._read_line()
        except EOFError:
            return None
        return None if line is None else line.strip()
