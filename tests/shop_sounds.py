"""Sounds for the tests of hearing: phrases in synthetic voices, and the noises of a shop.

espeak-ng speaks; vacuum, saw and bangs are made here, from a seed. No recording of anybody.
"""

from __future__ import annotations

import ctypes
from collections.abc import Callable
from functools import cache, lru_cache
from typing import Any

import espeakng_loader
import numpy as np
from numpy.typing import NDArray

from shopstep.voice.hear_audio import RATE, Samples

Sound = NDArray[np.float64]
LOUD = 0.08
"""Root mean square of speech, of full scale: -22 dB."""
ROOM = 0.0006
"""The same of a quiet room: -64 dB."""


_RATE, _PITCH = 1, 3
"""Numbers of the engine's settings."""
_SYNCHRONOUS, _UTF8 = 2, 1
_TAKE = ctypes.CFUNCTYPE(
    ctypes.c_int, ctypes.POINTER(ctypes.c_short), ctypes.c_int, ctypes.c_void_p
)


class _Engine:
    """espeak-ng as a library, from its package: no program has to be installed."""

    def __init__(self) -> None:
        self._lib: Any = ctypes.CDLL(espeakng_loader.get_library_path())
        data = str(espeakng_loader.get_data_path()).encode()
        self.rate: int = self._lib.espeak_Initialize(_SYNCHRONOUS, 0, data, 0)
        self._parts: list[NDArray[np.int16]] = []
        self._take = _TAKE(self._keep)
        self._lib.espeak_SetSynthCallback(self._take)

    def _keep(self, wave: Any, count: int, _events: Any) -> int:
        if count > 0:
            self._parts.append(np.ctypeslib.as_array(wave, (count,)).copy())
        return 0

    def say(self, text: str, voice: str, speed: int, pitch: int) -> Sound:
        """One sentence, -1 to 1."""
        self._parts.clear()
        assert self._lib.espeak_SetVoiceByName(voice.encode()) == 0, voice
        self._lib.espeak_SetParameter(_RATE, speed, 0)
        self._lib.espeak_SetParameter(_PITCH, pitch, 0)
        said = text.encode() + b"\0"
        self._lib.espeak_Synth(said, len(said), 0, 1, 0, _UTF8, None, None)
        return np.concatenate(self._parts).astype(np.float64) / 32768


@cache
def _engine() -> _Engine:
    return _Engine()


@lru_cache(maxsize=4000)
def speak(text: str, voice: str, speed: int = 165, pitch: int = 50) -> Sound:
    """A sentence by espeak-ng at LOUD, 16 kHz, without the silence around it. The voice is a
    language and a variant: ``en-us+m3``; ``en+f4`` is British."""
    engine = _engine()
    return at_level(trim(resample(engine.say(text, voice, speed, pitch), engine.rate)))


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
