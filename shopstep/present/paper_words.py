"""What is asked with ticks made on paper, and what is typed for it.

Imports ``session``, ``units`` and the words of this room.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from difflib import get_close_matches
from typing import TypeVar

from shopstep.model.plan import Plan
from shopstep.present.card import CardCheck
from shopstep.present.columns import fold_text
from shopstep.present.facts import headline_of
from shopstep.present.gaps import read_gap
from shopstep.present.moments import day_words, local_date, local_time
from shopstep.session.commands import EnterTicks, ToldReading, ToldTime
from shopstep.session.events import Envelope, StepFinished
from shopstep.session.flow import index_plan
from shopstep.session.paper_ticks import Asked, AskedNumber, AskedTime
from shopstep.session.trials import asks_where
from shopstep.units import UnitError, format_length, parse_length, read_typed
from shopstep.words import say

Pair = tuple[str, str]
"""What it is called, and what was typed for it."""
Named = TypeVar("Named", AskedTime, AskedNumber)
_SPAN = re.compile(r"\s*(?:\.\.|–|\bto\b|(?<=\d:\d\d)-)\s*")


def missing_lines(asked: Asked, told: EnterTicks, plan: Plan, width: int = 78) -> list[str]:
    """What has still to be told with these ticks, each as it is typed in a script."""
    times = {each.step for each in told.times}
    numbers = {(each.step, each.name) for each in told.readings}
    rows = [
        f'--{"closed" if each.is_joint else "ended"} "{each.label}=HH:MM"'
        for each in asked.times
        if each.step not in times
    ]
    rows += [
        say(
            '--read "{each_label}=VALUE"  {check}, planned {expected}',
            each_label=each.label,
            check=each.check.text,
            expected=format_length(each.expected, plan.display),
        )
        for each in asked.numbers
        if (each.step, each.check.name) not in numbers
    ]
    if asked.cautions and not told.cautions_read:
        rows.append(say("--cautions-read  where each of these was read and kept:"))
        rows += [
            f"  {say(c.signal)} ({c.id}): {say(c.harm)} {say(c.avoid)}" for c in asked.cautions
        ]
    return [line for row in rows for line in fold_text(f"  {row}", width, rest="      ")]


def read_times(asked: Asked, closed: Iterable[Pair], ended: Iterable[Pair]) -> list[ToldTime] | str:
    """The moments typed for joints and for coats, or a sentence that says what is wrong."""
    told: list[ToldTime] = []
    for pairs, is_joint in ((closed, True), (ended, False)):
        among = [each for each in asked.times if each.is_joint is is_joint]
        for name, text in pairs:
            each = find_named(name, among)
            if isinstance(each, str):
                return each
            told.append(time_of(each, text))
    return told


def time_of(each: AskedTime, text: str) -> ToldTime:
    """``19:42``, or from the first glue on ``19:38..19:42``."""
    parts = _SPAN.split(text.strip(), maxsplit=1)
    if len(parts) == 2:
        day = re.match(r"\d{4}-\d\d?-\d\d?[ T]+", parts[0])
        both = day is not None and re.fullmatch(r"\d\d?:\d\d", parts[1])
        end = f"{day.group()}{parts[1]}" if day is not None and both else parts[1]
        return ToldTime(each.step, end, parts[0])
    return ToldTime(each.step, parts[0])


def read_readings(asked: Asked, pairs: Iterable[Pair], display: str) -> list[ToldReading] | str:
    """The numbers typed for checks, or a sentence that says what is wrong."""
    told: list[ToldReading] = []
    for name, text in pairs:
        each = find_named(name, asked.numbers)
        if isinstance(each, str):
            return each
        reading = reading_of(each, text, display)
        if isinstance(reading, str):
            return reading
        told.append(reading)
    return told


def reading_of(each: AskedNumber, text: str, display: str) -> ToldReading | str:
    """One number as typed, of a gap with its place; or what is wrong with it."""
    check = each.check
    shown = CardCheck(
        check.name,
        check.text,
        format_length(each.expected, display),
        each.expected.nm,
        "",
        "",
        False,
        False,
        asks_where=asks_where(check),
    )
    gap = read_gap(text, shown)
    try:
        return ToldReading(each.step, check.name, parse_length(read_typed(gap.length)), gap.where)
    except UnitError as problem:
        return f"{each.label}: {problem}."


def find_named(name: str, among: Sequence[Named]) -> Named | str:
    """What a name means: the label, the step's id, or any part of one label only."""
    typed = " ".join(name.split()).casefold()
    for each in among:
        if typed in (each.label.casefold(), each.step.casefold()) and _is_only(each, among, typed):
            return each
    part = [each for each in among if typed in each.label.casefold()]
    if typed and len(part) == 1:
        return part[0]
    labels = [each.label for each in part or among]
    if not labels:
        return say("'{name}' is none of what these ticks ask for.", name=name)
    near = get_close_matches(typed, labels, n=1)
    hint = (
        say(" Did you mean '{near}'?", near=near[0])
        if near and not part
        else say(" There are: {labels}.", labels="; ".join(labels))
    )
    return (
        say("'{name}' is not clear.{hint}", name=name, hint=hint)
        if part
        else say("'{name}' is not asked for here.{hint}", name=name, hint=hint)
    )


def _is_only(each: AskedTime | AskedNumber, among: Sequence[Named], typed: str) -> bool:
    """Whether a step's id means one thing: a step may ask for several numbers."""
    if typed == each.label.casefold():
        return True
    return sum(1 for other in among if other.step == each.step) == 1


def entered_lines(plan: Plan, told: EnterTicks, envelopes: Iterable[Envelope]) -> list[str]:
    """What was entered, a line for each tick with the time that counts for it.

    What nobody wrote down is said to be about then.
    """
    written = {each.step for each in told.times}
    index = index_plan(plan)
    lines: list[str] = []
    for envelope in envelopes:
        event = envelope.event
        if isinstance(event, StepFinished) and event.step in index.steps:
            step = index.steps[event.step]
            day = day_words(local_date(event.told_s, plan.zone))
            clock = local_time(event.told_s, plan.zone)
            about = "" if event.step in written else say("about ")
            lines.append(f"  {day} {about}{clock}  {headline_of(step, index.kind_of(step))}")
    return lines
