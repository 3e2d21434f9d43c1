"""The phrases: what a file of one's own may say, and what is wrong in it, by line."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopstep.cli.main import run
from shopstep.present.card import CardCaution
from shopstep.safety.saw_rows import SAW_ROWS
from shopstep.safety.tool_rows import TOOL_ROWS
from shopstep.units import Length
from shopstep.voice.hear_cautions import FEWEST_WORDS, caution_words
from shopstep.voice.hear_numbers import read_count, read_length
from shopstep.voice.recogniser import Recogniser
from shopstep.voice.vocabulary import (
    ACTIONS,
    VocabularyError,
    read_vocabulary,
    with_own,
)
from shopstep.voice.vocabulary_check import (
    LEAST_APART,
    check_vocabulary,
    phone_distance,
    say_phones,
)
from shopstep.wiring.hearing import load_vocabulary, voice_words_file


def sounds_of_shipped() -> Recogniser:
    return Recogniser((sound.word, sound.phones) for sound in load_vocabulary().sounds)


def test_every_action_has_a_phrase_of_three_words_or_more_that_is_far_from_the_others() -> None:
    shipped, sounds = load_vocabulary(), sounds_of_shipped().sounds
    assert {phrase.action for phrase in shipped.phrases} == set(ACTIONS)
    assert all(len(phrase.words.split()) >= 3 for phrase in shipped.phrases)
    assert check_vocabulary(shipped, sounds, "shipped") == []


def test_distance_is_none_for_the_same_and_small_for_a_near_miss() -> None:
    sounds = sounds_of_shipped().sounds
    done = say_phones("mark it done", sounds)
    assert phone_distance(done, done) == 0
    assert phone_distance(done, say_phones("mark it down", sounds)) < LEAST_APART / 4
    assert phone_distance(done, say_phones("hold the batch here", sounds)) > LEAST_APART
    assert phone_distance((), ("AA",)) == 1


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("mark it done", "line 2: 'mark it done' is no phrase; write for example"),
        ("dune: mark it done", "line 2: 'dune' is nothing that a phrase can do; did you mean 'don"),
        ("done: finished", "line 2: 'finished' has fewer than 3 words"),
        ("sound riving: R AY VX", "line 2: 'VX' is no phone"),
        ("hold: that is it", "line 2: 'that is it' stands for done already (line 1)"),
    ],
)
def test_a_line_that_cannot_be_read_is_named(line: str, says: str) -> None:
    with pytest.raises(VocabularyError) as found:
        read_vocabulary(f"done: that is it\n{line}\n", "own.txt")
    assert found.value.problems[0].startswith(f"own.txt, {says}")


def test_a_file_that_is_far_too_long_is_refused() -> None:
    with pytest.raises(VocabularyError, match="has more than 100000 characters"):
        read_vocabulary("# long\n" * 20_000, "own.txt")


def test_own_phrases_take_the_place_of_those_of_the_same_action() -> None:
    own = read_vocabulary("# mine\ndone: that one is ready  # said so\n", "own.txt")
    whole = with_own(load_vocabulary(), own)
    assert whole.of("done") == ("that one is ready",)
    assert whole.of("hold") == load_vocabulary().of("hold")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("done: mark it doone\n", "line 1: 'doone' of 'mark it doone' is in no dictionary"),
        ("hold: mark it down\n", "line 1: 'mark it down' (hold) sounds too much like 'mark it d"),
        ("nonsense\n", "line 1: 'nonsense' is no phrase"),
    ],
)
def test_a_file_of_ones_own_is_checked_before_anything_is_heard(
    text: str, says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    voice_words_file().parent.mkdir(parents=True)
    voice_words_file().write_text(text, encoding="utf-8")
    assert run(["voice", "words"]) == 2
    assert says in capsys.readouterr().err


def test_the_phrases_in_force_are_listed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    own = tmp_path / "mine.txt"
    own.write_text("done: that one is ready\n", encoding="utf-8")
    assert run(["voice", "words", "--file", str(own)]) == 0
    said = capsys.readouterr().out
    assert "that one is ready" in said
    assert "mark it done" not in said
    assert run(["voice", "words", "--file", str(tmp_path / "none.txt")]) == 4


def test_every_caution_has_a_full_sentence_that_can_be_heard() -> None:
    recogniser = sounds_of_shipped()
    for row in (*SAW_ROWS, *TOOL_ROWS):
        caution = row.caution
        shown = CardCaution(
            caution.id, caution.signal, caution.harm, caution.avoid, caution.hand, caution.done,
            caution.source, caution.must_ack,
        )  # fmt: skip
        words = caution_words(shown).split()
        assert len(words) >= FEWEST_WORDS, caution.id
        assert [word for word in words if not recogniser.sounds(word)] == [], caution.id


@pytest.mark.parametrize(
    ("words", "length"),
    [
        ("the reading is twelve and three eighths inches", Length.inches("99/8")),
        ("half an inch", Length.inches("1/2")),
        ("a quarter of an inch", Length.inches("1/4")),
        ("one thirty second of an inch", Length.inches("1/32")),
        ("twenty one inches", Length.inches("21")),
        ("two hundred and six point five millimeters", Length.mm("206.5")),
        ("four hundred and twelve millimeters", Length.mm("412")),
        ("zero millimeters", Length.mm(0)),
    ],
)
def test_a_number_that_was_said_is_a_length(words: str, length: Length) -> None:
    assert read_length(words) == length


@pytest.mark.parametrize("words", ["nine eighths of an inch", "three and inches", "seven", "", "a"])
def test_what_is_no_number_of_a_rule_is_no_length(words: str) -> None:
    assert read_length(words) is None


def test_the_number_of_a_ready_step_is_read() -> None:
    assert read_count("take number seven instead") == 7
    assert read_count("take it instead") is None
