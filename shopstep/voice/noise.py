"""Noise taken out of an utterance, by what was heard just before it.

A Wiener filter with a floor, its estimate carried from frame to frame (Ephraim and Malah 1984, the
decision-directed way). Imports numpy and ``hear_audio``.
"""

from __future__ import annotations

import numpy as np

from shopstep.voice.hear_audio import Frames, Samples

_FRAME, _HOP = 512, 128
_CARRY = 0.9
LEAST_GAIN = 0.2
"""What stays of a band that is all noise; less sounds cleaner and is recognised worse."""
_MEAN_OF_MEDIAN = 1.44
"""The mean power of steady noise over its median (an exponential distribution); of a bang among the
frames the median takes no notice."""
_FEWEST = 8
"""Frames that the noise is taken from at least."""


def without_noise(samples: Samples, lead: int) -> Samples:
    """The samples with steady noise weakened; the first ``lead`` of them are noise alone."""
    taper = np.sqrt(np.hanning(_FRAME + 1)[:_FRAME])
    padded = np.concatenate([np.zeros(_FRAME), samples.astype(np.float64), np.zeros(_FRAME)])
    frames = np.lib.stride_tricks.sliding_window_view(padded, _FRAME)[::_HOP]
    spectra = np.fft.rfft(frames * taper, axis=1)
    power = np.abs(spectra) ** 2
    first = _FRAME // _HOP
    before = power[first : first + max(lead // _HOP, _FEWEST)]
    noise = np.median(before, axis=0) * _MEAN_OF_MEDIAN + 1e-6
    quiet = np.fft.irfft(spectra * _gains(power / noise), axis=1) * taper
    return _overlap(quiet, len(samples))


def _gains(ratio: Frames) -> Frames:
    """Gain of each frame and bin from its power over the noise's."""
    gains = np.empty_like(ratio)
    before = np.zeros(ratio.shape[1])
    for number, row in enumerate(ratio):
        clean = _CARRY * before + (1 - _CARRY) * np.maximum(row - 1, 0)
        gains[number] = np.maximum(clean / (1 + clean), LEAST_GAIN)
        before = gains[number] ** 2 * row
    return gains


def _overlap(frames: Frames, length: int) -> Samples:
    count = len(frames)
    whole = np.zeros(count * _HOP + _FRAME)
    for part in range(_FRAME // _HOP):
        at = part * _HOP
        whole[at : at + count * _HOP] += frames[:, at : at + _HOP].reshape(-1)
    cut = whole[_FRAME : _FRAME + length] / 2
    return np.clip(np.rint(cut), -32767, 32767).astype(np.int16)
