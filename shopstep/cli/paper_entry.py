"""``do SESSION done-until STEP``: ticks made on paper, entered in one go.

What is not given by options is asked line by line where a person sits at a terminal. Imports
``present`` and ``session``; reading and writing lines are handed in.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any
from uuid import uuid4

import click

from shopstep.cli.output import is_terminal, read_line
from shopstep.cli.plain import WIDTH, ReadLine, WriteLine
from shopstep.present.card import StepCard
from shopstep.present.facts import headline_of
from shopstep.present.lines import wrap_lines
from shopstep.present.paper_words import (
    Pair,
    entered_lines,
    missing_lines,
    read_readings,
    read_times,
    reading_of,
    time_of,
)
from shopstep.session.commands import EnterTicks, Refusal, ToldReading, ToldTime
from shopstep.session.paper_ticks import (
    Asked,
    AskedNumber,
    AskedTime,
    asked_until,
    check_times,
    find_until,
)
from shopstep.session.paper_times import NOTHING
from shopstep.session.situation import Situation
from shopstep.units import format_length
from shopstep.wiring.problems import ExitCode, Problem
from shopstep.words import say, to_say
from shopstep.workbench import Workbench

WRITE_TIMES = to_say("Write times as 19:42, of another day 2026-01-14 19:42.")
WITH_FIRST = to_say("With the moment of the first glue, if you wrote it: 19:38..19:42")


@dataclass(frozen=True, slots=True)
class Given:
    """What was given by options."""

    closed: tuple[Pair, ...] = ()
    ended: tuple[Pair, ...] = ()
    readings: tuple[Pair, ...] = ()
    cautions_read: bool = False


class Stopped(Exception):
    """The person stopped answering: nothing is entered."""


def enter_paper(
    bench: Workbench, words: tuple[str, ...], paper: dict[str, Any], *, as_json: bool
) -> StepCard | Refusal:
    """The card after the ticks that were made on paper, or why none was entered."""
    if len(words) != 1:
        text = say("say up to which step, for example: done-until glue/close_right")
        raise Problem(text, ExitCode.USAGE)
    bench.card()
    situation = Situation(bench.state, bench.plan, bench.now_s())
    asked = ticks_asked(situation, words[0])
    if isinstance(asked, Refusal):
        return asked
    given = Given(paper["closed"], paper["ended"], paper["read"], paper["cautions_read"])
    command = ticks_from_options(situation, words[0], asked, given)
    if isinstance(command, str):
        raise Problem(command.rstrip("."), ExitCode.USAGE)
    if is_terminal() and not as_json and asked.steps:
        try:
            command = ask_the_rest(command, asked, situation, read_line, click.echo)
        except Stopped:
            return Refusal(say("Nothing was entered."), "stopped")
    return _do(bench, command, asked, as_json=as_json)


def _do(
    bench: Workbench, command: EnterTicks, asked: Asked, *, as_json: bool
) -> StepCard | Refusal:
    answer = bench.do(command)
    if isinstance(answer, Refusal) and answer.rule == "missing" and not as_json:
        lines = missing_lines(asked, command, bench.plan, WIDTH)
        click.echo("\n".join([say("These ticks ask for:"), *lines]), err=True)
        return Refusal(say("Nothing was entered; what stands above is missing."), answer.rule)
    if isinstance(answer, Refusal):
        return answer
    if not as_json:
        entered = entered_lines(bench.plan, command, answer.envelopes)
        click.echo("\n".join([say("Entered:"), *entered, ""]))
    return answer.card


def ticks_asked(situation: Situation, word: str) -> Asked | Refusal:
    """The steps up to the one named, and what has to be told with them."""
    until = find_until(situation, word)
    return until if isinstance(until, Refusal) else asked_until(situation, until)


def ticks_from_options(
    situation: Situation, until: str, asked: Asked, given: Given
) -> EnterTicks | str:
    """The command as far as options tell it, or what is wrong with them."""
    times = read_times(asked, given.closed, given.ended)
    if isinstance(times, str):
        return times
    readings = read_readings(asked, given.readings, situation.plan.display)
    if isinstance(readings, str):
        return readings
    return _command(until, times, readings, cautions_read=given.cautions_read)


def _command(
    until: str, times: list[ToldTime], readings: list[ToldReading], *, cautions_read: bool
) -> EnterTicks:
    return EnterTicks(
        id=uuid4().hex,
        step=until,
        times=tuple(times),
        readings=tuple(readings),
        cautions_read=cautions_read,
    )


def ask_the_rest(
    command: EnterTicks,
    asked: Asked,
    situation: Situation,
    read_line: ReadLine,
    write_line: WriteLine,
) -> EnterTicks:
    """The command with all that was still missing, asked line by line. Stopped at the end.

    A time that cannot be is asked for again at once.
    """
    talk = _Talk(situation, asked, read_line, write_line)
    talk.list_steps()
    times = list(command.times)
    given = {each.step for each in times}
    for each in asked.times:
        if each.step not in given:
            times.append(talk.ask_time(each, tuple(times)))
    read = {(each.step, each.name) for each in command.readings}
    readings = [
        *command.readings,
        *(talk.ask_number(a) for a in asked.numbers if (a.step, a.check.name) not in read),
    ]
    if not command.cautions_read:
        talk.ask_cautions()
    talk.ask_sure(len(asked.steps))
    return _command(command.step or "", times, readings, cautions_read=True)


@dataclass(frozen=True, slots=True)
class _Talk:
    situation: Situation
    asked: Asked
    read_line: ReadLine
    write_line: WriteLine

    def say(self, text: str) -> None:
        for line in wrap_lines([text], WIDTH):
            self.write_line(line)

    def list_steps(self) -> None:
        asked = self.asked
        for step in asked.steps:
            self.say(f"  {headline_of(step, self.situation.kind_of(step))}")
        self.say(f"{len(asked.steps)} ticks. {say(WRITE_TIMES)}")

    def ask_time(self, each: AskedTime, before: tuple[ToldTime, ...]) -> ToldTime:
        if each.is_joint:
            question = say(
                "{each_label}: closed at? {with_first}",
                each_label=each.label,
                with_first=say(WITH_FIRST),
            )
        else:
            question = say("{each_label}: ended at?", each_label=each.label)
        while True:
            told = time_of(each, self._answer(question))
            refusal = check_times(self.situation, self.asked, (*before, told))
            if refusal is None:
                return told
            self.say(f"{refusal.text.removesuffix(say(NOTHING)).strip()} Once more:")

    def ask_number(self, each: AskedNumber) -> ToldReading:
        planned = format_length(each.expected, self.situation.plan.display)
        while True:
            typed = self._answer(
                say(
                    "{each_label}: {check}; planned {planned}. Read:",
                    each_label=each.label,
                    check=each.check.text,
                    planned=planned,
                )
            )
            told = reading_of(each, typed, self.situation.plan.display)
            if isinstance(told, ToldReading):
                return told
            self.say(told)

    def ask_cautions(self) -> None:
        for caution in self.asked.cautions:
            words = (say(w) for w in (caution.harm, caution.avoid, caution.hand) if w)
            self.say(f"{say(caution.signal)}: {' '.join(words)}")
            self._ask_yes(say("Was it read before the work, and kept? yes or no:"))

    def ask_sure(self, count: int) -> None:
        self._ask_yes(say("Enter these {count} ticks? yes or no:", count=count))

    def _ask_yes(self, question: str) -> None:
        while True:
            typed = self._answer(question).casefold()
            if typed in ("y", "yes"):
                return
            if typed in ("n", "no"):
                raise Stopped
            self.say(say("Answer yes or no."))

    def _answer(self, question: str) -> str:
        """What is typed; Stopped at the end of input, or at ``quit``."""
        while True:
            self.say(question)
            typed = self.read_line()
            if typed is None or typed.strip() == "quit":
                raise Stopped
            if typed.strip():
                return typed.strip()
