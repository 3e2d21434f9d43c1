"""The machine's microphone as a stream of samples. sounddevice is imported when it is opened.

A machine without one gives one sentence and no traceback; all else works on.
"""

from __future__ import annotations

import queue
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import numpy as np

from shopstep.voice.hear_audio import RATE, Samples
from shopstep.words import say, to_say

BLOCK = RATE // 10
NONE_THERE = to_say("There is no microphone on this machine; everything else works without it")
NO_LIBRARY = to_say("The sound library PortAudio is missing; install it (Debian: libportaudio2).")
_MOST_WAITING = 600
"""Blocks that may wait: a minute; older ones are dropped, not acted on late."""


class NoMicrophone(Exception):
    """Nothing can be recorded, in one sentence."""


class Microphone:
    """Samples as they come, in blocks of a tenth of a second."""

    def __init__(self, blocks: queue.Queue[Samples]) -> None:
        self._blocks = blocks

    def read(self, timeout_s: float = 1.0) -> Samples | None:
        """The next block; None where none came in time."""
        try:
            return self._blocks.get(timeout=timeout_s)
        except queue.Empty:
            return None

    def record(self, seconds: float) -> Samples:
        """All that is heard from now on for so long; what waited is thrown away."""
        while not self._blocks.empty():
            self._blocks.get_nowait()
        blocks = list(self.blocks(seconds))
        return np.concatenate(blocks) if blocks else np.zeros(0, np.int16)

    def blocks(self, seconds: float) -> Iterator[Samples]:
        """Blocks for so long; fewer where the device falls silent."""
        for _ in range(max(1, round(seconds * RATE / BLOCK))):
            block = self.read()
            if block is None:
                return
            yield block


@contextmanager
def open_microphone() -> Iterator[Microphone]:
    """The default microphone, open inside. NoMicrophone where there is none."""
    try:
        import sounddevice
    except ImportError:
        raise NoMicrophone(f"{say(NONE_THERE)}.") from None
    except OSError:
        raise NoMicrophone(say(NO_LIBRARY)) from None
    blocks: queue.Queue[Samples] = queue.Queue(_MOST_WAITING)

    def take(data: Any, _frames: int, _time: Any, _status: Any) -> None:
        if blocks.full():
            blocks.get_nowait()
        blocks.put_nowait(np.frombuffer(bytes(data), np.int16).copy())

    try:
        stream = sounddevice.RawInputStream(
            samplerate=RATE, blocksize=BLOCK, channels=1, dtype="int16", callback=take
        )
        stream.start()
    except (sounddevice.PortAudioError, ValueError, OSError) as problem:
        raise NoMicrophone(f"{say(NONE_THERE)} ({_short(problem)}).") from None
    try:
        yield Microphone(blocks)
    finally:
        stream.stop()
        stream.close()


def _short(problem: Exception) -> str:
    return str(problem).splitlines()[0].partition("[")[0].strip() or say("it cannot be opened")
