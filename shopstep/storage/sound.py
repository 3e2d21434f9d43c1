"""The alarm that can be heard: our own WAV files through whatever player the machine has.

Nothing here waits for a sound, and nothing that goes wrong with one is an error: the screen shows
every alarm, and rings the terminal's bell where this says that it could not play.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
from collections.abc import Callable, Sequence
from importlib import import_module
from pathlib import Path

PLAYERS = (
    ("pw-play",), ("paplay",), ("aplay", "-q"), ("afplay",), ("play", "-q"),
    ("ffplay", "-nodisp", "-autoexit", "-loglevel", "quiet"),
)  # fmt: skip
"""Player programs with their options, the first that is found is taken."""
FILES = {"half": "half.wav", "due": "due.wav", "late": "late.wav"}
"""File of each alarm by its name."""


class SoundAlarm:
    """Plays one sound at a time; ``sound`` gives False where the machine cannot."""

    def __init__(
        self,
        folder: Path,
        find: Callable[[str], str | None] = shutil.which,
        start: Callable[[Sequence[str]], subprocess.Popen[bytes]] | None = None,
        platform: str = sys.platform,
    ) -> None:
        self._folder = folder
        self._find = find
        self._start = start or _start
        self._platform = platform
        self._playing: subprocess.Popen[bytes] | None = None

    def sound(self, name: str) -> bool:
        """Begin the alarm of that name, ``half``, ``due`` or ``late``; whether it began."""
        file = self._folder / FILES.get(name, FILES["due"])
        if not file.is_file():
            return False
        if self._platform == "win32":
            return _play_on_windows(file)
        for player in PLAYERS:
            program = self._find(player[0])
            if program:
                return self._play([program, *player[1:], str(file)])
        return False

    def _play(self, command: Sequence[str]) -> bool:
        before = self._playing
        if before is not None and before.poll() is None:
            return True  # still sounding
        if before is not None and before.returncode:
            self._playing = None
            return False  # it was tried and failed: no sound card, no server
        try:
            self._playing = self._start(command)
        except OSError:
            return False
        return True


def _start(command: Sequence[str]) -> subprocess.Popen[bytes]:
    quiet = subprocess.DEVNULL
    return subprocess.Popen(
        command, stdin=quiet, stdout=quiet, stderr=quiet, start_new_session=True
    )


def _play_on_windows(file: Path) -> bool:
    winsound = import_module("winsound")  # part of Python there, and nowhere else
    try:
        winsound.PlaySound(str(file), winsound.SND_FILENAME | winsound.SND_ASYNC)
    except RuntimeError:
        return False
    return True
