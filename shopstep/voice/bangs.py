"""Bangs taken out of an utterance: a hammer, a board that falls.

A frame in which most bands stand far above what they have for a fifth of a second around it is a
bang; there each band is held down to about that. Speech rises more slowly, or in fewer bands. Tried
only where an utterance was not understood as it came. Imports numpy, ``hear_audio`` and ``noise``.
"""

from __future__ import annotations

import numpy as np

from shopstep.voice.hear_audio import Frames, Samples
from shopstep.voice.noise import FRAME, overlap, spectra_of

_REACH, _EVERY = 12, 2
"""Frames before and after that a frame is compared with, and each which of them."""
_USUAL = 0.7
"""Of the powers around, in order, the one that is usual: so far from the lowest."""
JUMP_DB = 6.0
"""A bang's bands stand so far above that in the middle."""
_LOW, _HIGH = 10, 200
"""Bins that are looked at: 310 Hz to 6.2 kHz."""
_KEPT = 2.0
"""Times the usual power is what a band is held down to."""
SURELY_DB = 48.0
"""So far above JUMP_DB all frames together is a bang for certain; the hard sounds of speech (a *k*)
are shorter and reach 38 in quiet, rarely 45; bangs 5 dB below the speech 50 and more."""


def without_bangs(samples: Samples) -> Samples | None:
    """The samples with bangs held down; None where there are none."""
    if len(samples) < FRAME:
        return None
    spectra = spectra_of(samples)
    power = np.abs(spectra) ** 2 + 1e-3
    usual = _usual(power)
    is_bang = _jumps_db(power, usual) > JUMP_DB
    if not is_bang.any():
        return None
    near = is_bang.copy()
    near[1:] |= is_bang[:-1]
    near[:-1] |= is_bang[1:]
    held = np.minimum(1, np.sqrt(_KEPT * usual / power))
    return overlap(spectra * np.where(near[:, None], held, 1.0), len(samples))


def is_banged(samples: Samples) -> bool:
    """Whether something surely banged: a hammer, and no hard sound of the speech."""
    if len(samples) < FRAME:
        return False
    power = np.abs(spectra_of(samples)) ** 2 + 1e-3
    beyond = np.maximum(_jumps_db(power, _usual(power)) - JUMP_DB, 0.0)
    return bool(beyond.sum() > SURELY_DB)


def _jumps_db(power: Frames, usual: Frames) -> Frames:
    """How far the bands of each frame stand above the usual, in the mean."""
    above = 10 * np.log10(power[:, _LOW:_HIGH] / usual[:, _LOW:_HIGH])
    return np.asarray(above.mean(axis=1))


def _usual(power: Frames) -> Frames:
    """What each bin has around each frame."""
    padded = np.pad(power, ((_REACH, _REACH), (0, 0)), mode="edge")
    around = np.lib.stride_tricks.sliding_window_view(padded, 2 * _REACH + 1, axis=0)[..., ::_EVERY]
    place = round(_USUAL * (around.shape[-1] - 1))
    return np.asarray(np.partition(around, place, axis=-1)[..., place]) + 1e-3
