"""What makes speech of a sentence: engines behind one small door, and which there are here.

The first is the extra ``voice``, in a process of its own (``engine_process``); the second a program
of the system (``engine_command``). Neither asks a network for anything.
"""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable, Sequence
from importlib.util import find_spec
from typing import Protocol

from shopstep.words import to_say

NORMAL, SLOW = 0.9, 0.7
"""Paces, 1.0 as an engine speaks by itself: a shop is loud, so a little slower than that."""
NO_ENGINE = to_say(
    "Nothing can be spoken here: no voice is installed. "
    "Install shopstep with its extra 'voice', or the system's espeak-ng."
)


class EngineFailed(Exception):
    """An engine gave no speech; the next one is asked."""


class Engine(Protocol):
    """Makes speech of one sentence at a time."""

    @property
    def name(self) -> str:
        """Which engine, in which version: what it made is kept under that name."""
        ...

    def render(self, sentence: str, pace: float) -> bytes:
        """The sentence as WAV: 16 bit, mono, at the engine's own rate. EngineFailed where none."""
        ...

    def stop(self) -> None:
        """Let go of what it holds; it may be asked again."""
        ...


def find_engines(
    has: Callable[[str], bool] = lambda name: find_spec(name) is not None,
    find: Callable[[str], str | None] = shutil.which,
) -> Sequence[Engine]:
    """The engines of this machine, the better one first; empty where there is none."""
    from shopstep.voice.engine_command import CommandEngine
    from shopstep.voice.engine_process import ChildEngine

    found: list[Engine] = []
    if has("hibari") and has("onnxruntime"):
        found.append(ChildEngine([sys.executable, "-m", "shopstep.voice.engine_child"]))
    for program in ("espeak-ng", "espeak"):
        if path := find(program):
            found.append(CommandEngine(path))
            break
    return found
