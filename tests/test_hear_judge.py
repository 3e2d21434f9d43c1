"""What stands against a phrase, and when it is believed."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from shopstep.voice.hear_judge import SURE, doubt_of, doubt_of_long, sureness
from shopstep.voice.hear_near import COUNT, LEAST, near_misses, near_words
from shopstep.voice.recogniser import Found, Recogniser
from shopstep.voice.vocabulary_check import phone_distance

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
