"""What a page asks for, read with suspicion: one message becomes one command, or a sentence.

Imports ``present`` and the session's commands.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, replace
from typing import Any

from shopstep.present.card import StepCard
from shopstep.present.choices import command_of
from shopstep.present.deviations import deviation_name
from shopstep.present.phrases import parse_command
from shopstep.session.commands import Command
from shopstep.words import say, to_say

MOST_LETTERS = 400
_ID = re.compile(r"[0-9a-f]{32}")
HEARS, HEARS_NOT = "hear on", "hear off"
"""A page says whether it can sound alarms."""
_PLAIN = frozenset({"done", "start", "ack", "back", "hold", "resume"})
UNKNOWN = to_say("This page asked for something that is not known here; load it anew.")


class BadMessage(Exception):
    """What came is no message of our page."""


@dataclass(frozen=True, slots=True)
class Asked:
    """One thing that a page asked for."""

    id: str
    """32 hexadecimal digits, made by the page; asked twice it is done once."""
    act: str
    """``do done``, ``take STEP``, ``say aside too late tonight``, ``measure gap 1/16 in``,
    ``look summary``, ``look board``, ``hear on``."""
    step: str
    seen: int


def read_message(text: str) -> Asked:
    """The message in a frame; BadMessage for anything else."""
    try:
        message: Any = json.loads(text)
        asked = Asked(message["id"], message["act"], message["step"], message["seen"])
    except (ValueError, KeyError, TypeError, RecursionError):
        raise BadMessage from None
    texts = (asked.id, asked.act, asked.step)
    if not all(isinstance(t, str) and len(t) <= MOST_LETTERS and t.isprintable() for t in texts):
        raise BadMessage
    if type(asked.seen) is not int or not 0 <= asked.seen < 2**53 or not _ID.fullmatch(asked.id):
        raise BadMessage
    return asked


def command_for(asked: Asked, card: StepCard, now_s: int) -> Command | str:
    """The command that is meant, for the step and the version that the page had seen."""
    seen = replace(card, version=asked.seen, step_id=asked.step)
    verb, _, rest = asked.act.partition(" ")
    if verb == "do" and rest in _PLAIN:
        return parse_command([rest], seen, None, asked.id)
    if verb == "do" and rest == "accept":
        name = deviation_name(card, now_s)
        if not name:
            return say("There is nothing to keep as it is on this card.")
        return parse_command(["accept", name], seen, None, asked.id)
    if verb in ("take", "measure"):
        return parse_command(asked.act.split(), seen, None, asked.id)
    if verb == "say":
        return _chosen(rest, seen, asked.id)
    return say(UNKNOWN)


def _chosen(choice: str, card: StepCard, command_id: str) -> Command | str:
    try:
        return command_of(choice, card, command_id) or say(UNKNOWN)
    except ValueError:  # a count that is none, or words that are missing
        return say(UNKNOWN)
