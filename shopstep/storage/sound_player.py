"""Plays one WAV file through whatever player the machine has, and can be stopped.

Nothing here raises: what cannot be played is told by a False or a None.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import time
import wave
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from typing import Protocol

from shopstep.storage.sound import PLAYERS


class Playing(Protocol):
    """One file that sounds."""

    def has_ended(self) -> bool:
        """Whether it is over."""
        ...

    def has_failed(self) -> bool:
        """Whether it ended because nothing can be heard here: no sound card, no server."""
        ...

    def stop(self) -> None:
        """Silence, at once."""
        ...


class WavPlayer:
    """The machine's player."""

    def __init__(
        self, find: Callable[[str], str | None] = shutil.which, platform: str = sys.platform
    ) -> None:
        self._find = find
        self._platform = platform

    def play(self, file: Path) -> Playing | None:
        """Begin; None where there is no player, or it cannot be started."""
        if self._platform == "win32":
            return _OnWindows.begin(file)
        for player in PLAYERS:
            program = self._find(player[0])
            if program:
                return _Program.begin([program, *player[1:], str(file)])
        return None


class _Program:
    def __init__(self, child: subprocess.Popen[bytes]) -> None:
        self._child = child

    @classmethod
    def begin(cls, command: list[str]) -> _Program | None:
        quiet = subprocess.DEVNULL
        try:
            return cls(
                subprocess.Popen(
                    command, stdin=quiet, stdout=quiet, stderr=quiet, start_new_session=True
                )
            )
        except OSError:
            return None

    def has_ended(self) -> bool:
        return self._child.poll() is not None

    def has_failed(self) -> bool:
        return self._child.poll() not in (None, 0)

    def stop(self) -> None:
        if self._child.poll() is None:
            self._child.kill()
        self._child.wait()


class _OnWindows:
    def __init__(self, until: float) -> None:
        self._until = until

    @classmethod
    def begin(cls, file: Path) -> _OnWindows | None:
        winsound = import_module("winsound")  # part of Python there, and nowhere else
        try:
            with wave.open(str(file), "rb") as wav:
                seconds = wav.getnframes() / wav.getframerate()
            winsound.PlaySound(str(file), winsound.SND_FILENAME | winsound.SND_ASYNC)
        except (RuntimeError, OSError, wave.Error):
            return None
        return cls(time.monotonic() + seconds)

    def has_ended(self) -> bool:
        return time.monotonic() >= self._until

    def has_failed(self) -> bool:
        return False

    def stop(self) -> None:
        winsound = import_module("winsound")
        winsound.PlaySound(None, 0)
        self._until = 0.0
