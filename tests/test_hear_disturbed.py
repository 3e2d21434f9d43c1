"""What is demanded of an utterance in quiet, beside a machine and among bangs; near misses."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import pytest

from shopstep.voice.bangs import is_banged
from shopstep.voice.hear import SURE_FIT, Ear, Hearing, Why, utterances
from shopstep.voice.hear_audio import RATE, Samples
from shopstep.voice.hear_disturbed import (
    BANGED,
    FIT_WEIGHT,
    HALF_MARGIN,
    LOUD,
    QUIET,
    QUIET_MARGIN,
    SUM_QUIET,
    least_for,
)
from shopstep.voice.hear_endpoint import Utterance
from shopstep.wiring.hearing import open_ear
from tests.shop_sounds import in_shop, noise_alone, speak

NEAR = {
    "glue comes off now": "start", "say that again please": "again", "stay that way then": "again",
    "only the number": "number", "quiet the barn now": "quiet", "no leave it a while": "no",
    "hold the badge here": "hold", "go pack one step": "back",
}  # fmt: skip
"""What sounds like a phrase and is none, and the action of that phrase."""
CARD = ("done", "hold", "again", "measure")
SHOPS = {"clean": 0.0, "vacuum": 10.0, "bangs": 5.0}


def said(words: str, noise: str, voice: str = "en-us+m1", seed: int = 52) -> Utterance:
    sound = in_shop(speak(words, voice), noise, SHOPS[noise], np.random.default_rng(seed))
    return max(utterances(sound), key=lambda one: one.end_s - one.start_s)


@dataclass
class Fits:
    """A second ear that finds all phrases but one far off."""

    phrase: str
    fit: float

    def fits(self, samples: Samples, phrases: Sequence[str]) -> dict[str, float]:
        """See ``Again``."""
        del samples
        return {words: self.fit if words == self.phrase else -9.0 for words in phrases}


@dataclass
class Person:
    """A personal model that always takes it for the same."""

    words: str
    margin: float
    phrases: tuple[str, ...] = ("mark it done", "hold the batch here", "say that again")

    def opinion(self, samples: Samples, lead: int) -> tuple[str, float]:
        """See ``Second``."""
        del samples, lead
        return self.words, self.margin


@pytest.fixture(scope="module")
def ear() -> Ear:
    return replace(open_ear(), second=None)


@pytest.mark.parametrize("voice", ["en-us+m1", "en+f3"])
def test_a_hammer_bangs_and_hard_sounds_of_speech_and_machines_do_not(voice: str) -> None:
    for words in ("take that back", "put this one aside", "pick it up quickly"):
        assert not is_banged(said(words, "clean", voice).samples)
        assert not is_banged(said(words, "vacuum", voice).samples)
        assert is_banged(said(words, "bangs", voice).samples)
    assert not is_banged(noise_alone("saw", 2, 0.05, np.random.default_rng(3)))
    assert not is_banged(np.zeros(RATE, np.int16))
    assert not is_banged(np.zeros(3, np.int16))


def test_more_is_demanded_in_quiet() -> None:
    found = [least_for(said("mark it done", noise)) for noise in SHOPS]
    assert found == [QUIET, LOUD, BANGED]
    assert QUIET.both > LOUD.both
    assert QUIET.margin > BANGED.margin


def refused(why: Why) -> Hearing:
    return Hearing(0.0, 1.0, "mark it done", "done", None, why, "No.", {})


@pytest.mark.parametrize("noise", SHOPS)
def test_the_second_ear_rescues_what_noise_disturbed_and_nothing_in_quiet(
    noise: str, ear: Ear
) -> None:
    sure = replace(ear, again=Fits("mark it done", SURE_FIT))
    known = replace(sure, second=Person("", 0.9))
    utterance = said("mark it done", noise)
    for why in (Why.DOUBT, Why.DISAGREE, Why.NONE):
        alone = sure.judge_again(utterance, CARD, (), refused(why))
        assert (alone.heard is not None) == (noise != "clean")
        person = known.judge_again(utterance, CARD, (), refused(why))
        assert (person.heard is not None) == (noise == "bangs")


def test_in_quiet_both_ears_are_added_up(ear: Ear) -> None:
    for noise in ("clean", "vacuum"):
        utterance = said("mark it done", noise)
        first = ear.judge_alone(utterance, CARD)
        assert first.heard is not None
        first = replace(first, scores=first.scores | {"sure": 1.0})
        fit = (SUM_QUIET - 1.0) / FIT_WEIGHT
        for more, is_taken in ((0.05, True), (-0.05, noise != "clean")):
            both = replace(ear, again=Fits("mark it done", fit + more))
            found = both.judge_again(utterance, CARD, (), first)
            assert (found.heard is not None) == is_taken
            assert is_taken or found.why is Why.AGAIN


def test_a_number_is_not_added_up(ear: Ear) -> None:
    words = "the reading is two inches"
    utterance = said(words, "clean")
    first = ear.judge_alone(utterance, CARD)
    assert first.phrase == words
    doubted = replace(first, scores=first.scores | {"sure": SUM_QUIET})
    both = replace(ear, again=Fits(words, -2.0))
    assert both.judge_again(utterance, CARD, (), doubted).heard == first.heard


def test_a_personal_model_has_to_be_surer_in_quiet_than_among_bangs(ear: Ear) -> None:
    between = (HALF_MARGIN + QUIET_MARGIN) / 2 + 0.02
    for noise, margin, is_taken in (
        ("clean", QUIET_MARGIN, True),
        ("clean", between, False),
        ("bangs", between, True),
    ):
        person = replace(ear, second=Person("mark it done", margin))
        found = person.judge_alone(said("mark it done", noise), CARD)
        assert (found.heard is not None) == is_taken
        assert is_taken or (found.why, found.phrase) == (Why.DOUBT, "mark it done")


def test_what_the_model_half_takes_for_a_phrase_is_no_number(ear: Ear) -> None:
    utterance = said("the reading is two inches", "clean")
    assert replace(ear, second=Person("", 0.9)).judge_alone(utterance, CARD).action == "measure"
    named = replace(ear, second=Person("mark it done", 0.4))
    assert named.judge_alone(utterance, CARD).heard is None


def test_of_near_misses_in_quiet_both_ears_take_fewer_and_no_phrase_is_lost(ear: Ear) -> None:
    alone = both = 0
    for words, action in NEAR.items():
        utterance, card = said(words, "clean"), (*CARD, action)
        first = ear.judge_alone(utterance, card)
        alone += first.heard is not None
        both += ear.judge_again(utterance, card, (), first).heard is not None
        (phrase, *_) = ear.vocabulary.of(action)
        assert ear.judge(said(phrase, "clean"), card).action == action
    assert alone > both + len(NEAR) / 3
