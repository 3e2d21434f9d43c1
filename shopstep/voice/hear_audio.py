"""Audio as the ear takes it: 16 kHz, mono, 16 bit; from a WAV file or in pieces.

numpy is loaded here: this room is imported only where somebody listens.
"""

from __future__ import annotations

import wave
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from shopstep.words import say

RATE = 16_000
"""Samples a second."""
LONGEST_S = 3600
Samples = NDArray[np.int16]
Frames = NDArray[np.float64]
"""Rows of spectra or powers."""


class AudioError(Exception):
    """Audio that cannot be heard, in one sentence."""


def read_wav(path: Path) -> Samples:
    """The samples of a WAV file. AudioError where it is none, or another kind than is heard."""
    if path.is_dir():
        raise AudioError(
            say("{path} is a folder; name one WAV file of 16 kHz, mono, 16 bit.", path=path)
        )
    try:
        with path.open("rb") as file, wave.open(file) as wav:
            _check_kind(path, wav)
            promised = wav.getnframes()
            data = wav.readframes(min(promised, LONGEST_S * RATE))
    except FileNotFoundError:
        raise AudioError(
            say("{path} is not there; name a WAV file of 16 kHz, mono.", path=path)
        ) from None
    except OSError as problem:
        raise AudioError(
            say(
                "{path} cannot be read: {strerror}.",
                path=path,
                strerror=problem.strerror or problem,
            )
        ) from None
    except (wave.Error, EOFError, ValueError):
        raise AudioError(
            say("{path} is no WAV file that can be read; record 16 kHz, mono, 16 bit.", path=path)
        ) from None
    if promised == 0:
        raise AudioError(say("{path} holds no sound.", path=path))
    if len(data) < 2 * min(promised, LONGEST_S * RATE):
        raise AudioError(
            say(
                "{path} ends too early: {data} of {promised} samples are there; copy it again.",
                path=path,
                data=len(data) // 2,
                promised=promised,
            )
        )
    return np.frombuffer(data, "<i2").astype(np.int16)


def _check_kind(path: Path, wav: wave.Wave_read) -> None:
    if wav.getnchannels() != 1:
        raise AudioError(
            say(
                "{path} has {getnchannels} channels; record one (mono).",
                path=path,
                getnchannels=wav.getnchannels(),
            )
        )
    if wav.getsampwidth() != 2:
        raise AudioError(
            say(
                "{path} has {getsampwidth} bit; record 16 bit.",
                path=path,
                getsampwidth=8 * wav.getsampwidth(),
            )
        )
    if wav.getframerate() != RATE:
        raise AudioError(
            say(
                "{path} has {getframerate} samples a second; record {rate} (16 kHz).",
                path=path,
                getframerate=wav.getframerate(),
                rate=RATE,
            )
        )
    if wav.getnframes() > LONGEST_S * RATE:
        raise AudioError(say("{path} is longer than an hour; cut it into shorter ones.", path=path))


def write_wav(path: Path, samples: Samples) -> None:
    """One WAV file of 16 kHz, mono, 16 bit."""
    with wave.open(str(path), "wb") as wav:
        wav.setnchannels(1)
        wav.setsampwidth(2)
        wav.setframerate(RATE)
        wav.writeframes(samples.astype("<i2").tobytes())


def samples_of(data: bytes) -> Samples:
    """Samples of bytes, low byte first; half a sample at the end is left out."""
    return np.frombuffer(data[: len(data) // 2 * 2], "<i2").astype(np.int16)


def level_db(samples: Samples) -> float:
    """Loudness in dB below the loudest that the microphone can give; -96 for silence."""
    if not len(samples):
        return -96.0
    power = float(np.mean(samples.astype(np.float64) ** 2)) / 32768.0**2
    return max(-96.0, 10 * float(np.log10(power + 1e-12)))
