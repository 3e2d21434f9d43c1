"""Words typed or spoken to Commands: one parser for every face that takes words.

Imports ``session`` and ``units``. A sentence that cannot be read gives another sentence, which
says what would be right.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches

from shopstep.model.step import Step
from shopstep.present import ending_words
from shopstep.present.card import CardCheck, StepCard
from shopstep.present.deviations import is_outside
from shopstep.present.gaps import read_gap
from shopstep.session.commands import (
    AcceptDeviation,
    AcknowledgeCaution,
    Command,
    FinishStep,
    GoBack,
    HoldBatch,
    NoteConditions,
    ResumeBatch,
    StartSpreading,
    TakeMeasure,
    TakeNote,
    TakeStep,
)
from shopstep.units import UnitError, parse_length, read_typed
from shopstep.words import figure, say, to_say

_WITH_NUMBERS = ("measure", "conditions", "label", "clamps")
"""Words after which decimals may stand as the place writes them."""
HOTTEST_BARE = 45.0
"""A bare number above this is likely Fahrenheit, so the scale is asked for."""


@dataclass(frozen=True, slots=True)
class _Spoken:
    """What every command is made with: its words after the first, and the card it is about."""

    rest: tuple[str, ...]
    card: StepCard | None
    step: str | None
    id: str

    @property
    def seen(self) -> int | None:
        return self.card.version if self.card else None

    @property
    def checks(self) -> tuple[CardCheck, ...]:
        return self.card.checks if self.card else ()

    @property
    def text(self) -> str:
        return " ".join(self.rest)


COMMAND_USAGE: dict[str, str] = {
    "done": "done",
    "start": "start",
    "ack": "ack",
    "back": "back",
    "hold": "hold [REASON]",
    "resume": "resume",
    "measure": "measure NAME VALUE [WHERE]",
    "accept": "accept NAME [REASON]",
    "note": "note TEXT",
    "take": "take STEP",
    "conditions": "conditions TEMP_C HUMIDITY",
    **ending_words.USAGE,
}
"""Every word that becomes a command, with what follows it."""
COMMAND_MEANING: dict[str, str] = to_say(
    {
        "done": "the step is done",
        "start": "the first bead of glue goes on now",
        "ack": "the caution is read and understood",
        "back": "open the last finished step again",
        "hold": "stop for now",
        "resume": "take up again",
        "measure": "a check's number as you read it, for example 1/32 in; of a gap at a slope also"
        " where it is: toe, heel or even",
        "accept": "keep a value although it is outside its tolerance",
        "note": "write something down",
        "take": "bring another ready step to the bench, by its id or its number in 'more'",
        "conditions": "the air in the shop, for example 9C 60%",
        **ending_words.MEANING,
    }
)
"""What each of these words does."""


def parse_command(
    words: Sequence[str], card: StepCard | None, step: str | None, command_id: str
) -> Command | str:
    """The command that ``words`` ask for, or a sentence that says why there is none.

    ``step`` names the step meant; without it the command is for the step on ``card``.
    """
    if not words:
        return say("Say what to do: {command_usage}.", command_usage=", ".join(COMMAND_USAGE))
    word = words[0].lower()
    if word not in COMMAND_USAGE:
        return explain_unknown(words[0], COMMAND_USAGE)
    rest = tuple(words[1:])
    try:
        if word in _WITH_NUMBERS:
            rest = tuple(read_typed(each) for each in rest)
    except UnitError as doubt:
        return f"{doubt}."
    meant = step or (card.step_id or None if card else None)
    spoken = _Spoken(rest, card, meant, command_id)
    if spoken.rest and COMMAND_USAGE[word] == word:
        return say("'{word}' stands alone; '{spoken}' was too much.", word=word, spoken=spoken.text)
    return _PARSERS[word](spoken)


def explain_unknown(word: str, known: Sequence[str] | dict[str, str]) -> str:
    """The sentence for a word that is none of ``known``, with the nearest one."""
    near = get_close_matches(word.lower(), list(known), n=1, cutoff=0.5)
    hint = say("; did you mean '{near}'?", near=near[0]) if near else "."
    return say(
        "'{word}' is no command here{hint} There are: {known}.",
        word=word,
        hint=hint,
        known=", ".join(known),
    )


def name_ready(words: Sequence[str], ready: Sequence[Step]) -> list[str] | str:
    """``take 2`` with the number put into the id of the second ready step; else as given."""
    if (
        len(words) != 2
        or words[0].lower() != "take"
        or not words[1].isdecimal()
        or len(words[1]) > 4
    ):
        return list(words)
    number = int(words[1])
    if not 1 <= number <= len(ready):
        count = say("1 to {ready}", ready=len(ready)) if ready else say("none")
        return say(
            "There is no ready step number {number}; numbers are {count}.",
            number=number,
            count=count,
        )
    return [words[0], ready[number - 1].id]


def _finish(spoken: _Spoken) -> Command | str:
    return FinishStep(id=spoken.id, step=spoken.step, seen=spoken.seen)


def _start(spoken: _Spoken) -> Command | str:
    return StartSpreading(id=spoken.id, step=spoken.step, seen=spoken.seen)


def _acknowledge(spoken: _Spoken) -> Command | str:
    return AcknowledgeCaution(id=spoken.id, step=spoken.step, seen=spoken.seen)


def _go_back(spoken: _Spoken) -> Command | str:
    return GoBack(id=spoken.id, step=spoken.step, seen=spoken.seen)


def _hold(spoken: _Spoken) -> Command | str:
    return HoldBatch(id=spoken.id, step=spoken.step, seen=spoken.seen, reason=spoken.text)


def _resume(spoken: _Spoken) -> Command | str:
    return ResumeBatch(id=spoken.id, step=spoken.step, seen=spoken.seen)


def _measure(spoken: _Spoken) -> Command | str:
    numbered = [check.name for check in spoken.checks if check.expected_nm is not None]
    name, value = "", spoken.rest
    if value and not re.match(r"[-+.\d½¼¾⅛⅜⅝⅞]", value[0]):
        name, value = value[0], value[1:]
    elif value and len(numbered) == 1:
        name = numbered[0]
    if spoken.card is not None and not numbered and not name:
        return say("This step asks for no number.")
    if not name or not value:
        example = numbered[0] if numbered else "NAME"
        return say(
            "Say which check and what you read, for example: measure {example} 1/32 in",
            example=example,
        )
    asked = next((check for check in spoken.checks if check.name == name), None)
    read = read_gap(" ".join(value), asked)
    try:
        length = parse_length(read.length)
    except UnitError as problem:
        return f"{problem}."
    return TakeMeasure(
        id=spoken.id,
        step=spoken.step,
        seen=spoken.seen,
        name=name,
        value=length,
        where=read.where,
    )


def _accept(spoken: _Spoken) -> Command | str:
    outside = [c.name for c in spoken.checks if is_outside(c)]
    if spoken.rest:
        name, reason = spoken.rest[0], " ".join(spoken.rest[1:])
    elif len(outside) == 1:
        name, reason = outside[0], ""
    else:
        which = ", ".join(outside) or say("none is outside its tolerance now")
        return say(
            "Say which value is to be kept as it is: accept NAME [REASON] ({which})", which=which
        )
    return AcceptDeviation(
        id=spoken.id, step=spoken.step, seen=spoken.seen, name=name, reason=reason
    )


def _note(spoken: _Spoken) -> Command | str:
    if not spoken.text.strip():
        return say("Say what to write down: note TEXT")
    return TakeNote(id=spoken.id, step=spoken.step, seen=spoken.seen, text=spoken.text)


def _take(spoken: _Spoken) -> Command | str:
    if len(spoken.rest) != 1:
        return say(
            "Say which step to bring to the bench: take STEP (its id, or its number in 'more')"
        )
    return TakeStep(id=spoken.id, step=spoken.rest[0], seen=spoken.seen)


_AIR = re.compile(r"\s*(-?\d+(?:\.\d+)?)\s*°?\s*([cCfF]?)[\s,]+(\d+(?:\.\d+)?)\s*%?\s*")


def _conditions(spoken: _Spoken) -> Command | str:
    match = _AIR.fullmatch(spoken.text)
    if match is None:
        return say("Say temperature and humidity of the air, for example: conditions 9C 60%")
    warmth, scale, humidity = float(match.group(1)), match.group(2).upper(), float(match.group(3))
    if not scale and warmth > HOTTEST_BARE:
        return say(
            "{warmth} on which scale? Write {warmth}C or {warmth}F.", warmth=figure(warmth, "g")
        )
    if scale == "F":
        warmth = round((warmth - 32) / 1.8, 1)
    return NoteConditions(
        id=spoken.id,
        step=spoken.step,
        seen=spoken.seen,
        temperature_c=warmth,
        humidity_percent=humidity,
    )


_PARSERS: dict[str, Callable[[_Spoken], Command | str]] = {
    "done": _finish,
    "start": _start,
    "ack": _acknowledge,
    "back": _go_back,
    "hold": _hold,
    "resume": _resume,
    "measure": _measure,
    "accept": _accept,
    "note": _note,
    "take": _take,
    "conditions": _conditions,
    **ending_words.PARSERS,
}
