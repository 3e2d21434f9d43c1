"""The line-by-line face: prints the card as words, reads a word, sends a command.

For screen readers, pipes and terminals without a screen. Imports ``present``, ``session`` and
``model``; reading and writing lines are handed in.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from uuid import uuid4

from shopstep.cli.output import NO_WHY
from shopstep.model.plan import Plan
from shopstep.present.air import asks_for_air, last_air_line
from shopstep.present.board import board_of
from shopstep.present.board_text import board_lines
from shopstep.present.card import StepCard
from shopstep.present.face import Bench
from shopstep.present.facts import headline_of
from shopstep.present.lines import card_lines, wrap_lines
from shopstep.present.log import record, record_lines
from shopstep.present.phrases import (
    COMMAND_MEANING,
    COMMAND_USAGE,
    explain_unknown,
    name_ready,
    parse_command,
)
from shopstep.present.step_picture import NO_PICTURE
from shopstep.present.summary import summary_lines, was_interrupted
from shopstep.session.commands import Command, Refusal
from shopstep.session.flow import index_plan
from shopstep.words import say, to_say

WIDTH = 78
_FACE_WORDS = to_say(
    {
        "why": "why the step is done so",
        "picture": "what the step looks like, in dots",
        "more": "steps that can be taken instead",
        "status": "the card again, with the time that is left now",
        "summary": "where the work stands: last done, what dries, what is next",
        "board": "the whole batch: every unit, what waits, what is left",
        "help": "these words",
        "quit": "leave; everything is kept",
    }
)


ReadLine = Callable[[], str | None]
"""Gives the next line, or None (or EOFError) at the end of input."""
WriteLine = Callable[[str], None]


def coming_back_lines(bench: Bench) -> list[str]:
    """After an interruption where the work stands; on another day also what the air was."""
    lines: list[str] = []
    if was_interrupted(bench.state, bench.now_s()):
        bench.card()  # reads what other faces did meanwhile
        lines += summary_lines(bench.state, bench.plan, bench.now_s(), WIDTH)
    if asks_for_air(bench.state, bench.plan, bench.now_s()):
        lines += wrap_lines([last_air_line(bench.state, bench.plan)], WIDTH)
    return lines


PictureLines = Callable[[Plan, str], Sequence[str]]
"""The picture of a step by its id, or a sentence."""


def run_plain(
    bench: Bench, read_line: ReadLine, write_line: WriteLine, draw: PictureLines | None = None
) -> int:
    """Talk line by line until ``quit`` or the end of input; the session is kept. Returns 0.

    ``draw`` gives the picture of a step; without it no step has one.
    """
    talk = _Talk(bench, write_line, draw)
    talk.show(bench.card())
    while True:
        line = _next_line(read_line)
        if line is None or not talk.answer(line.split()):
            return 0


def _next_line(read_line: ReadLine) -> str | None:
    try:
        return read_line()
    except EOFError:
        return None


class _Talk:
    """One conversation: the card that was read out last, and what to answer."""

    def __init__(self, bench: Bench, write_line: WriteLine, draw: PictureLines | None) -> None:
        self._bench = bench
        self._write_line = write_line
        self._draw = draw
        self._card = bench.card()
        self._told_record = False
        self._answers: dict[str, Callable[[], None]] = {
            "why": lambda: self._say(self._card.why or say(NO_WHY)),
            "picture": self._say_picture,
            "more": self._say_ready,
            "status": lambda: self.show(self._bench.card()),
            "summary": self._say_summary,
            "board": self._say_board,
            "help": self._say_help,
        }

    def show(self, card: StepCard) -> None:
        """Read the card out, and the record once the batch is complete."""
        self._card = card
        for line in card_lines(card, self._bench.now_s(), self._bench.plan.zone, WIDTH):
            self._write_line(line)
        if not card.mode.is_ended:
            self._told_record = False
        elif not self._told_record:
            self._told_record = True
            self._say_record()

    def answer(self, words: list[str]) -> bool:
        """Answer one line; False when the person leaves."""
        self._tell_better()
        word = words[0].lower() if words else "status"
        word = {"q": "quit", "?": "help"}.get(word, word)
        if word == "quit":
            return False
        if word in self._answers:
            self._answers[word]()
        elif word in COMMAND_USAGE:
            self._carry_out(words)
        else:
            self._say(explain_unknown(words[0], [*COMMAND_USAGE, *_FACE_WORDS]))
        return True

    def _tell_better(self) -> None:
        """A better plan is told before the answer; the step stays, so its card is not repeated."""
        card = self._bench.better()
        if card is not None:
            self._card = card
            self._say(card.notice)

    def _carry_out(self, words: Sequence[str]) -> None:
        command = self._understand(words)
        if isinstance(command, str):
            self._say(command)
            return
        outcome = self._bench.do(command)
        if isinstance(outcome, Refusal):
            self._say(say("Not done. {why}", why=outcome.in_words))
            self._tell_changes()
        else:
            self.show(outcome.card)

    def _understand(self, words: Sequence[str]) -> Command | str:
        named = name_ready(words, self._bench.ready())
        if isinstance(named, str):
            return named
        return parse_command(named, self._card, None, uuid4().hex)

    def _tell_changes(self) -> None:
        """After a refusal: read the new card out if another face had moved on."""
        card = self._bench.card()
        if card.version != self._card.version:
            self.show(card)

    def _say_ready(self) -> None:
        ready = self._bench.ready()
        if not ready:
            self._say(say("No other step is ready now."))
        index = index_plan(self._bench.plan)
        for number, step in enumerate(ready, 1):
            here = say(", at the bench") if step.id == self._card.step_id else ""
            self._say(
                say(
                    "take {number}: {headline_of}, {step_id}{here}",
                    number=number,
                    headline_of=headline_of(step, index.kind_of(step)),
                    step_id=step.id,
                    here=here,
                )
            )
        self._say(
            say("Also: {names}.", names=", ".join(["measure", "note", "conditions", *_FACE_WORDS]))
        )

    def _say_summary(self) -> None:
        bench = self._bench
        bench.card()
        for line in summary_lines(bench.state, bench.plan, bench.now_s(), WIDTH):
            self._write_line(line)

    def _say_board(self) -> None:
        bench = self._bench
        bench.card()
        for line in board_lines(board_of(bench.state, bench.plan, bench.now_s()), WIDTH):
            self._write_line(line)

    def _say_picture(self) -> None:
        draw = self._draw or (lambda plan, step_id: (say(NO_PICTURE),))
        for line in draw(self._bench.plan, self._card.step_id):
            self._write_line(line)

    def _say_help(self) -> None:
        for word, usage in COMMAND_USAGE.items():
            self._say(f"{usage}: {say(COMMAND_MEANING[word])}")
        for word, meaning in _FACE_WORDS.items():
            self._say(f"{word}: {meaning}")

    def _say_record(self) -> None:
        for line in record_lines(record(self._bench.changes_since(0), self._bench.plan), WIDTH):
            self._write_line(line)

    def _say(self, text: str) -> None:
        for line in wrap_lines([text], WIDTH):
            self._write_line(line)
