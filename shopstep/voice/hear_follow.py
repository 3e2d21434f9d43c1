"""A session followed by ear: each utterance is judged by the card that stands there, and goes
through the same door as a tap. Imports the policy, present and session; ear and bench are handed
in.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Protocol
from uuid import uuid4

from shopstep.model.step import Step
from shopstep.present.card import StepCard
from shopstep.session.commands import Command, Refusal
from shopstep.voice.hear_cautions import open_cautions
from shopstep.voice.hear_policy import (
    Around,
    Heard,
    HearState,
    Reply,
    after_command,
    allowed_actions,
    respond,
)

if TYPE_CHECKING:
    from shopstep.voice.hear import Hearing
    from shopstep.voice.hear_endpoint import Utterance

_NUMBERS = re.compile(r"\(.*\)")


class Answer(Protocol):
    """What a command that was carried out leads to."""

    @property
    def card(self) -> StepCard:
        """The card after it."""
        ...


class Bench(Protocol):
    """What is needed of a running session."""

    def card(self) -> StepCard:
        """The card at this moment."""
        ...

    def do(self, command: Command) -> Answer | Refusal:
        """Carry out a command; it is on disk before this returns."""
        ...

    def ready(self) -> tuple[Step, ...]:
        """The steps that are ready now."""
        ...


class Ears(Protocol):
    """What judges an utterance; see ``hear.Ear``."""

    def phrases(self, actions: Sequence[str], cautions: Sequence[str] = ()) -> dict[str, str]:
        """What may be said to what it does."""
        ...

    def judge(
        self, utterance: Utterance, actions: Sequence[str], cautions: Sequence[str] = ()
    ) -> Hearing:
        """What it is taken for, among what may be said now."""
        ...


@dataclass(frozen=True, slots=True)
class Turn:
    """One utterance, what it was taken for and what became of it."""

    hearing: Hearing
    reply: Reply | None
    """None where the utterance was refused."""
    card: StepCard
    """The card after it."""
    refused: str = ""
    """What the session said against the command; empty where nothing."""

    @property
    def text(self) -> str:
        """What is to be shown and said about it."""
        if self.reply is None:
            return self.hearing.text
        return self.refused or self.reply.text


def _new_id() -> str:
    return uuid4().hex


@dataclass(frozen=True, slots=True)
class Done:
    """What became of a phrase that was taken."""

    reply: Reply
    card: StepCard
    """The card after it."""
    refused: str = ""
    """What the session said against the command; empty where nothing."""


@dataclass(slots=True)
class Talk:
    """What was asked back and what can be undone, from one phrase to the next; whoever judges."""

    bench: Bench
    new_id: Callable[[], str] = _new_id
    state: HearState = field(default_factory=HearState)
    rings: bool = False
    """Whether an alarm sounds; the face says so."""

    def allowed(self, at_s: float) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """The actions that may be said now, and the sentences that answer the card's cautions."""
        card = self.bench.card()
        actions = allowed_actions(card, self.state, self._around(), at_s)
        return actions, tuple(open_cautions(card).values())

    def answer(self, heard: Heard, at_s: float) -> Done:
        """Do what a phrase that was taken for certain asks for."""
        card = self.bench.card()
        reply = respond(heard, card, self.state, at_s, self.new_id(), self._around())
        self.state = reply.state
        if reply.command is None:
            return Done(reply, card)
        outcome = self.bench.do(reply.command)
        was_done = not isinstance(outcome, Refusal)
        self.state = after_command(reply, card, at_s, was_done=was_done)
        if isinstance(outcome, Refusal):
            return Done(reply, self.bench.card(), outcome.in_words)
        return Done(reply, outcome.card)

    def _around(self) -> Around:
        return Around(tuple(step.id for step in self.bench.ready()), self.rings)


class Follower:
    """A session followed by an ear in the same process."""

    def __init__(self, bench: Bench, ears: Ears, new_id: Callable[[], str] = _new_id) -> None:
        self.bench, self.ears = bench, ears
        self.talk = Talk(bench, new_id)

    @property
    def state(self) -> HearState:
        """What is remembered from one utterance to the next."""
        return self.talk.state

    def sayings(self, at_s: float) -> tuple[str, ...]:
        """What may be said now, in words; numbers as dots."""
        found = self.ears.phrases(*self.talk.allowed(at_s))
        return tuple(_NUMBERS.sub("…", words) for words in found)

    def hear(self, utterance: Utterance, at_s: float) -> Turn:
        """Judge one utterance at a moment (seconds on any clock that only goes forward)."""
        hearing = self.ears.judge(utterance, *self.talk.allowed(at_s))
        if hearing.heard is None:
            return Turn(hearing, None, self.bench.card())
        done = self.talk.answer(hearing.heard, at_s)
        return Turn(hearing, done.reply, done.card, done.refused)
