"""Sounds for the tests of hearing: phrases in synthetic voices, and the noises of a shop.

espeak-ng speaks; vacuum, saw and bangs are made here, from a seed. No recording of anybody.
"""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from functools import lru_cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from shopstep.voice.hear_audio import RATE, Samples

Sound = NDArray[np.float64]
LOUD = 0.08
"""Root mean square of speech, of full scale: -22 dB."""
ROOM = 0.0006
"""The same of a quiet room: -64 dB."""


@lru_cache(maxsize=4000)
def speak(text: str, voice: str, speed: int = 165, pitch: int = 50) -> Sound:
    """A sentence by espeak-ng at LOUD, 16 kHz, without the silence around it."""
    done = subprocess.run(
        ["espeak-ng", "-v", voice, "-s", str(speed), "-p", str(pitch), "--stdout", text],
        capture_output=True,
        check=True,
    )
    return at_level(trim(resample(*read_spoken(done.stdout))))


def read_spoken(data: bytes) -> tuple[Sound, int]:
    """Samples and rate of a WAV that was written to a pipe: its lengths are not filled in."""
    begin = data.index(b"data") + 8
    whole = begin + (len(data) - begin) // 2 * 2
    samples = np.frombuffer(data[begin:whole], "<i2").astype(np.float64) / 32768
    return samples, int.from_bytes(data[24:28], "little")


def resample(samples: Sound, rate: int) -> Sound:
    """To 16 kHz, by its spectrum."""
    if rate == RATE:
        return samples
    length = len(samples) * RATE // rate
    spectrum = np.fft.rfft(samples)
    kept = min(length // 2 + 1, len(spectrum))
    wanted = np.zeros(length // 2 + 1, complex)
    wanted[:kept] = spectrum[:kept]
    return np.asarray(np.fft.irfft(wanted, length) * (length / len(samples)))


def trim(samples: Sound) -> Sound:
    """Without the silence around it, but for 25 ms."""
    loud = np.flatnonzero(np.abs(samples) > 0.006)
    return samples[max(loud[0] - 400, 0) : loud[-1] + 400] if len(loud) else samples


def at_level(samples: Sound) -> Sound:
    """At the root mean square LOUD."""
    return _unit(samples) * LOUD


def _unit(samples: Sound) -> Sound:
    return np.asarray(samples / (np.sqrt(np.mean(samples**2)) + 1e-12))


def hiss(length: int, dice: np.random.Generator, slope: float) -> Sound:
    """Noise whose spectrum falls with frequency to the power ``slope``, below 60 Hz flat."""
    spectrum = np.fft.rfft(dice.standard_normal(length))
    hertz = np.maximum(np.fft.rfftfreq(length, 1 / RATE), 60.0)
    return _unit(np.fft.irfft(spectrum * hertz**slope, length))


def vacuum(length: int, dice: np.random.Generator) -> Sound:
    """Moving air, the motor's hum and its overtones, a whistle that wanders."""
    time = np.arange(length) / RATE
    motor = dice.uniform(190, 250)
    hum = sum(
        (np.sin(2 * np.pi * motor * k * time + dice.uniform(0, 6)) / k**1.2 for k in range(1, 12)),
        np.zeros(length),
    )
    whistle = np.sin(2 * np.pi * dice.uniform(1800, 3200) * time + 3 * np.sin(4.4 * time))
    return _unit(hiss(length, dice, -0.4) + 0.5 * hum + 0.15 * whistle)


def saw(length: int, dice: np.random.Generator) -> Sound:
    """A motor's whine of thirty overtones that swings a little, teeth, and air."""
    time = np.arange(length) / RATE
    swing = 1 + 0.01 * np.sin(2.5 * time + dice.uniform(0, 6))
    phase = 2 * np.pi * np.cumsum(dice.uniform(180, 260) * swing) / RATE
    whine = sum(
        (np.sin(k * phase + dice.uniform(0, 6)) / k**0.6 for k in range(1, 30)), np.zeros(length)
    )
    teeth = 0.5 * np.sin(2 * np.pi * dice.uniform(2200, 3800) * time)
    return _unit(_unit(whine) + 0.6 * hiss(length, dice, -0.1) + teeth)


def bangs(length: int, dice: np.random.Generator) -> Sound:
    """Hammer and falling boards: two or three bursts a second."""
    sound = np.zeros(length)
    for _ in range(max(1, dice.poisson(2.5 * length / RATE))):
        begin = int(dice.integers(0, length))
        size = min(int(RATE * dice.uniform(0.03, 0.12)), length - begin)
        time = np.arange(size) / RATE
        ring = 2 * np.sin(2 * np.pi * dice.uniform(150, 900) * time)
        fall = np.exp(-time * dice.uniform(30, 90)) * dice.uniform(0.5, 1.5)
        sound[begin : begin + size] += (dice.standard_normal(size) + ring) * fall
    return _unit(sound)


NOISES: dict[str, Callable[[int, np.random.Generator], Sound]] = {
    "vacuum": vacuum,
    "saw": saw,
    "bangs": bangs,
}


def in_shop(
    speech: Sound,
    noise: str,
    snr_db: float,
    dice: np.random.Generator,
    before_s: float = 0.8,
    after_s: float = 0.8,
) -> Samples:
    """Speech in the noise of a shop, ``snr_db`` below it over the length of the speech; ``noise``
    may be ``clean``. Never louder than full scale."""
    before = int(before_s * RATE)
    length = before + len(speech) + int(after_s * RATE)
    sound = hiss(length, dice, -0.3) * ROOM
    sound[before : before + len(speech)] += speech
    if noise != "clean":
        sound += NOISES[noise](length, dice) * LOUD * 10 ** (-snr_db / 20)
    return as_samples(sound)


def as_samples(sound: Sound) -> Samples:
    """16 bit, never louder than full scale."""
    most = float(np.abs(sound).max()) if len(sound) else 0.0
    scaled = sound * (0.95 / most) if most > 0.95 else sound
    return np.rint(scaled * 32767).astype(np.int16)


def noise_alone(noise: str, seconds: float, loud: float, dice: np.random.Generator) -> Samples:
    """A machine that runs and nobody who speaks."""
    return as_samples(NOISES[noise](int(seconds * RATE), dice) * loud)


def has_voices() -> bool:
    """Whether espeak-ng is installed."""
    return any(Path(folder, "espeak-ng").exists() for folder in ("/usr/bin", "/usr/local/bin"))
