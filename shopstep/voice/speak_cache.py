"""Sentences that were made into speech once, as files: the next time they sound at once.

A folder that cannot be written is no error: then a folder of this run alone takes its place.
"""

from __future__ import annotations

import os
import tempfile
from hashlib import sha256
from pathlib import Path

MOST_BYTES = 150_000_000
"""About 50 minutes of speech, two plans; beyond it what was not used for longest goes."""


class SpeechCache:
    """WAV files by engine, pace and sentence."""

    def __init__(self, folder: Path, most_bytes: int = MOST_BYTES) -> None:
        self._folder = folder
        self._most = most_bytes
        self._own: tempfile.TemporaryDirectory[str] | None = None

    def find(self, engine: str, pace: float, sentence: str) -> Path | None:
        """The file of a sentence; None where it was not made yet."""
        file = self._file(engine, pace, sentence)
        try:
            os.utime(file)
        except OSError:
            return file if file.is_file() else None
        return file

    def keep(self, engine: str, pace: float, sentence: str, wav: bytes) -> Path:
        """Keep what was made, whole or not at all; where it lies now."""
        try:
            return self._write(self._file(engine, pace, sentence), wav)
        except OSError:
            self._own = self._own or tempfile.TemporaryDirectory(prefix="shopstep-speech-")
            self._folder = Path(self._own.name)
            return self._write(self._file(engine, pace, sentence), wav)

    def trim(self) -> None:
        """Let go of the oldest until the rest fits."""
        try:
            files = [(f.stat().st_mtime, f.stat().st_size, f) for f in self._folder.glob("*.wav")]
            total = sum(size for _, size, _ in files)
            for _, size, file in sorted(files):
                if total <= self._most:
                    break
                file.unlink(missing_ok=True)
                total -= size
        except OSError:
            pass  # another bench is at it, or the folder is closed

    def close(self) -> None:
        """Bring the folder to its size; what was of this run alone goes."""
        self.trim()
        if self._own is not None:
            self._own.cleanup()
            self._own = None

    def _file(self, engine: str, pace: float, sentence: str) -> Path:
        key = sha256(f"{engine}\n{pace}\n{sentence}".encode()).hexdigest()[:32]
        return self._folder / f"{key}.wav"

    def _write(self, file: Path, wav: bytes) -> Path:
        self._folder.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=self._folder, suffix=".part", delete=False) as part:
            part.write(wav)
        os.replace(part.name, file)
        return file
