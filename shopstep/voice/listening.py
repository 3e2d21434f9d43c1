"""When the microphone is open: while a key is held down or was tapped, for some seconds after the
card has spoken, or always. Pure: the time is an argument.

Always is offered only where a second ear is installed: a closed grammar alone takes ordinary talk
for a command too often (measured, see DEVELOPERS.md). Imports nothing.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from shopstep.words import say

ARMED_S = 8.0
"""So long the microphone is open after the card has spoken."""
PUSHED_S = 6.0
"""And after a tap of the key: a terminal does not tell when a key is let go."""
MORE_S = 3.0
"""Whoever began to speak in time is heard out for so long at most after the time is over."""


class Way(StrEnum):
    """How somebody may be heard."""

    OFF = "off"
    PUSH = "push"
    """Only after the key."""
    ARMED = "armed"
    """After the key, and after the card has spoken."""
    OPEN = "open"
    """Always, until the key stops it; what acts needs a second ear to agree."""


@dataclass(frozen=True, slots=True)
class Listening:
    """The state of the microphone."""

    way: Way
    open_until_s: float = 0.0
    held: bool = False
    """A pedal or a button that tells when it is let go is down."""
    is_speaking: bool = False
    """The program itself speaks: nobody else is heard meanwhile."""
    by: str = ""
    """``key`` or ``card``: why it is open."""
    is_stopped: bool = False
    """Open listening was stopped by the key."""

    def is_open(self, now_s: float, *, in_speech: bool = False) -> bool:
        """Whether what comes in is listened to; who speaks already is heard out."""
        if self.way is Way.OFF or self.is_speaking:
            return False
        if self.way is Way.OPEN:
            return not self.is_stopped
        late_s = MORE_S if in_speech else 0.0
        return self.held or now_s < self.open_until_s + late_s

    def left_s(self, now_s: float) -> float:
        """For how long it stays open; 0 where it is shut. What has no end counts as a push."""
        if not self.is_open(now_s):
            return 0.0
        return PUSHED_S if self.held or self.way is Way.OPEN else self.open_until_s - now_s

    def words(self, now_s: float) -> str:
        """What the screen shows."""
        if self.way is Way.OFF:
            return say("voice off")
        if self.is_speaking:
            return say("speaks; not listening")
        if self.way is Way.OPEN:
            return (
                say("stopped; tap to listen")
                if self.is_stopped
                else say("always listening; tap to stop")
            )
        if self.held:
            return say("listening while held")
        if self.is_open(now_s):
            return say("listening, {seconds} s", seconds=max(1, round(self.left_s(now_s))))
        return (
            say("tap to talk")
            if self.way is Way.PUSH
            else say("listens after it has spoken; tap to talk")
        )


def push(state: Listening, now_s: float) -> Listening:
    """The key was tapped: open for a while; a second tap while open shuts it. Open listening is
    stopped by one tap and begun again by the next."""
    if state.way is Way.OFF:
        return state
    if state.way is Way.OPEN:
        return replace(state, is_stopped=not state.is_stopped, is_speaking=False)
    if state.by == "key" and state.is_open(now_s):
        return shut(state)
    return replace(state, open_until_s=now_s + PUSHED_S, by="key", is_speaking=False)


def press(state: Listening) -> Listening:
    """A pedal or button goes down."""
    return state if state.way is Way.OFF else replace(state, held=True, by="key", is_speaking=False)


def release(state: Listening, now_s: float) -> Listening:
    """It is let go: the last word is heard out."""
    return replace(state, held=False, open_until_s=now_s + 0.5) if state.held else state


def begin_speaking(state: Listening) -> Listening:
    """The program speaks: what it says must not be taken for the person's."""
    return replace(state, is_speaking=True, held=False, open_until_s=0.0, by="")


def end_speaking(state: Listening, now_s: float) -> Listening:
    """It has spoken: armed for a while, where that is the way."""
    state = replace(state, is_speaking=False)
    if state.way is not Way.ARMED:
        return state
    return replace(state, open_until_s=now_s + ARMED_S, by="card")


def heard(state: Listening) -> Listening:
    """A phrase was taken: shut, until the next card has spoken or the next tap."""
    return state if state.held else shut(state)


def shut(state: Listening) -> Listening:
    """Not listening any more."""
    return replace(state, open_until_s=0.0, held=False, by="")


def read_way(text: str) -> Way | str:
    """``push``, ``armed``, ``open`` or ``off``; else a sentence."""
    try:
        return Way(text.strip().lower())
    except ValueError:
        return say(
            "'{text}' is no way of listening; there are push, armed, open and off.", text=text
        )
