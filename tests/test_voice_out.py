"""From words to sound: engines, the cache, the queue, and what a recogniser makes of it.

The recogniser is pocketsphinx with its own American model and a grammar of numbers; it shares
nothing with what speaks.
"""

from __future__ import annotations

import math
import os
import random
import subprocess
import sys
import threading
import time
from array import array
from pathlib import Path
from typing import Any

import pytest

from shopstep.cli.main import run
from shopstep.present.spoken import say_angle, say_inches, say_mm, say_span
from shopstep.storage.sound_player import WavPlayer
from shopstep.units import SIXTY_FOURTH, Angle, Length
from shopstep.voice.engine import NORMAL, EngineFailed, find_engines
from shopstep.voice.engine_command import CommandEngine
from shopstep.voice.engine_process import ChildEngine
from shopstep.voice.speak import Voice, sentences_of
from shopstep.voice.speak_cache import SpeechCache
from shopstep.voice.speak_queue import NO_SOUND, Playing, Speaker
from shopstep.voice.speak_wav import BadWav, join_wavs, make_wav, read_wav, seconds_of, tidy_wav
from tests.number_ears import hear_number, is_same_number

CHILD = [sys.executable, "-m", "shopstep.voice.engine_child"]
SENTENCE = "Fence at two and fifteen sixteenths inches."


def tone(seconds: float = 0.2, rate: int = 8000) -> bytes:
    """A short WAV."""
    wave = (round(9000 * math.sin(n / 3)) for n in range(int(rate * seconds)))
    return make_wav(array("h", wave).tobytes(), rate)


def loudness(wav: bytes) -> float:
    """Root mean square over full scale."""
    samples = array("h", read_wav(wav)[0])
    return math.sqrt(sum(n * n for n in samples) / len(samples)) / 32768


class FakeEngine:
    """Gives a tone, or fails; counts what it was asked."""

    name = "fake"

    def __init__(self, *, fails: bool = False) -> None:
        self.asked: list[str] = []
        self.fails = fails
        self.is_stopped = False

    def render(self, sentence: str, pace: float) -> bytes:
        del pace
        self.asked.append(sentence)
        if self.fails:
            raise EngineFailed("broken")
        return tone()

    def stop(self) -> None:
        self.is_stopped = True


class FakePlaying:
    """Sounds until it is let end."""

    def __init__(self) -> None:
        self.end, self.was_cut, self.fails = threading.Event(), False, False

    def has_ended(self) -> bool:
        return self.end.is_set()

    def has_failed(self) -> bool:
        return self.fails

    def stop(self) -> None:
        self.was_cut = not self.end.is_set()
        self.end.set()


class FakePlayer:
    """Writes down what is played."""

    def __init__(self, *, is_deaf: bool = False) -> None:
        self.is_deaf = is_deaf
        self.played: list[FakePlaying] = []
        self.begun = threading.Semaphore(0)

    def play(self, file: Path) -> Playing | None:
        assert file.is_file()
        if self.is_deaf:
            return None
        self.played.append(FakePlaying())
        self.begun.release()
        return self.played[-1]


@pytest.fixture(scope="module")
def child() -> Any:
    """The extra's engine."""
    engine = ChildEngine(CHILD)
    yield engine
    engine.stop()
    assert not engine.is_running


def test_the_extra_speaks_a_sentence_of_plausible_length_and_loudness(child: ChildEngine) -> None:
    wav = child.render(SENTENCE, NORMAL)
    assert read_wav(wav)[1] == 24_000
    assert 1.5 < seconds_of(wav) < 5
    assert 0.03 < loudness(wav) < 0.5
    assert seconds_of(child.render(SENTENCE, 0.7)) > 1.15 * seconds_of(wav)
    assert child.render(SENTENCE, NORMAL) == wav  # the same words, the same sound


def test_a_recogniser_reads_back_what_the_extra_says(child: ChildEngine) -> None:
    """All but one of a fixed sample of 32; fifteen and fifty are what it mixes up."""
    dice = random.Random(3)
    said = [say_inches(SIXTY_FOURTH.times(dice.randint(1, 30 * 64))) for _ in range(12)]
    said += [say_mm(Length.mm(f"{dice.randint(10, 9999) / 10}")) for _ in range(10)]
    said += [say_angle(Angle.degrees(text)) for text in ("7.5", "22.5", "45", "4.8")]
    said += [say_span(dice.randint(5, 7000)) for _ in range(6)]
    wrong = {}
    for words in said:
        frames, rate = read_wav(child.render(f"{words.capitalize()}.", NORMAL))
        heard = hear_number(frames, rate)
        if not is_same_number(words, heard):
            wrong[words] = heard
    assert len(wrong) <= 1, wrong


def test_a_voice_whose_process_dies_or_hangs_fails_and_comes_back() -> None:
    for script in ("import sys; sys.exit(3)", "print(0)", "print('no number')"):
        broken = ChildEngine([sys.executable, "-c", script])
        with pytest.raises(EngineFailed):
            broken.render(SENTENCE, NORMAL)
        assert not broken.is_running
    with pytest.raises(EngineFailed):
        ChildEngine(["/nowhere/python"]).render(SENTENCE, NORMAL)
    engine = ChildEngine(CHILD, idle_s=0.05)
    assert engine.render("Left.", NORMAL)
    until = time.monotonic() + 10
    while engine.is_running and time.monotonic() < until:
        time.sleep(0.02)
    assert not engine.is_running  # nobody asked for a while
    assert engine.render("Right.", NORMAL)
    engine.stop()


def fake_program(folder: Path, body: str) -> str:
    """A program that stands in for the system's."""
    file = folder / "espeak-ng"
    file.write_text(f"#!{sys.executable}\n{body}", encoding="utf-8")
    file.chmod(0o755)
    return str(file)


def test_the_system_s_program_is_asked_by_standard_input_alone(tmp_path: Path) -> None:
    (tmp_path / "tone.wav").write_bytes(tone())
    body = (
        "import sys\n"
        f"open({str(tmp_path / 'words')!r}, 'w').write(' '.join(sys.argv[1:]) + sys.stdin.read())\n"
        f"sys.stdout.buffer.write(open({str(tmp_path / 'tone.wav')!r}, 'rb').read())\n"
    )
    engine = CommandEngine(fake_program(tmp_path, body))
    assert read_wav(engine.render("--help; left.", NORMAL)) == read_wav(tone())
    words = (tmp_path / "words").read_text()
    assert words.endswith("--stdin --stdout--help; left.")
    silent = CommandEngine(fake_program(tmp_path, "print('no sound')\n"))
    with pytest.raises(EngineFailed):
        silent.render("Left.", NORMAL)


def test_engines_are_found_the_better_one_first() -> None:
    def names(has: bool, path: str | None) -> list[str]:
        return [type(e).__name__ for e in find_engines(lambda _: has, lambda _: path)]

    assert names(True, "/usr/bin/espeak-ng") == ["ChildEngine", "CommandEngine"]
    assert names(False, "/usr/bin/espeak-ng") == ["CommandEngine"]
    assert names(False, None) == []


def test_a_broken_engine_gives_way_to_the_next_and_a_sentence_is_made_once(tmp_path: Path) -> None:
    broken, good = FakeEngine(fails=True), FakeEngine()
    voice = Voice([broken, good], SpeechCache(tmp_path))
    for _ in range(2):
        file = voice.clip("Left.")
        assert file is not None
        assert seconds_of(file.read_bytes()) == pytest.approx(0.2)
    assert (broken.asked, good.asked) == (["Left."], ["Left."])
    assert broken.is_stopped
    other_day = Voice([good], SpeechCache(tmp_path))
    assert other_day.clip("Left.") == file
    assert good.asked == ["Left."]
    assert Voice([FakeEngine(fails=True)], SpeechCache(tmp_path / "no")).clip("Left.") is None


def test_what_was_not_used_for_longest_goes_and_a_closed_folder_is_no_error(tmp_path: Path) -> None:
    cache = SpeechCache(tmp_path, most_bytes=2 * len(tone()))
    for place, name in enumerate(("one", "two", "three")):
        file = cache.keep("fake", 1.0, name, tone())
        os.utime(file, (place, place))
    cache.trim()
    assert cache.find("fake", 1.0, "one") is None
    assert cache.find("fake", 1.0, "three") is not None
    blocked = tmp_path / "file"
    blocked.write_text("no folder")
    cache = SpeechCache(blocked)
    elsewhere = cache.keep("fake", 1.0, "one", tone())
    assert elsewhere.read_bytes() == tone()
    cache.close()
    assert not elsewhere.exists()


def test_sentences_are_joined_with_pauses_up_to_a_bound() -> None:
    both = join_wavs([tone(), tone(rate=16000), tone()], 10_000_000)
    assert seconds_of(both) == pytest.approx(2 * 0.38, abs=0.01)  # another rate is left out
    assert seconds_of(join_wavs([tone(1.0)] * 30, 50_000)) < 3.2
    assert join_wavs([], 1000) == b""
    for bad in (b"", b"RIFF", b"x" * 100, make_wav(b"", 8000)):
        with pytest.raises(BadWav):
            tidy_wav(bad)


def speaker_with(
    folder: Path, *, is_deaf: bool = False, engines: bool = True
) -> tuple[Speaker, FakePlayer]:
    """A queue with a player in memory."""
    player = FakePlayer(is_deaf=is_deaf)
    voice = Voice([FakeEngine()] if engines else [], SpeechCache(folder))
    return Speaker(voice, player), player


def wait_begun(player: FakePlayer) -> FakePlaying:
    """The next thing that is played."""
    assert player.begun.acquire(timeout=10)
    return player.played[-1]


def test_a_new_card_drops_the_old_one_and_an_alarm_cuts_in(tmp_path: Path) -> None:
    speaker, player = speaker_with(tmp_path)
    speaker.say(["Old one.", "Old two."])
    old = wait_begun(player)
    speaker.say(["New one.", "New two."])
    new = wait_begun(player)
    assert old.was_cut
    speaker.say_alarm(["Close now."])
    alarm = wait_begun(player)
    assert new.was_cut
    speaker.say(["Card behind the alarm."])
    speaker.say_alarm(["Second alarm."])
    assert not alarm.has_ended()  # an alarm is said to its end
    alarm.end.set()
    second = wait_begun(player)
    second.end.set()
    last = wait_begun(player)
    assert not second.was_cut
    speaker.hush()
    assert last.end.wait(10)
    speaker.say(["Said.", "To its end."])
    for _ in range(2):
        wait_begun(player).end.set()
    assert len(player.played) == 7
    speaker.say(["Cut by leaving."])
    wait_begun(player)
    speaker.stop()
    assert player.played[-1].end.wait(10)


def wait_trouble(speaker: Speaker) -> str:
    """What the queue complains of."""
    until = time.monotonic() + 10
    while time.monotonic() < until:
        if trouble := speaker.take_trouble():
            return trouble
        time.sleep(0.01)
    return ""


def test_without_sound_or_engine_it_is_told_once(tmp_path: Path) -> None:
    deaf, _ = speaker_with(tmp_path, is_deaf=True)
    deaf.say(["Left."])
    assert wait_trouble(deaf) == NO_SOUND
    deaf.say(["Right."])
    assert deaf.take_trouble() == ""
    mute, player = speaker_with(tmp_path, engines=False)
    mute.prepare(["Left."])
    assert "no voice is installed" in wait_trouble(mute)
    mute.say(["Left."])
    assert player.played == []
    deaf.stop()
    mute.stop()


def test_say_writes_a_wav_with_the_numbers_in_words(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "said.wav"
    assert run(["say", "Fence at 2 15/16 in. Left.", "--to", str(file)]) == 0
    assert 1.5 < seconds_of(file.read_bytes()) < 6
    assert loudness(file.read_bytes()) > 0.02
    slow = tmp_path / "slow.wav"
    assert run(["say", "Fence at 2 15/16 in. Left.", "--slow", "--to", str(slow)]) == 0
    assert seconds_of(slow.read_bytes()) > seconds_of(file.read_bytes())
    capsys.readouterr()
    for text, told in (("...", "has no word in it"), ("a" * 2001, "at most 2000")):
        assert run(["say", text]) == 2
        assert told in capsys.readouterr().err
    assert run(["say", "Left.", "--to", str(tmp_path)]) == 4
    assert "it is a folder; name a file in it" in capsys.readouterr().err


def test_say_without_an_engine_or_a_player_is_one_sentence(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("PATH", "")
    assert run(["say", "Left."]) == 4
    assert capsys.readouterr().err.count("\n") == 1
    monkeypatch.setattr("shopstep.wiring.speaking.find_engines", lambda: [])
    assert run(["say", "Left."]) == 4
    assert "no voice is installed" in capsys.readouterr().err


def test_any_text_is_cut_into_sentences_in_words() -> None:
    assert sentences_of("Rip to 2 3/4 in. 3 pieces?") == (
        "Rip to two and three quarters inches.", "three pieces?",
    )  # fmt: skip
    assert sentences_of(" .,;") == ()


def test_the_bench_that_speaks_loads_no_net() -> None:
    code = (
        "from shopstep.wiring.speaking import make_speaker\n"
        "import shopstep.tui.speaking, sys, resource\n"
        "speaker = make_speaker(); speaker.prepare(['Left.', 'Right.'])\n"
        "import time; time.sleep(0.2); speaker.stop()\n"
        "assert not {'numpy', 'onnxruntime', 'hibari', 'pydantic'} & set(sys.modules)\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


def player_with(folder: Path, body: str) -> WavPlayer:
    """The machine's player is a program of the test."""
    program = folder / "pw-play"
    program.write_text(f"#!{sys.executable}\n{body}", encoding="utf-8")
    program.chmod(0o755)
    return WavPlayer(lambda name: str(program) if name == "pw-play" else None, "linux")


def wait_end(playing: Playing | None) -> Playing:
    """What was begun, ended."""
    assert playing is not None
    until = time.monotonic() + 10
    while not playing.has_ended() and time.monotonic() < until:
        time.sleep(0.01)
    return playing


def test_the_machine_s_player_ends_fails_and_is_stopped(tmp_path: Path) -> None:
    told = tmp_path / "told"
    good = player_with(tmp_path, f"import sys; open({str(told)!r}, 'w').write(sys.argv[1])\n")
    assert not wait_end(good.play(tmp_path / "said.wav")).has_failed()
    assert told.read_text() == str(tmp_path / "said.wav")
    deaf = player_with(tmp_path, "import sys; sys.exit(1)\n")
    assert wait_end(deaf.play(tmp_path / "said.wav")).has_failed()
    endless = player_with(tmp_path, "import time; time.sleep(60)\n").play(tmp_path / "said.wav")
    assert endless is not None
    assert not endless.has_ended()
    endless.stop()
    assert endless.has_ended()
    assert WavPlayer(lambda _: None, "linux").play(tmp_path / "said.wav") is None
    assert WavPlayer(lambda _: "/nowhere/player", "linux").play(tmp_path / "said.wav") is None
