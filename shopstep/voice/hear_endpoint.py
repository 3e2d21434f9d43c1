"""Where somebody speaks: utterances out of a stream, against a noise floor that is followed.

Bands of energy every 10 ms. A frame is speech where the bands together stand well above their own
floor; the floor falls at once and rises slowly, so that a machine that starts becomes noise after
a second or two and is not waited for. Imports numpy and ``hear_audio``.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from shopstep.voice.hear_audio import RATE, Samples

HOP = RATE // 100
_WINDOW = 400
_FFT = 512
_BANDS = 20
SPEECH_DB = 3.0
"""Mean over the loudest half of the bands above their floor."""
BEGIN_FRAMES, BEGIN_OF = 7, 10
END_QUIET = 45
"""Frames without speech that end an utterance."""
BEFORE, AFTER = 35, 12
"""Frames kept before and after what was speech."""
SHORTEST, LONGEST = 30, 900
"""Frames: less is a knock, more is no command."""
_RISE_DB = 0.05
"""The floor rises by so much a frame: 5 dB a second."""
_FALL = 0.04
"""And falls by that part of the way."""
_SMOOTH = 0.3
"""How much a new frame counts in the bands' running level."""
_SLOW = 0.015
_FLOOR_AT = 12
"""Frames from which the first floor is taken."""
Bands = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Utterance:
    """Somebody spoke; or a machine started."""

    samples: Samples
    start_s: float
    end_s: float
    """Without what is kept before and after."""
    lead: int
    """Samples before the speech in ``samples``: what the noise sounds like."""
    snr_db: float
    """Speech above the floor."""
    floor_db: float
    """The floor's loudness, dB below the loudest possible."""
    is_too_long: bool = False


def _band_matrix() -> NDArray[np.float64]:
    """Triangular bands, even on the mel scale, from 150 to 6500 Hz."""
    mel = np.linspace(_mel(150.0), _mel(6500.0), _BANDS + 2)
    edges = 700 * (10 ** (mel / 2595) - 1)
    bins = np.arange(_FFT // 2 + 1) * RATE / _FFT
    rows = []
    for low, middle, high in zip(edges, edges[1:], edges[2:], strict=False):
        up = (bins - low) / (middle - low)
        down = (high - bins) / (high - middle)
        rows.append(np.maximum(0, np.minimum(up, down)))
    return np.array(rows)


def _mel(hertz: float) -> float:
    return 2595 * float(np.log10(1 + hertz / 700))


_MATRIX = _band_matrix()
_TAPER = np.hanning(_WINDOW)


def band_levels(samples: NDArray[np.float64]) -> Bands:
    """dB in each band, a row for every 10 ms; samples are within -1 to 1."""
    if len(samples) < _WINDOW:
        return np.zeros((0, _BANDS))
    frames = np.lib.stride_tricks.sliding_window_view(samples, _WINDOW)[::HOP]
    power = np.abs(np.fft.rfft(frames * _TAPER, _FFT, axis=1)) ** 2
    return np.asarray(10 * np.log10(power @ _MATRIX.T + 1e-7))


@dataclass(slots=True)
class Endpointer:
    """Give it samples as they come; it gives utterances as they end."""

    _kept: Samples = field(default_factory=lambda: np.zeros(0, np.int16))
    _kept_from: int = 0
    """Frame number of the first sample that is kept."""
    _frame: int = 0
    """Number of the next frame."""
    _floor: Bands | None = None
    _first: list[Bands] = field(default_factory=list)
    _smooth: Bands | None = None
    _slow: Bands | None = None
    """The bands' level over the last second or so: the new floor once a machine has started."""
    _recent: list[bool] = field(default_factory=list)
    _begin: int | None = None
    _last: int = 0
    """The last frame that was speech."""
    _loud: list[float] = field(default_factory=list)
    level_db: float = -96.0
    """Of the newest frame, for a meter."""

    @property
    def floor_db(self) -> float:
        """Loudness of what goes on without anybody speaking."""
        return -96.0 if self._floor is None else _total_db(self._floor)

    @property
    def in_speech(self) -> bool:
        """Whether somebody speaks now."""
        return self._begin is not None

    @property
    def spoken_s(self) -> float:
        """For how long somebody has been speaking; 0 where nobody is."""
        return 0.0 if self._begin is None else (self._frame - self._begin) * HOP / RATE

    def drop(self) -> None:
        """What is being said is no utterance; the noise stays known."""
        self._begin, self._recent = None, []

    def feed(self, samples: Samples) -> list[Utterance]:
        """Utterances that ended in these samples."""
        self._kept = np.concatenate([self._kept, samples])
        skip = (self._frame - self._kept_from) * HOP
        levels = band_levels(self._kept[skip:].astype(np.float64) / 32768)
        ended = [done for level in levels if (done := self._step(level)) is not None]
        self._forget()
        return ended

    def finish(self) -> list[Utterance]:
        """The utterance that was under way when the sound ended."""
        return [self._cut(self._frame)] if self._begin is not None and self._is_enough() else []

    def _step(self, level: Bands) -> Utterance | None:
        number, self._frame = self._frame, self._frame + 1
        self.level_db = _total_db(level)
        before = level if self._smooth is None else self._smooth
        level = self._smooth = before + _SMOOTH * (level - before)
        slow = level if self._slow is None else self._slow
        self._slow = slow + _SLOW * (level - slow)
        if self._floor is None:
            self._first.append(level)
            if len(self._first) >= _FLOOR_AT:
                self._floor = np.quantile(np.array(self._first), 0.4, axis=0)
            return None
        above = level - self._floor
        score = float(np.mean(np.sort(above)[_BANDS // 2 :]))
        is_speech = score > SPEECH_DB
        self._follow(level, above)
        self._recent = [*self._recent[1 - BEGIN_OF :], is_speech]
        if self._begin is None:
            if sum(self._recent) >= BEGIN_FRAMES:
                self._begin, self._last, self._loud = number - len(self._recent) + 1, number, []
            return None
        self._loud.append(self.level_db)
        if is_speech:
            self._last = number
        if number - self._begin > LONGEST:
            return self._end(number, is_too_long=True)
        return self._end(number) if number - self._last >= END_QUIET else None

    def _follow(self, level: Bands, above: Bands) -> None:
        assert self._floor is not None
        falling = self._floor + _FALL * above
        rise = _RISE_DB / 3 if self._begin is not None else _RISE_DB
        rising = self._floor + np.minimum(rise, 0.05 * above)
        self._floor = np.where(above < 0, falling, rising)

    def _is_enough(self) -> bool:
        return self._begin is not None and self._last - self._begin >= SHORTEST

    def _end(self, number: int, *, is_too_long: bool = False) -> Utterance | None:
        done = self._cut(number, is_too_long=is_too_long) if self._is_enough() else None
        self._begin, self._recent = None, []
        if is_too_long:
            self._floor = self._slow
        return done

    def _cut(self, number: int, *, is_too_long: bool = False) -> Utterance:
        assert self._begin is not None
        start = max(self._begin - BEFORE, self._kept_from)
        end = min(self._last + AFTER, number)
        samples = self._kept[(start - self._kept_from) * HOP : (end - self._kept_from) * HOP]
        loud = float(np.quantile(self._loud, 0.7)) if self._loud else self.level_db
        return Utterance(
            samples=samples,
            start_s=self._begin * HOP / RATE,
            end_s=self._last * HOP / RATE,
            lead=(self._begin - start) * HOP,
            snr_db=loud - self.floor_db,
            floor_db=self.floor_db,
            is_too_long=is_too_long,
        )

    def _forget(self) -> None:
        """Samples that no utterance can need any more."""
        first = self._frame if self._begin is None else self._begin
        keep_from = max(self._kept_from, first - BEFORE - BEGIN_OF)
        self._kept = self._kept[(keep_from - self._kept_from) * HOP :]
        self._kept_from = keep_from


def _total_db(level: Bands) -> float:
    """Loudness of all bands together, on the scale of ``hear_audio.level_db``."""
    return float(10 * np.log10(np.sum(10 ** (level / 10)))) - _SCALE_DB


def _scale_db() -> float:
    """What a full-scale noise gives in all bands together."""
    noise = np.random.default_rng(0).standard_normal(RATE)
    return float(np.mean([10 * np.log10(np.sum(10 ** (r / 10))) for r in band_levels(noise)]))


_SCALE_DB = _scale_db()
