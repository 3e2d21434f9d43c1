"""Text to speech: from the cache where it was said before, else from the first engine that can.

16 bit, mono; 24 000 samples a second from the extra's engine, 22 050 from espeak-ng.
"""

from __future__ import annotations

import re
import threading
from collections.abc import Sequence
from pathlib import Path

from shopstep.present.spoken_text import say_words
from shopstep.voice.engine import NORMAL, Engine, EngineFailed
from shopstep.voice.speak_cache import SpeechCache
from shopstep.voice.speak_wav import join_wavs

MOST_BYTES = 4_000_000
"""Longest speech in one piece: some 80 seconds."""
_STOPS = re.compile(r"(?<=[.!?])\s+")


class Voice:
    """The engines of a machine and what they have said; may be asked from any thread."""

    def __init__(self, engines: Sequence[Engine], cache: SpeechCache) -> None:
        self._engines = list(engines)
        self._cache = cache
        self._lock = threading.Lock()

    def clip(self, sentence: str, pace: float = NORMAL) -> Path | None:
        """The file of one sentence, made now where it is not kept; None where nothing can speak.

        An engine that fails is not asked again in this run.
        """
        for engine in list(self._engines):
            found = self._cache.find(engine.name, pace, sentence)
            if found is not None:
                return found
            try:
                wav = engine.render(sentence, pace)
            except EngineFailed:
                self._drop(engine)
                continue
            with self._lock:
                return self._cache.keep(engine.name, pace, sentence, wav)
        return None

    def speak(self, sentences: Sequence[str], pace: float = NORMAL) -> bytes:
        """Sentences as one WAV of at most MOST_BYTES, cut after a whole one; empty where none."""
        files = [self.clip(sentence, pace) for sentence in sentences]
        return join_wavs([file.read_bytes() for file in files if file], MOST_BYTES)

    def stop(self) -> None:
        """Let go of the engines' processes, and of what the cache has too much of."""
        for engine in self._engines:
            engine.stop()
        self._cache.close()

    def _drop(self, engine: Engine) -> None:
        engine.stop()
        with self._lock:
            if engine in self._engines:
                self._engines.remove(engine)


def sentences_of(text: str) -> tuple[str, ...]:
    """Any text as sentences in words; empty where it has no word in it."""
    said = _STOPS.split(say_words(text))
    return tuple(sentence for sentence in said if any(sign.isalpha() for sign in sentence))
