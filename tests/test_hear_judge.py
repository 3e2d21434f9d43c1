"""What stands against a phrase, and when it is believed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopstep.voice.hear import Why
from shopstep.voice.hear_audio import RATE, Samples
from shopstep.voice.hear_endpoint import Utterance
from shopstep.voice.hear_judge import SURE, doubt_of, doubt_of_long, sureness
from shopstep.voice.hear_near import COUNT, LEAST, near_misses, near_words
from shopstep.voice.recogniser import Found, Recogniser
from shopstep.voice.vocabulary_check import phone_distance
from shopstep.wiring.hearing import open_ear

GOOD = Found("mark it done", -0.001, 0.0, 0.0, 0.0, 30, 110)
BAD = Found("mark it done", -0.015, -0.006, -0.003, -0.005, 30, 110)
score = st.floats(-0.05, 0.05)


def test_a_good_fit_is_believed_and_a_bad_one_is_not() -> None:
    assert doubt_of(GOOD) == ""
    assert doubt_of_long(GOOD) == ""
    assert sureness(BAD) < SURE
    assert doubt_of_long(BAD)


def test_the_reason_names_what_was_worst() -> None:
    assert doubt_of(replace(GOOD, outside=-0.01)) == "more was heard than the phrase"
    assert doubt_of(replace(GOOD, whole=-0.01)) == "it only sounds a little like it"
    assert doubt_of(replace(GOOD, lead=-0.01)) == "something else fits as well"


@given(score, score, score, score, st.floats(0, 0.05))
def test_a_better_fit_is_never_believed_less(
    weakest: float, whole: float, lead: float, outside: float, more: float
) -> None:
    found = Found("x", weakest, whole, lead, outside, 0, 1)
    for name in ("weakest", "whole", "lead", "outside"):
        better = replace(found, **{name: getattr(found, name) + more})
        assert sureness(better) >= sureness(found)


def test_near_words_sound_like_it_and_are_not_the_same_in_another_mouth() -> None:
    sounds = Recogniser().sounds
    near = near_words("batch", sounds)
    assert 0 < len(near) <= COUNT
    assert "batch" not in near
    said = tuple(sounds("batch")[0].split())
    for word in near:
        assert all(phone_distance(said, tuple(p.split())) >= LEAST for p in sounds(word))
    assert near_words("zzz", sounds) == ()


def test_each_word_of_a_phrase_is_changed_once() -> None:
    found = near_misses("mark it done", Recogniser().sounds)
    assert len(found) == 3
    assert found[0].endswith(" it done")
    assert found[2].startswith("mark it (")


class TwoHearings(Recogniser):
    """Hears one thing as it sounds, and another with the noise taken out."""

    def __init__(self, loud: str, quiet: str) -> None:
        super().__init__()
        self._loud, self._quiet = loud, quiet

    def find(self, samples: Samples, phrases: Sequence[str]) -> Found | None:
        """What is heard first."""
        return replace(GOOD, words=self._loud)

    def words(self, samples: Samples, phrases: Sequence[str]) -> str:
        """What is heard the second time."""
        return self._quiet


@pytest.mark.parametrize(
    ("loud", "quiet", "taken"),
    [
        ("zero millimeters", "zero millimeter", True),
        ("a half inch", "half an inch", True),
        ("three inches", "three inches", True),
        ("zero millimeters", "nine millimeters", False),
        ("one inch", "one millimeter", False),
    ],
)
def test_a_length_is_agreed_on_by_its_value_and_not_by_its_plural(
    loud: str, quiet: str, taken: bool
) -> None:
    ear = open_ear()
    phrase = ear.vocabulary.of("measure")[0]
    twice = TwoHearings(f"{phrase} {loud}", f"{phrase} {quiet}")
    ear = replace(ear, recogniser=twice, second=None, again=None)
    utterance = Utterance(np.zeros(RATE, np.int16), 0.0, 1.0, 0, 30.0, -60.0)
    heard = ear.judge_alone(utterance, ["measure"])
    assert (heard.heard is not None) == taken
    assert taken or heard.why is Why.DISAGREE
