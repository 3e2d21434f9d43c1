"""The engine of the extra ``voice``, behind a process of its own.

So the bench never loads its net (190 to 250 MB), nothing stutters while it loads, and what fails
in it fails alone. The process goes by itself when nobody asks for a while, or when its input ends.
"""

from __future__ import annotations

import json
import subprocess
import threading
from collections.abc import Sequence
from contextlib import suppress
from importlib.metadata import PackageNotFoundError, version
from typing import IO

from shopstep.voice.engine import EngineFailed
from shopstep.words import say

LONGEST_S = 15.0
"""A sentence that takes longer than this is given up, and the process with it."""
IDLE_S = 30.0
"""After so long without a sentence the process is let go."""


class ChildEngine:
    """Asks the child one sentence after the other; 24 000 Hz."""

    def __init__(self, command: Sequence[str], idle_s: float = IDLE_S) -> None:
        self._command = command
        self._idle_s = idle_s
        self._lock = threading.Lock()
        self._child: subprocess.Popen[bytes] | None = None
        self._goes: threading.Timer | None = None

    @property
    def name(self) -> str:
        """The package and its version."""
        try:
            return f"hibari-tts-{version('hibari-tts')}"
        except PackageNotFoundError:
            return "hibari-tts"

    def render(self, sentence: str, pace: float) -> bytes:
        """The sentence as WAV."""
        with self._lock:
            child = self._begin()
            watch = threading.Timer(LONGEST_S, child.kill)
            watch.daemon = True
            watch.start()
            try:
                return _ask(child, {"text": sentence, "pace": pace})
            except (OSError, ValueError, EngineFailed) as problem:
                self._end()
                raise EngineFailed(str(problem)) from None
            finally:
                watch.cancel()
                self._go_later()

    @property
    def is_running(self) -> bool:
        """Whether the process is there now."""
        return self._child is not None and self._child.poll() is None

    def stop(self) -> None:
        """End the process; the next sentence begins another."""
        with self._lock:
            self._end()

    def _begin(self) -> subprocess.Popen[bytes]:
        if self._goes is not None:
            self._goes.cancel()
        if self._child is None or self._child.poll() is not None:
            self._end()
            try:
                self._child = subprocess.Popen(
                    self._command, stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                    stderr=subprocess.DEVNULL, start_new_session=True,
                )  # fmt: skip
            except OSError as problem:
                raise EngineFailed(str(problem)) from None
        return self._child

    def _go_later(self) -> None:
        self._goes = threading.Timer(self._idle_s, self.stop)
        self._goes.daemon = True
        self._goes.start()

    def _end(self) -> None:
        if self._goes is not None:
            self._goes.cancel()
        child, self._child = self._child, None
        if child is None:
            return
        child.kill()
        child.wait()
        for stream in (child.stdin, child.stdout):
            if stream is not None:
                _close(stream)


def _ask(child: subprocess.Popen[bytes], asked: dict[str, object]) -> bytes:
    assert child.stdin is not None
    assert child.stdout is not None
    child.stdin.write(json.dumps(asked).encode() + b"\n")
    child.stdin.flush()
    head = child.stdout.readline()
    if not head:
        raise EngineFailed(say("the voice's process ended"))
    length = int(head)
    wav = child.stdout.read(length)
    if length == 0 or len(wav) < length:
        raise EngineFailed(say("the voice's process gave no speech"))
    return wav


def _close(stream: IO[bytes]) -> None:
    with suppress(OSError):  # what was not written yet has nobody to read it
        stream.close()
