"""From a person's takes and noise to a model of that person. Imports the net and its features."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from shopstep.voice.enrol_features import (
    BANDS,
    FRAMES,
    Powers,
    add_bang,
    features_of,
    lead_frames,
    noise_of,
    powers_of,
    vary,
)
from shopstep.voice.enrol_net import Array, Classes, Weights, odds_of, train
from shopstep.voice.hear_audio import Samples

ROUNDS = 1500
"""Batches of training; some 40 s on one core."""
UNKNOWN = ""
"""The class of what is no phrase."""
_UNKNOWN_PART = 0.3
_PATCHED = 0.5
_LEAST_SNR_DB, _MOST_SNR_DB = 2.0, 48.0
_BANGED = 0.3
"""Part of the examples in which something is banged."""


@dataclass(frozen=True, slots=True)
class Take:
    """One recording of a phrase: the utterance with the noise before it."""

    samples: Samples
    lead: int


@dataclass(frozen=True, slots=True)
class PersonModel:
    """What was learned of one person in one shop."""

    phrases: tuple[str, ...]
    """The classes after the first, which is UNKNOWN."""
    weights: Weights

    def opinion(self, samples: Samples, lead: int) -> tuple[str, float]:
        """The phrase that an utterance is taken for, and its odds above all others (-1 to 1)."""
        powers = powers_of(samples)
        first = lead_frames(lead)
        seen = features_of(powers[max(0, first - 8) :], noise_of(powers[:first]))
        odds = odds_of(self.weights, seen[None])[0]
        best = int(odds.argmax())
        others = np.delete(odds, best)
        return (UNKNOWN, *self.phrases)[best], float(odds[best] - others.max())


def train_person(
    takes: Mapping[str, Sequence[Take]],
    noises: Sequence[Samples],
    seed: int = 0,
    rounds: int = ROUNDS,
) -> PersonModel:
    """A model from takes of each phrase (three or more of each) and recordings of noise alone."""
    phrases = tuple(sorted(takes))
    examples = _Examples(
        [[_speech_of(take) for take in takes[phrase]] for phrase in phrases],
        [powers_of(noise) for noise in noises if len(noise) > 8000] or [_room(seed)],
        np.random.default_rng(seed),
    )
    weights = train(examples.draw, len(phrases) + 1, rounds, np.random.default_rng(seed + 1))
    return PersonModel(phrases, weights)


def _room(seed: int) -> Powers:
    """Noise where none was recorded."""
    dice = np.random.default_rng(seed)
    return powers_of((dice.standard_normal(32000) * 100).astype(np.int16))


def _speech_of(take: Take) -> Powers:
    """The speech with the noise under it taken away, by band."""
    powers = powers_of(take.samples)
    first = lead_frames(take.lead)
    noise = noise_of(powers[:first])
    speech = np.maximum(powers[max(0, first - 2) :] - noise, 0.02 * noise)
    return np.asarray(speech, np.float32)


@dataclass(slots=True)
class _Examples:
    """Draws what the net is trained with."""

    takes: list[list[Powers]]
    noises: list[Powers]
    dice: np.random.Generator

    def draw(self, count: int) -> tuple[Array, Classes]:
        seen = np.zeros((count, FRAMES, BANDS), np.float32)
        labels = np.zeros(count, np.intp)
        for number in range(count):
            if self.dice.random() >= _UNKNOWN_PART:
                labels[number] = 1 + self.dice.integers(len(self.takes))
                speech = self._take(int(labels[number]) - 1)
            else:
                speech = self._stranger()
            seen[number] = self._in_noise(speech)
        return seen, labels

    def _take(self, phrase: int) -> Powers:
        takes = self.takes[phrase]
        return takes[int(self.dice.integers(len(takes)))]

    def _stranger(self) -> Powers:
        """Not a phrase: half of one, halves of two, one backwards, too much of them, or one with a
        piece of another in it, as a near miss has."""
        one, other = (self._take(int(self.dice.integers(len(self.takes)))) for _ in range(2))
        if self.dice.random() < _PATCHED:
            return self._patched(one, other)
        cut = self.dice.uniform(0.3, 0.7)
        first, last = one[: int(len(one) * cut)], other[int(len(other) * cut) :]
        kind = int(self.dice.integers(6))
        if kind == 0:
            return first
        if kind == 1:
            return last
        if kind == 2:
            return one[::-1]
        if kind == 3:
            return np.concatenate([one, other])
        if kind == 4:
            return np.concatenate([last, first])
        return np.concatenate([first, last]) if one is not other else first

    def _patched(self, one: Powers, other: Powers) -> Powers:
        """A phrase in which about one word is another: loud enough to be heard as one."""
        size = max(3, int(len(one) * self.dice.uniform(0.22, 0.4)))
        at = int(self.dice.integers(0, max(1, len(one) - size)))
        begin = int(self.dice.integers(0, max(1, len(other) - size)))
        patch = other[begin : begin + size][::-1]
        return np.concatenate([one[:at], patch, one[at + size :]])

    def _in_noise(self, speech: Powers) -> Array:
        noise = self.noises[int(self.dice.integers(len(self.noises)))]
        snr_db = float(self.dice.uniform(_LEAST_SNR_DB, _MOST_SNR_DB))
        before, after = (int(n) for n in self.dice.integers((5, 2), (20, 30)))
        padded = np.concatenate(
            [np.full((before, BANDS), 1e-9), speech, np.full((after, BANDS), 1e-9)]
        ).astype(np.float32)
        mixed = vary(padded, noise, snr_db, self.dice)
        if self.dice.random() < _BANGED:
            add_bang(mixed, self.dice)
        lead = max(3, before - 2)
        return features_of(mixed[max(0, lead - 8) :], noise_of(mixed[:lead]))
