"""The real process that listens, at a microphone that plays what lies in a folder.

    python -m tests.ear_from_wavs FOLDER

A quiet shop is heard, and each file ``said.wav`` that is put there once, four times as fast as in a
shop; then it is taken away.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np

from shopstep.voice.hear_audio import RATE, Samples, read_wav
from shopstep.wiring.hearing_child import main
from tests.shop_sounds import ROOM, as_samples, hiss

FILE = "said.wav"
_BLOCK = RATE // 10
_PAUSE_S = 0.025


class FolderMicrophone:
    """Blocks of a tenth of a second."""

    def __init__(self, folder: Path) -> None:
        self._file = folder / FILE
        self._dice = np.random.default_rng(3)
        self._said = np.zeros(0, np.int16)

    def read(self, timeout_s: float = 1.0) -> Samples:
        """The next block: of the file, or of the room."""
        del timeout_s
        time.sleep(_PAUSE_S)
        if not len(self._said) and self._file.exists():
            self._said = read_wav(self._file)
            self._file.unlink()
        block, self._said = self._said[:_BLOCK], self._said[_BLOCK:]
        rest = _BLOCK - len(block)
        room = as_samples(ROOM * hiss(_BLOCK, self._dice, -0.3))[:rest]
        return np.concatenate([block, room])


@contextmanager
def open_folder() -> Iterator[FolderMicrophone]:
    """The microphone of the folder that was named."""
    yield FolderMicrophone(Path(sys.argv[1]))


if __name__ == "__main__":
    main(open_folder)
