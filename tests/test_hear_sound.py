"""Sound to utterances, and recordings that cannot be heard."""

from __future__ import annotations

import wave
from pathlib import Path

import numpy as np
import pytest

from shopstep.cli.main import run
from shopstep.voice.bangs import without_bangs
from shopstep.voice.hear import utterances, whole_push
from shopstep.voice.hear_audio import RATE, AudioError, level_db, read_wav, write_wav
from shopstep.voice.hear_endpoint import LONGEST, Endpointer
from shopstep.voice.noise import without_noise
from tests.shop_sounds import (
    LOUD,
    as_samples,
    at_level,
    hiss,
    in_shop,
    noise_alone,
    speak,
)


def dice() -> np.random.Generator:
    return np.random.default_rng(4)


@pytest.mark.parametrize(("noise", "snr_db"), [("clean", 0), ("vacuum", 20), ("saw", 20)])
def test_who_speaks_is_found_where_they_speak(noise: str, snr_db: float) -> None:
    speech = speak("hold the batch here", "en-us+m3")
    found = utterances(in_shop(speech, noise, snr_db, dice(), before_s=1.0, after_s=1.0))
    assert len(found) == 1
    assert abs(found[0].start_s - 1.0) < 0.2
    assert abs(found[0].end_s - 1.0 - len(speech) / RATE) < 0.25
    assert found[0].lead > 0


def test_pieces_of_any_length_give_the_same_utterances() -> None:
    sound = in_shop(speak("mark it done", "en-us+f2"), "vacuum", 20, dice())
    whole = Endpointer()
    at_once = [*whole.feed(sound), *whole.finish()]
    pieces = Endpointer()
    cut = [u for part in np.array_split(sound, 37) for u in pieces.feed(part)] + pieces.finish()
    assert [(u.start_s, u.end_s) for u in at_once] == [(u.start_s, u.end_s) for u in cut]


@pytest.mark.parametrize("noise", ["vacuum", "saw"])
def test_a_machine_that_runs_is_nobody_who_speaks(noise: str) -> None:
    pointer = Endpointer()
    assert pointer.feed(noise_alone(noise, 20, 0.03, dice())) == []
    assert -40 < pointer.floor_db < -25
    assert not pointer.in_speech


def test_a_machine_that_starts_is_at_most_one_utterance_that_is_too_long() -> None:
    quiet = as_samples(hiss(RATE, dice(), -0.3) * 0.001)
    sound = np.concatenate([quiet, noise_alone("saw", 30, 0.05, dice())])
    found = utterances(sound)
    assert len(found) <= 1
    assert all(u.is_too_long or u.end_s - u.start_s < LONGEST / 100 for u in found)


def test_silence_and_next_to_nothing_are_no_utterance() -> None:
    assert utterances(np.zeros(5 * RATE, np.int16)) == []
    assert utterances(np.zeros(3, np.int16)) == []
    assert level_db(np.zeros(0, np.int16)) == -96


def test_a_push_is_one_utterance_as_long_as_the_key_was_down() -> None:
    sound = in_shop(speak("mark it done", "en-us+f2"), "clean", 0, dice(), 0.3, 0.3)
    pushed = whole_push(sound)
    assert (pushed.start_s, pushed.end_s) == (0.0, len(sound) / RATE)
    assert pushed.snr_db > 20


def test_steady_noise_is_weakened_and_speech_is_kept() -> None:
    speech = speak("only the number please", "en-us+m3")
    sound = in_shop(speech, "vacuum", 5, dice(), before_s=0.5, after_s=0.5)
    cleaned = without_noise(sound, RATE // 2)
    assert len(cleaned) == len(sound)
    before, during = slice(0, RATE // 3), slice(RATE // 2, RATE // 2 + len(speech))
    assert level_db(cleaned[before]) < level_db(sound[before]) - 6
    assert level_db(cleaned[during]) > level_db(sound[during]) - 3


def test_a_bang_is_held_down_and_what_is_said_around_it_stays() -> None:
    speech = speak("only the number please", "en-us+m3")
    sound = in_shop(speech, "clean", 0, dice(), before_s=0.5, after_s=0.5).astype(np.float64)
    bang = slice(int(0.9 * RATE), int(0.96 * RATE))
    length = bang.stop - bang.start
    blow = dice().standard_normal(length) * np.exp(-np.arange(length) / RATE * 40)
    sound[bang] += 12_000 * blow
    banged = as_samples(sound / 32767)
    quieter = without_bangs(banged)
    assert quieter is not None
    assert len(quieter) == len(banged)
    assert level_db(quieter[bang]) < level_db(banged[bang]) - 6
    for rest in (slice(RATE // 2, bang.start - 800), slice(bang.stop + 800, len(sound))):
        assert abs(level_db(quieter[rest]) - level_db(banged[rest])) < 1


def test_a_machine_that_runs_does_not_bang_and_silence_neither() -> None:
    for noise in ("vacuum", "saw"):
        assert without_bangs(noise_alone(noise, 3, 0.05, dice())) is None
    assert without_bangs(np.zeros(RATE, np.int16)) is None
    assert without_bangs(np.zeros(3, np.int16)) is None


def test_what_is_written_is_read_back(tmp_path: Path) -> None:
    sound = as_samples(at_level(hiss(RATE, dice(), 0)))
    write_wav(tmp_path / "a.wav", sound)
    assert np.array_equal(read_wav(tmp_path / "a.wav"), sound)
    assert abs(level_db(sound) - 20 * np.log10(LOUD)) < 0.1


def write_odd(path: Path, channels: int, width: int, rate: int, frames: int) -> None:
    with wave.open(str(path), "wb") as wav:
        wav.setnchannels(channels)
        wav.setsampwidth(width)
        wav.setframerate(rate)
        wav.writeframes(b"\0" * (channels * width * frames))


@pytest.mark.parametrize(
    ("kind", "says"),
    [
        ((1, 2, 44100, 100), "has 44100 samples a second; record 16000"),
        ((2, 2, RATE, 100), "has 2 channels; record one"),
        ((1, 1, RATE, 100), "has 8 bit; record 16 bit"),
        ((1, 2, RATE, 0), "holds no sound"),
    ],
)
def test_another_kind_of_wav_is_named(
    kind: tuple[int, int, int, int], says: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write_odd(tmp_path / "odd.wav", *kind)
    assert run(["hear", str(tmp_path / "odd.wav")]) == 4
    assert says in capsys.readouterr().err


def test_what_is_cut_off_or_no_wav_or_not_there_gets_a_sentence(tmp_path: Path) -> None:
    write_odd(tmp_path / "whole.wav", 1, 2, RATE, 1000)
    data = (tmp_path / "whole.wav").read_bytes()
    (tmp_path / "cut.wav").write_bytes(data[:-500])
    (tmp_path / "text.wav").write_text("this is no sound")
    (tmp_path / "head.wav").write_bytes(data[:20])
    (tmp_path / "empty.wav").write_bytes(b"")
    for name, says in (
        ("cut.wav", "ends too early: 750 of 1000"),
        ("text.wav", "is no WAV file"),
        ("head.wav", "is no WAV file"),
        ("empty.wav", "is no WAV file"),
        ("none.wav", "is not there"),
        ("", "is a folder"),
    ):
        with pytest.raises(AudioError, match=says):
            read_wav(tmp_path / name)


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (["--card", "done,dance"], "'dance' is nothing that can be said"),
        (["--card", ","], "',' is nothing that can be said"),
        (["--card", "done", "--session", "LAST"], "leave --card out"),
    ],
)
def test_wrong_options_of_hear_get_a_sentence(
    options: list[str], says: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write_wav(tmp_path / "a.wav", np.zeros(RATE, np.int16))
    assert run(["hear", str(tmp_path / "a.wav"), *options]) == 2
    assert says in capsys.readouterr().err


def test_a_silent_recording_says_that_nobody_spoke(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write_wav(tmp_path / "a.wav", np.zeros(RATE, np.int16))
    assert run(["hear", str(tmp_path / "a.wav")]) == 0
    assert capsys.readouterr().out == "Nobody spoke.\n"
