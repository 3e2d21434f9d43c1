"""What the personal model sees of an utterance: how far each band stands above the noise, every
20 ms; and how more takes are made of one. Imports numpy and ``hear_audio``.

All is done on band powers: noise adds to them, tempo stretches them, so that a take is varied
without making sound anew.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from shopstep.voice.hear_audio import RATE, Samples

BANDS = 26
FRAMES = 150
"""Longest utterance that is looked at: 3 s."""
_HOP, _WINDOW, _FFT = RATE // 50, RATE // 25, 1024
_LOW, _HIGH = 120.0, 7000.0
Powers = NDArray[np.float32]
"""Frames by bands, linear."""


def _mel(hertz: float) -> float:
    return 2595 * float(np.log10(1 + hertz / 700))


def _matrix() -> NDArray[np.float32]:
    edges = 700 * (10 ** (np.linspace(_mel(_LOW), _mel(_HIGH), BANDS + 2) / 2595) - 1)
    bins = np.arange(_FFT // 2 + 1) * RATE / _FFT
    rows = [
        np.maximum(0, np.minimum((bins - a) / (b - a), (c - bins) / (c - b)))
        for a, b, c in zip(edges, edges[1:], edges[2:], strict=False)
    ]
    return np.array(rows, np.float32)


_MATRIX = _matrix()
_TAPER = np.hanning(_WINDOW).astype(np.float32)


def powers_of(samples: Samples) -> Powers:
    """Band powers of a sound; at least one frame."""
    sound = samples.astype(np.float32) / 32768
    if len(sound) < _WINDOW:
        sound = np.concatenate([sound, np.zeros(_WINDOW - len(sound), np.float32)])
    frames = np.lib.stride_tricks.sliding_window_view(sound, _WINDOW)[::_HOP]
    spectrum = np.abs(np.fft.rfft(frames * _TAPER, _FFT, axis=1)) ** 2
    return np.asarray(spectrum @ _MATRIX.T + 1e-9, np.float32)


def lead_frames(lead: int) -> int:
    """Frames that lie in the first ``lead`` samples; at least 3."""
    return max(3, (lead - _WINDOW) // _HOP)


def noise_of(lead: Powers) -> Powers:
    """The noise in each band from frames before the speech; a bang among them does not count."""
    return np.asarray(np.quantile(lead, 0.45, axis=0), np.float32)


def add_bang(powers: Powers, dice: np.random.Generator) -> None:
    """One to three bursts that fall off, in place: something is hit or dropped."""
    for _ in range(int(dice.integers(1, 4))):
        begin = int(dice.integers(0, len(powers)))
        size = int(dice.integers(2, 8))
        part = powers[begin : begin + size]
        colour = np.exp(dice.uniform(-1.5, 1.5) * np.linspace(-1, 1, BANDS))
        fall = np.exp(-np.arange(len(part)) * dice.uniform(0.4, 1.5))[:, None]
        loud = float(powers.max()) * 10 ** dice.uniform(-1.5, 0.5)
        part += (loud * fall * colour * dice.exponential(1.0, part.shape)).astype(np.float32)


def features_of(powers: Powers, noise: Powers) -> NDArray[np.float32]:
    """FRAMES by BANDS for the net: log power above the noise (see noise_of), none below,
    and relative to the loudest; zero after the end."""
    above = np.log(powers / noise)
    strong = np.maximum(above, 0.0)
    scale = max(float(np.quantile(strong, 0.97)), 1.0)
    seen = np.zeros((FRAMES, BANDS), np.float32)
    kept = strong[:FRAMES] / scale
    seen[: len(kept)] = kept
    return seen


def vary(clean: Powers, noise: Powers, snr_db: float, dice: np.random.Generator) -> Powers:
    """Another take of an utterance, in the given noise: tempo, voice and tilt a little different.

    ``noise`` is any stretch of the person's own; it is taken round where it is too short.
    """
    stretched = _warp_time(clean, dice.uniform(0.82, 1.22))
    shifted = _warp_bands(stretched, dice.uniform(-0.9, 0.9))
    tilt = np.exp(np.linspace(-1, 1, BANDS) * dice.uniform(-0.7, 0.7)).astype(np.float32)
    speech = shifted * tilt
    begin = int(dice.integers(0, len(noise)))
    under = noise[(begin + np.arange(len(speech))) % len(noise)]
    gain = float(speech.sum() / (under.sum() + 1e-9)) * 10 ** (-snr_db / 10)
    cross = 2 * np.sqrt(speech * under * gain) * np.cos(dice.uniform(0, np.pi, speech.shape))
    return np.asarray(np.maximum(speech + under * gain + cross * 0.7, 1e-9), np.float32)


def _warp_time(powers: Powers, rate: float) -> Powers:
    length = max(4, round(len(powers) * rate))
    at = np.linspace(0, len(powers) - 1, length)
    low = at.astype(int)
    high = np.minimum(low + 1, len(powers) - 1)
    part = (at - low)[:, None].astype(np.float32)
    return np.asarray(powers[low] * (1 - part) + powers[high] * part, np.float32)


def _warp_bands(powers: Powers, shift: float) -> Powers:
    at = np.clip(np.arange(BANDS) + shift, 0, BANDS - 1)
    low = at.astype(int)
    high = np.minimum(low + 1, BANDS - 1)
    part = (at - low).astype(np.float32)
    return np.asarray(powers[:, low] * (1 - part) + powers[:, high] * part, np.float32)
