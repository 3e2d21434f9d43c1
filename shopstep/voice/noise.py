"""Noise taken out of an utterance, by what was heard just before it.

A Wiener filter with a floor, its estimate carried from frame to frame (Ephraim and Malah 1984, the
decision-directed way). Imports numpy and ``hear_audio``.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from shopstep.voice.hear_audio import Frames, Samples

FRAME, HOP = 512, 128
_CARRY = 0.9
_TAPER = np.sqrt(np.hanning(FRAME + 1)[:FRAME])
Spectra = NDArray[np.complex128]
LEAST_GAIN = 0.2
"""What stays of a band that is all noise; less sounds cleaner and is recognised worse."""
_MEAN_OF_MEDIAN = 1.44
"""The mean power of steady noise over its median (an exponential distribution); of a bang among the
frames the median takes no notice."""
_FEWEST = 8
"""Frames that the noise is taken from at least."""


def without_noise(samples: Samples, lead: int) -> Samples:
    """The samples with steady noise weakened; the first ``lead`` of them are noise alone."""
    spectra = spectra_of(samples)
    power = np.abs(spectra) ** 2
    first = FRAME // HOP
    before = power[first : first + max(lead // HOP, _FEWEST)]
    noise = np.median(before, axis=0) * _MEAN_OF_MEDIAN + 1e-6
    return overlap(spectra * _gains(power / noise), len(samples))


def spectra_of(samples: Samples) -> Spectra:
    """A row of 32 ms every 8 ms, the first of them before the first sample."""
    padded = np.concatenate([np.zeros(FRAME), samples.astype(np.float64), np.zeros(FRAME)])
    frames = np.lib.stride_tricks.sliding_window_view(padded, FRAME)[::HOP]
    return np.asarray(np.fft.rfft(frames * _TAPER, axis=1))


def _gains(ratio: Frames) -> Frames:
    """Gain of each frame and bin from its power over the noise's."""
    gains = np.empty_like(ratio)
    before = np.zeros(ratio.shape[1])
    for number, row in enumerate(ratio):
        clean = _CARRY * before + (1 - _CARRY) * np.maximum(row - 1, 0)
        gains[number] = np.maximum(clean / (1 + clean), LEAST_GAIN)
        before = gains[number] ** 2 * row
    return gains


def overlap(spectra: Spectra, length: int) -> Samples:
    """So many samples out of the rows of ``spectra_of``."""
    frames = np.fft.irfft(spectra, axis=1) * _TAPER
    count = len(frames)
    whole = np.zeros(count * HOP + FRAME)
    for part in range(FRAME // HOP):
        at = part * HOP
        whole[at : at + count * HOP] += frames[:, at : at + HOP].reshape(-1)
    cut = whole[FRAME : FRAME + length] / 2
    return np.clip(np.rint(cut), -32767, 32767).astype(np.int16)
