"""What is said, one after the other: out of date is dropped, an alarm cuts in.

A new card drops what is left of the old one's words. An alarm cuts a sentence off; a card that
comes meanwhile waits until the alarm is said. Nothing here makes its caller wait.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from shopstep.voice.engine import NO_ENGINE, NORMAL
from shopstep.voice.speak import Voice
from shopstep.words import say, to_say

NO_SOUND = to_say(
    "Nothing can be heard here: no sound player works. The screen shows all that is said."
)
LOOK_S = 0.02
REST_S = 0.01
"""Between two sentences that are prepared: the screen has the processor first."""


class Playing(Protocol):
    """One file that sounds."""

    def has_ended(self) -> bool:
        """Whether it is over."""
        ...

    def has_failed(self) -> bool:
        """Whether it ended because nothing can be heard here."""
        ...

    def stop(self) -> None:
        """Silence, at once."""
        ...


class Player(Protocol):
    """What the machine plays files with."""

    def play(self, file: Path) -> Playing | None:
        """Begin; None where it cannot."""
        ...


@dataclass(eq=False, slots=True)
class _Said:
    sentences: Sequence[str]
    pace: float
    is_alarm: bool
    not_before: float
    """Monotonic seconds: the alarm's own sound goes first."""


class Speaker:
    """Says cards, alarms and answers through the machine's sound."""

    def __init__(self, voice: Voice, player: Player) -> None:
        self._voice, self._player = voice, player
        self._turn = threading.Condition()
        self._waiting: list[_Said] = []
        self._now: _Said | None = None
        self._ahead: Iterator[str] | None = None
        self._trouble = ""
        self._is_stopped = self._has_told = False
        for work in (self._talk, self._prepare):
            threading.Thread(target=work, daemon=True, name="speech").start()

    @property
    def is_talking(self) -> bool:
        """Whether something is said or waits to be."""
        with self._turn:
            return self._now is not None or bool(self._waiting)

    def say(self, sentences: Sequence[str], pace: float = NORMAL) -> None:
        """A card, or an answer about it: what was said before and is no alarm is out of date."""
        self._put(_Said(sentences, pace, False, 0.0))

    def say_alarm(self, sentences: Sequence[str], after_s: float = 0.0) -> None:
        """An alarm: now, or in ``after_s`` where its own sound goes first."""
        self._put(_Said(sentences, NORMAL, True, time.monotonic() + after_s))

    def hush(self) -> None:
        """Silence, and nothing more of what was to be said."""
        with self._turn:
            self._waiting, self._now = [], None
            self._turn.notify_all()

    def prepare(self, sentences: Iterable[str]) -> None:
        """Make these sentences beside the work, in place of what was to be prepared before.

        They are asked for one by one in a thread of this room.
        """
        with self._turn:
            self._ahead = iter(sentences)
            self._turn.notify_all()

    def take_trouble(self) -> str:
        """Why nothing is heard, once; empty where all is well or it was told."""
        with self._turn:
            if not self._trouble or self._has_told:
                return ""
            self._has_told = True
            return self._trouble

    def stop(self) -> None:
        """Silence for good; nothing is left running."""
        with self._turn:
            self._is_stopped = True
            self._waiting, self._ahead, self._now = [], None, None
            self._turn.notify_all()
        self._voice.stop()

    def _put(self, said: _Said) -> None:
        with self._turn:
            if self._is_stopped:
                return
            if not said.is_alarm:
                self._waiting = [other for other in self._waiting if other.is_alarm]
            self._waiting.append(said)
            if self._now is not None and not self._now.is_alarm:
                self._now = None  # whoever plays it stops
            self._turn.notify_all()

    def _talk(self) -> None:
        while (said := self._next()) is not None:
            for sentence in said.sentences:
                if not self._is_current(said):
                    break
                file = self._voice.clip(sentence, said.pace)
                if file is None:
                    self._note(say(NO_ENGINE))
                    break
                if self._is_current(said) and not self._play(file, said):
                    self._note(say(NO_SOUND))
                    break
            with self._turn:
                if self._now is said:
                    self._now = None

    def _next(self) -> _Said | None:
        """The next to be said, an alarm first; None once all is over."""
        with self._turn:
            while not self._is_stopped:
                alarms = [said for said in self._waiting if said.is_alarm]
                said = next(iter(alarms or self._waiting), None)
                wait_s = None if said is None else said.not_before - time.monotonic()
                if said is not None and wait_s is not None and wait_s <= 0:
                    self._waiting.remove(said)
                    self._now = said
                    return said
                self._turn.wait(wait_s)
        return None

    def _is_current(self, said: _Said) -> bool:
        with self._turn:
            return self._now is said

    def _play(self, file: Path, said: _Said) -> bool:
        """Play to the end, or until it is out of date; False where it cannot be heard."""
        playing = self._player.play(file)
        if playing is None:
            return False
        while not playing.has_ended():
            with self._turn:
                if self._now is said:
                    self._turn.wait(LOOK_S)
                if self._now is not said:
                    break
        has_failed = playing.has_failed()
        playing.stop()
        return not has_failed

    def _note(self, trouble: str) -> None:
        with self._turn:
            self._trouble = trouble

    def _prepare(self) -> None:
        while (ahead := self._next_ahead()) is not None:
            for sentence in ahead:
                if self._voice.clip(sentence) is None:
                    self._note(say(NO_ENGINE))
                    return
                with self._turn:
                    if self._ahead is not ahead:
                        break
                time.sleep(REST_S)
            else:
                with self._turn:
                    self._ahead = None if self._ahead is ahead else self._ahead

    def _next_ahead(self) -> Iterator[str] | None:
        """What is to be prepared; None once all is over."""
        with self._turn:
            while self._ahead is None and not self._is_stopped:
                self._turn.wait()
            return self._ahead
