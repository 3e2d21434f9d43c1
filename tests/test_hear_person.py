"""A person's own model: learned from takes, kept whole, refused where it is none, and of use."""

from __future__ import annotations

import io
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Self

import numpy as np
import pytest

from shopstep.cli.main import run
from shopstep.storage.folders import voice_model_file
from shopstep.voice.enrol import EnrolError, load_model, read_takes, save_model
from shopstep.voice.enrol_features import BANDS, FRAMES
from shopstep.voice.enrol_net import new_weights, odds_of, train
from shopstep.voice.enrol_training import PersonModel, Take, train_person
from shopstep.voice.hear import Ear, utterances
from shopstep.voice.hear_audio import RATE, Samples, write_wav
from shopstep.wiring.hearing import open_ear
from tests.floor import BEGIN_S
from tests.shop_sounds import as_samples, hiss, in_shop, noise_alone, speak
from tests.test_whole_way import BUILD, iso

VOICE = "en-us+f2"
PHRASES = ("mark it done", "hold the batch here", "go back one step", "say that again")


def dice(seed: int = 8) -> np.random.Generator:
    return np.random.default_rng(seed)


def take_of(words: str, number: int) -> Take:
    speech = speak(words, VOICE, 152 + 12 * number, 45 + 6 * number)
    (found,) = utterances(in_shop(speech, "clean", 0, dice(number)))
    return Take(found.samples, found.lead)


@pytest.fixture(scope="module")
def model() -> PersonModel:
    """Four phrases, three takes each, a vacuum; fewer rounds than for all phrases."""
    takes = {words: [take_of(words, number) for number in range(3)] for words in PHRASES}
    room = as_samples(0.0006 * hiss(3 * RATE, dice(), -0.3))
    return train_person(takes, [noise_alone("vacuum", 6, 0.03, dice()), room], rounds=220)


def test_other_takes_are_known_in_the_noise_of_a_vacuum(model: PersonModel) -> None:
    right = 0
    for number, words in enumerate(PHRASES * 2):
        sound = in_shop(speak(words, VOICE, 158 + number, 48), "vacuum", 10, dice(40 + number))
        found = max(utterances(sound), key=lambda one: one.end_s - one.start_s)
        named, margin = model.opinion(found.samples, found.lead)
        assert named in (words, ""), (named, words)
        right += named == words and margin > 0.3
    assert right >= 7


def test_the_grammar_has_to_agree_and_what_the_card_does_not_allow_is_refused(
    model: PersonModel,
) -> None:
    ear: Ear = open_ear()
    ear.second = model
    (utterance,) = utterances(in_shop(speak(PHRASES[0], VOICE, 160, 48), "clean", 0, dice()))
    taken = ear.judge(utterance, ("done", "hold"))
    assert taken.action == "done"
    assert taken.why is None
    assert taken.scores["margin"] > 0.5
    assert ear.judge(utterance, ("hold", "back")).heard is None


def test_the_net_learns_what_differs_and_its_odds_add_up() -> None:
    drawn = dice()

    def draw(count: int) -> tuple[np.ndarray, np.ndarray]:
        labels = drawn.integers(0, 2, count)
        seen = drawn.random((count, 40, BANDS)).astype(np.float32) * 0.2
        seen[labels == 1, 10:20, 3:8] += 1.0
        return seen, labels

    weights = train(draw, 2, 60, dice())
    seen, labels = draw(100)
    odds = odds_of(weights, seen)
    assert np.allclose(odds.sum(axis=1), 1, atol=1e-5)
    assert (odds.argmax(axis=1) == labels).mean() > 0.97


def test_a_model_is_kept_and_read_back_whole(tmp_path: Path) -> None:
    model = PersonModel(("mark it done", "say that again"), new_weights(3, dice()))
    save_model(model, tmp_path / "deep" / "model.npz")
    read = load_model(tmp_path / "deep" / "model.npz")
    assert read is not None
    assert read.phrases == model.phrases
    seen = dice().random((2, FRAMES, BANDS)).astype(np.float32)
    assert np.array_equal(odds_of(read.weights, seen), odds_of(model.weights, seen))
    assert load_model(tmp_path / "none.npz") is None


def test_what_is_no_model_gets_a_sentence_and_can_be_forgotten(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    voice_model_file().parent.mkdir(parents=True)
    write_wav(tmp_path / "a.wav", np.zeros(RATE, np.int16))
    whole = PersonModel(("mark it done",), new_weights(2, dice()))
    save_model(whole, voice_model_file())
    data = voice_model_file().read_bytes()
    for bad in (b"", b"no model", data[: len(data) // 2]):
        voice_model_file().write_bytes(bad)
        assert run(["hear", str(tmp_path / "a.wav")]) == 4
        assert "is no model of a voice" in capsys.readouterr().err
    save_model(PersonModel(("one", "two"), whole.weights), voice_model_file())
    with pytest.raises(EnrolError):
        load_model(voice_model_file())
    assert run(["voice", "forget"]) == 0
    assert run(["voice", "forget"]) == 0
    assert "Nothing was learned" in capsys.readouterr().out


def test_a_folder_of_takes_is_read_and_what_is_missing_is_named(tmp_path: Path) -> None:
    for number in range(3):
        sound = in_shop(speak("mark it done", VOICE, 150 + 10 * number), "clean", 0, dice())
        write_wav(tmp_path / f"mark-it-done-{number + 1}.wav", sound)
    write_wav(tmp_path / "noise-1.wav", noise_alone("saw", 2, 0.03, dice()))
    takes = read_takes(tmp_path, ["mark it done"])
    assert len(takes.spoken["mark it done"]) == 3
    assert len(takes.noises) == 1
    (tmp_path / "noise-1.wav").unlink()
    (tmp_path / "mark-it-done-3.wav").unlink()
    write_wav(tmp_path / "sing-it-loud-1.wav", np.zeros(RATE, np.int16))
    write_wav(tmp_path / "mark-it-done-4.wav", np.zeros(RATE, np.int16))
    with pytest.raises(EnrolError) as found:
        read_takes(tmp_path, ["mark it done"])
    said = "\n".join(found.value.problems)
    for part in ("'sing it loud' is no phrase", "Nobody was heard", "lacks 1 of 3", "noise-1.wav"):
        assert part in said
    with pytest.raises(EnrolError, match="is no folder"):
        read_takes(tmp_path / "none", ["mark it done"])


@pytest.mark.parametrize("word", ["test", "enrol"])
def test_without_a_microphone_it_is_said_once(
    word: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(sys.modules, "sounddevice", None)
    assert run(["voice", word]) == 4
    said = capsys.readouterr().err
    assert said.count("There is no microphone on this machine") == 1


class FakeDevice:
    """A sound device that plays a recording to whoever listens."""

    PortAudioError = OSError

    def __init__(self, sound: Samples) -> None:
        self.sound = sound
        self.is_open = False

    def RawInputStream(self, *, callback: Callable[..., None], blocksize: int, **_: object) -> Self:
        self.callback, self.size = callback, blocksize
        return self

    def start(self) -> None:
        self.is_open = True
        for begin in range(0, len(self.sound), self.size):
            part = self.sound[begin : begin + self.size]
            self.callback(part.tobytes(), len(part), None, None)

    def stop(self) -> None:
        self.is_open = False

    def close(self) -> None:
        assert not self.is_open


def test_the_microphone_goes_the_way_of_a_file(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    sound = in_shop(speak("mark it done", VOICE), "vacuum", 20, dice(), before_s=1.2)
    device = FakeDevice(sound)
    monkeypatch.setitem(sys.modules, "sounddevice", device)
    seconds = len(sound) / RATE
    assert run(["voice", "test", "--seconds", f"{seconds:.1f}"]) == 0
    said = capsys.readouterr().out
    assert "Heard: mark it done" in said
    assert "The shop is at -4" in said
    assert not device.is_open


def test_a_session_is_followed_push_by_push(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "one.session"
    at = iso(BEGIN_S)
    assert run(["start", BUILD, "--session", str(file), "--plain", "--now", at]) == 0
    sound = in_shop(speak("hold the batch here", VOICE), "vacuum", 20, dice(), before_s=1.0)
    monkeypatch.setitem(sys.modules, "sounddevice", FakeDevice(sound))
    monkeypatch.setattr("sys.stdin", io.StringIO("\n\nq\n"))
    assert run(["voice", "follow", str(file), "--now", at]) == 0
    said = capsys.readouterr().out
    assert "hold: hold the batch here" in said
    assert "On hold" in said
    before, _, after = said.partition("On hold")
    assert "hold the batch here;" in before
    assert "To say: go back one step; resume the work now;" in after
    assert "refused: " in said  # held already: the second push says the same
    assert said.count("Listening; speak now (listening, 6 s).") == 2


def test_without_the_extra_it_is_said_and_nothing_else_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("shopstep.wiring.hearing.find_spec", lambda _: None)
    assert run(["hear", str(tmp_path / "a.wav")]) == 2
    assert "pip install 'shopstep[voice]'" in capsys.readouterr().err
    assert run(["rack", "list"]) == 0
