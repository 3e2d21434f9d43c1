"""What a screen and the ear beside it tell each other, one line of JSON each.

The screen orders (what may be said now, or nothing), the ear tells (level, what was heard, why it
cannot hear). Where the microphone is elsewhere, its sound comes among the orders. Imports the
policy's shapes and the codec; neither the recogniser nor numpy.
"""

from __future__ import annotations

import base64
import binascii
import json
from dataclasses import dataclass

from shopstep.model.codec import decode, encode
from shopstep.voice.hear_policy import Heard
from shopstep.words import say, to_say

CHANGED = to_say("The card changed while you spoke; look, and say it again.")


@dataclass(frozen=True, slots=True)
class Grammar:
    """What may be said now."""

    about: int
    """Number of what stands on the screen; another one, and what was begun is void."""
    actions: tuple[str, ...]
    cautions: tuple[str, ...] = ()
    """Sentences that answer a caution."""


@dataclass(frozen=True, slots=True)
class Order:
    """What the ear is to do from now on."""

    grammar: Grammar | None = None
    """None: what is heard is only measured."""
    is_cut: bool = False
    """What was said until now is all: judge it first."""
    is_fresh: bool = False
    """The sound begins anew: what was heard before says nothing of the noise now."""


@dataclass(frozen=True, slots=True)
class Ready:
    """It hears from now on."""

    phrases: tuple[tuple[str, str], ...]
    """Action and words."""
    is_enrolled: bool
    """Whether it has learned the person's voice."""


@dataclass(frozen=True, slots=True)
class Level:
    """How loud it is, ten times a second."""

    level_db: float
    """dB below the loudest possible."""
    in_speech: bool
    is_too_loud: bool
    """A machine runs: nobody would be heard beside it."""


@dataclass(frozen=True, slots=True)
class Judged:
    """One utterance."""

    about: int
    """Of the grammar that it was begun under."""
    phrase: str
    """What it was taken for, or came nearest to; may be empty."""
    heard: Heard | None
    """None where it was refused."""
    text: str
    """Why it was refused; empty where it was taken."""


@dataclass(frozen=True, slots=True)
class Trouble:
    """Nothing can be heard any more, in a sentence."""

    text: str


News = Ready | Level | Judged | Trouble
_KINDS: dict[str, type[News]] = {
    "ready": Ready, "level": Level, "judged": Judged, "trouble": Trouble,
}  # fmt: skip


def news_line(news: News) -> str:
    """One line, without its end."""
    kind = next(name for name, each in _KINDS.items() if isinstance(news, each))
    return json.dumps({"kind": kind, "news": encode(news)})


def read_news(line: str) -> News:
    """What a line tells; ValueError where it is none of ours."""
    told = json.loads(line)
    if not isinstance(told, dict) or told.get("kind") not in _KINDS:
        raise ValueError(say("no news of the ear"))
    return decode(_KINDS[told["kind"]], told["news"])


def order_line(order: Order) -> str:
    """One line, without its end."""
    return json.dumps(encode(order))


def read_order(line: str) -> Order:
    """What a line orders; ValueError where it is none."""
    return decode(Order, json.loads(line))


def sound_line(sound: bytes) -> str:
    """One line of sound (16 kHz, mono, 16 bit, low byte first), without its end."""
    return json.dumps({"sound": base64.b64encode(sound).decode("ascii")})


def read_line(line: str) -> Order | bytes:
    """An order, or sound; ValueError where it is neither."""
    told = json.loads(line)
    if not isinstance(told, dict) or "sound" not in told:
        return decode(Order, told)
    try:
        return base64.b64decode(told["sound"], validate=True)
    except (TypeError, binascii.Error):
        raise ValueError("no sound") from None
