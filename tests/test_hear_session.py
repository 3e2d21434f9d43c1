"""A session followed by ear: the same events as by taps, and never on doubt."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from shopstep.cli.main import run
from shopstep.voice.hear import Ear, Why, utterances
from shopstep.voice.hear_audio import Samples, write_wav
from shopstep.wiring.hearing import open_ear
from tests.floor import BEGIN_S, floor_plan
from tests.followed_by_ear import Speaker, Worker, what_happened
from tests.shop_sounds import in_shop, noise_alone, speak
from tests.test_whole_way import BUILD, iso


@pytest.fixture(scope="module")
def ear() -> Ear:
    return open_ear()


def said(*sentences: str, noise: str = "vacuum", snr_db: float = 20) -> Samples:
    """Sentences one after the other in the noise of a shop."""
    dice = np.random.default_rng(5)
    return np.concatenate(
        [in_shop(speak(words, "en-us+m3"), noise, snr_db, dice) for words in sentences]
    )


def test_the_first_steps_of_a_floor_by_ear_are_those_by_taps(ear: Ear) -> None:
    """All of the floor is followed so by ``python -m tests.benchmarks.hearing --parts floor``."""
    plan = floor_plan(units=1)
    tapped, spoken = Worker(plan), Speaker(plan, ear, "en-us+m3", "vacuum", 20)
    tapped.follow(16)
    spoken.follow(16)
    assert what_happened(spoken.journal) == what_happened(tapped.journal)
    assert spoken.count.taken > 10
    assert spoken.count.tapped == 0


def test_what_the_card_does_not_allow_is_not_heard_as_a_command(ear: Ear) -> None:
    (utterance,) = utterances(said("resume the work now"))
    assert ear.judge(utterance, ("resume", "again")).action == "resume"
    at_step = ear.judge(utterance, ("done", "hold", "again"))
    assert at_step.heard is None
    assert at_step.text


@pytest.mark.parametrize("words", ["the weather is going to turn cold", "turn the radio down"])
def test_talk_is_refused_with_a_reason(words: str, ear: Ear) -> None:
    for utterance in utterances(said(words)):
        hearing = ear.judge(utterance, ("done", "back", "hold", "why", "again"))
        assert hearing.heard is None
        assert hearing.why is not None


def test_beside_a_saw_it_says_that_it_cannot_hear(ear: Ear) -> None:
    loud = noise_alone("saw", 4, 0.2, np.random.default_rng(6)).astype(np.float64)
    speech = speak("mark it done", "en-us+m3") * 32767 * 3
    loud[32000 : 32000 + len(speech)] += speech
    for utterance in utterances(np.clip(loud, -32767, 32767).astype(np.int16)):
        hearing = ear.judge(utterance, ("done",))
        assert hearing.why is Why.NOISE
        assert "tap instead" in hearing.text


@pytest.fixture
def session(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    file = tmp_path / "one.session"
    begin = ["start", BUILD, "--session", str(file), "--plain", "--now", iso(BEGIN_S)]
    assert run(begin) == 0
    capsys.readouterr()
    return file


def heard(
    session: Path, sound: Samples, capsys: pytest.CaptureFixture[str]
) -> list[dict[str, object]]:
    """``hear --session --json`` of a recording."""
    write_wav(session.parent / "said.wav", sound)
    words = ["hear", str(session.parent / "said.wav"), "--session", str(session), "--json"]
    code = run([*words, "--now", iso(BEGIN_S + 60)])
    document = json.loads(capsys.readouterr().out)
    assert code in (0, 1)
    found: list[dict[str, object]] = document["utterances"]
    return found


def test_a_recording_moves_a_session_and_back_within_ten_seconds_undoes_it(
    session: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    hold, back = heard(session, said("hold the batch here", "go back one step"), capsys)
    assert (hold["did"], hold["mode"]) == ("HoldBatch", "held")
    assert back["did"] == "ResumeBatch"
    assert back["mode"] != "held"
    assert run(["log", str(session), "--json"]) == 0
    log = json.loads(capsys.readouterr().out)
    assert {"batch_held", "batch_resumed"} <= {entry["kind"] for entry in log["entries"]}


def test_done_is_not_heard_before_the_caution_is_answered(
    session: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["do", str(session), "status", "--json", "--now", iso(BEGIN_S)]) == 0
    assert json.loads(capsys.readouterr().out)["card"]["mode"] == "caution"
    (found,) = heard(session, said("mark it done"), capsys)
    assert found["did"] is None
    assert found["phrase"] is None
    assert found["refused"]
