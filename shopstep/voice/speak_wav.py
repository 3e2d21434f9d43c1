"""WAV bytes: 16 bit, mono. Made, put right, joined; the standard library only."""

from __future__ import annotations

import io
import wave
from collections.abc import Sequence

PAUSE_S = 0.18
"""Between two sentences."""


class BadWav(Exception):
    """That is no speech as an engine gives it."""


def make_wav(frames: bytes, rate: int) -> bytes:
    """A whole file of samples (16 bit, mono) at ``rate`` a second."""
    kept = io.BytesIO()
    with wave.open(kept, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(rate)
        file.writeframes(frames)
    return kept.getvalue()


def read_wav(wav: bytes) -> tuple[bytes, int]:
    """The samples and their rate. BadWav for anything but 16 bit mono with sound in it."""
    try:
        with wave.open(io.BytesIO(wav), "rb") as file:
            shape = (file.getnchannels(), file.getsampwidth())
            frames, rate = file.readframes(len(wav)), file.getframerate()
    except (wave.Error, EOFError) as problem:
        raise BadWav(f"no WAV: {problem}") from None
    if shape != (1, 2) or not frames:
        raise BadWav("no samples of 16 bit, mono")
    return frames[: len(frames) // 2 * 2], rate


def tidy_wav(wav: bytes) -> bytes:
    """The same with a head that says its true length; engines that write to a pipe do not."""
    return make_wav(*read_wav(wav))


def join_wavs(wavs: Sequence[bytes], most_bytes: int) -> bytes:
    """Sentences as one file with a short pause after each; what passes the bound is left out.

    Those of another rate than the first are left out too: two engines do not share a file.
    """
    joined, rate = b"", 0
    for wav in wavs:
        frames, at = read_wav(wav)
        rate = rate or at
        if at != rate:
            continue
        frames += b"\0\0" * round(at * PAUSE_S)
        if joined and len(joined) + len(frames) > most_bytes:
            break
        joined += frames[: most_bytes // 2 * 2]
    return make_wav(joined, rate) if joined else b""


def seconds_of(wav: bytes) -> float:
    """How long it sounds."""
    frames, rate = read_wav(wav)
    return len(frames) / 2 / rate
