"""A second opinion on what was heard: a net that writes down phones and knows no phrase of ours.

How well a phrase fits is the log score a phone of its best path through the net's output (CTC;
Graves and others 2006), less that of the best path of all: 0 is a perfect fit. The path has to
explain the whole sound: a word before or after the phrase costs as much as a wrong one, which is
what tells a command from talk that has it in the middle. Imports numpy and ``hear_audio``; the net
comes with the extra ``open-ear`` and is loaded when an ear is opened.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import islice, product
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from shopstep.voice.hear_audio import Samples
from shopstep.words import say

Rows = NDArray[np.float32]
"""Log probabilities: a row for each 20 ms, a column for each token or phone."""
Sounds = Callable[[str], tuple[str, ...]]
Said = tuple[str, ...]
"""Phones of a phrase, as the dictionary writes them."""
_IPA = {
    "AA": "ɑ ɒ a ɔ", "AE": "æ a", "AH": "ʌ ə ɐ", "AO": "ɔ ɑ ɒ o", "AW": "aʊ", "AY": "aɪ", "B": "b",
    "CH": "t͡ʃ", "D": "d ɾ", "DH": "ð", "EH": "ɛ e eə", "ER": "ɝ ɚ ɜ", "EY": "eɪ e", "F": "f",
    "G": "g ɡ", "HH": "h", "IH": "ɪ ɨ ɪə", "IY": "i ɪə", "JH": "d͡ʒ", "K": "k kʰ", "L": "l ɫ",
    "M": "m", "N": "n", "NG": "ŋ", "OW": "oʊ o", "OY": "ɔɪ", "P": "p pʰ", "R": "ɹ r", "S": "s",
    "SH": "ʃ", "T": "t tʰ ɾ", "TH": "θ", "UH": "ʊ", "UW": "u", "V": "v", "W": "w", "Y": "j",
    "Z": "z", "ZH": "ʒ",
}  # fmt: skip
"""The dictionary's phones (ARPAbet) as the net writes them (IPA); common practice, no source."""
PHONES = tuple(_IPA)
_PLACE = {phone: place for place, phone in enumerate(PHONES)}
NOTHING = len(PHONES)
"""Column of what is no phone: silence, the end of a word."""
_NO_PHONE = ("<blank>", "<wb>", "<unk>", " ")
MOST_WAYS = 24
"""Ways to say a phrase that are looked at; words have one to three each."""
_FAR = -1e9


class Net(Protocol):
    """What turns sound into phones."""

    @property
    def tokens(self) -> Sequence[str]:
        """What its columns stand for."""
        ...

    def rows(self, samples: Samples) -> Rows:
        """Its log probabilities for a sound."""
        ...


class NoNet(Exception):
    """The net cannot be had on this machine, in one sentence."""


@dataclass(slots=True)
class SecondOpinion:
    """How well phrases fit a sound; use from one thread."""

    sounds: Sounds
    net: Net
    _ways: dict[str, list[Said]] = field(default_factory=dict)

    def fits(self, samples: Samples, phrases: Sequence[str]) -> dict[str, float]:
        """Each phrase (plain words) to how well it fits; those that nobody can say are left out."""
        rows = phone_rows(self.net.rows(samples), self.net.tokens)
        said = [(phrase, way) for phrase in phrases for way in self._ways_of(phrase)]
        found: dict[str, float] = {}
        for (phrase, _), fit in zip(said, fits_of(rows, [way for _, way in said]), strict=True):
            found[phrase] = max(fit, found.get(phrase, fit))
        return found

    def _ways_of(self, phrase: str) -> list[Said]:
        if phrase not in self._ways:
            each = [[tuple(said.split()) for said in self.sounds(w)] for w in phrase.split()]
            self._ways[phrase] = [sum(way, ()) for way in islice(product(*each), MOST_WAYS)]
        return self._ways[phrase]


def phone_rows(rows: Rows, tokens: Sequence[str]) -> Rows:
    """The same for the dictionary's phones, and last for what is none of them."""
    place = {token: number for number, token in enumerate(tokens)}
    groups = [*(said.split() for said in _IPA.values()), _NO_PHONE]
    columns = [
        np.logaddexp.reduce(rows[:, [place[token] for token in group if token in place]], axis=1)
        for group in groups
    ]
    return np.stack(columns, axis=1)


def fits_of(rows: Rows, said: Sequence[Said]) -> list[float]:
    """How well each row of phones fits; see the module's words."""
    if not said or not len(rows):
        return [_FAR] * len(said)
    steps = 2 * max(len(phones) for phones in said) + 1
    states = np.full((len(said), steps), NOTHING)
    last = np.array([2 * len(phones) for phones in said])
    for number, phones in enumerate(said):
        states[number, 1 : last[number] : 2] = [_PLACE[phone] for phone in phones]
    skips = np.zeros(states.shape, bool)
    skips[:, 2:] = (states[:, 2:] != NOTHING) & (states[:, 2:] != states[:, :-2])
    best = _best_paths(rows - rows.max(axis=1, keepdims=True), states, skips, last)
    return [float(score) for score in best / (last / 2)]


def _best_paths(
    rows: Rows, states: NDArray[np.int_], skips: NDArray[np.bool_], last: NDArray[np.int_]
) -> NDArray[np.float64]:
    """The best path's log score through each line of states, from its first to its last."""
    lines = np.arange(len(states))
    at = np.full(states.shape, _FAR)
    at[:, :2] = rows[0, states[:, :2]]
    for row in rows[1:]:
        come = at.copy()
        come[:, 1:] = np.maximum(come[:, 1:], at[:, :-1])
        come[:, 2:] = np.maximum(come[:, 2:], np.where(skips[:, 2:], at[:, :-2], _FAR))
        at = come + row[states]
    return np.asarray(np.maximum(at[lines, last], at[lines, last - 1]))


class PhoneNet:
    """The net of the package hama (4.7 MB, phones of several languages). NoNet without it."""

    def __init__(self) -> None:
        try:
            from hama import ASRModel

            self._model = ASRModel()
        except (ImportError, OSError, RuntimeError) as problem:
            text = say(
                "The second ear cannot be loaded on this machine ({problem}).", problem=problem
            )
            raise NoNet(text) from None
        self.tokens = tuple(self._model.decoder_tokens)

    def rows(self, samples: Samples) -> Rows:
        """See ``Net``."""
        sound = samples.astype(np.float32)[None, :] / 32768
        given = {"waveform": sound, "waveform_lengths": np.array([sound.shape[1]])}
        found, lengths = self._model.session.run(["log_probs", "out_lengths"], given)
        return np.asarray(found[0][: int(np.ravel(lengths)[0])], np.float32)
