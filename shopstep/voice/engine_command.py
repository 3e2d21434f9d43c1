"""The engine that is a program of the system: espeak-ng, one short run for each sentence."""

from __future__ import annotations

import subprocess
from pathlib import Path

from shopstep.voice.engine import EngineFailed
from shopstep.voice.speak_wav import BadWav, tidy_wav

WORDS_A_MINUTE = 165
LONGEST_S = 10.0


class CommandEngine:
    """espeak-ng; 22 050 Hz."""

    def __init__(self, program: str) -> None:
        self._program = program

    @property
    def name(self) -> str:
        """The program's own name."""
        return Path(self._program).name

    def render(self, sentence: str, pace: float) -> bytes:
        """The sentence as WAV; the text goes in by standard input and is never an option."""
        command = [self._program, "-v", "en-us", "-s", str(round(WORDS_A_MINUTE * pace)),
                   "--stdin", "--stdout"]  # fmt: skip
        try:
            done = subprocess.run(
                command, input=sentence.encode(), capture_output=True, timeout=LONGEST_S, check=True
            )
            return tidy_wav(done.stdout)
        except (OSError, subprocess.SubprocessError, BadWav) as problem:
            raise EngineFailed(str(problem)) from None

    def stop(self) -> None:
        """Nothing is held between two sentences."""
