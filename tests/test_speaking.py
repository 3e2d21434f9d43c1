"""What the bench screen says, and when it is silent."""

from __future__ import annotations

from collections.abc import AsyncIterator, Iterable, Sequence
from contextlib import asynccontextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path

import pytest

from shopstep.cli.main import run
from shopstep.present.card import CardTimer
from shopstep.present.face import Bench
from shopstep.present.said import card_sentences, number_sentences
from shopstep.tui.app import BenchApp
from tests.fake_bench import CAUTION, NOW_S, STEP, FakeBench, StillClock
from tests.tui_pilot import Sight

HAND_STEP = replace(STEP, step_id="u1/glue/dry_fit", headline="Dry fit the left rail", version=8)


@dataclass
class FakeSpeech:
    """Writes down what it is to say."""

    said: list[tuple[tuple[str, ...], float]] = field(default_factory=list)
    alarms: list[tuple[str, ...]] = field(default_factory=list)
    ahead: list[str] = field(default_factory=list)
    trouble: str = ""
    is_stopped: bool = False
    is_talking: bool = False

    def say(self, sentences: Sequence[str], pace: float = 0.9) -> None:
        self.said.append((tuple(sentences), pace))

    def say_alarm(self, sentences: Sequence[str], after_s: float = 0.0) -> None:
        del after_s
        self.alarms.append(tuple(sentences))

    def prepare(self, sentences: Iterable[str]) -> None:
        self.ahead = list(sentences)

    def take_trouble(self) -> str:
        trouble, self.trouble = self.trouble, ""
        return trouble

    def stop(self) -> None:
        self.is_stopped = True


@asynccontextmanager
async def sight_with(
    speech: FakeSpeech | None, bench: Bench, *, at_machines: bool = False
) -> AsyncIterator[Sight]:
    """The bench that speaks."""
    clock = StillClock()
    app = BenchApp(bench, monotonic=clock, speech=speech, rings_at_machines=at_machines)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        yield Sight(app, pilot, clock)


async def test_a_card_is_said_once_as_it_opens_and_again_by_a_key() -> None:
    speech = FakeSpeech()
    async with sight_with(speech, FakeBench(HAND_STEP)) as sight:
        assert speech.said == [(card_sentences(HAND_STEP), 0.9)]
        assert "Left rail." in speech.said[0][0]
        assert speech.ahead  # the steps that are left are made ready
        await sight.press("g", "g", "g")
        whole, slower, numbers = speech.said[1:]
        assert whole == (card_sentences(HAND_STEP), 0.9)
        assert slower == (card_sentences(HAND_STEP), 0.7)
        assert numbers == (number_sentences(HAND_STEP), 0.7)
        await sight.show(replace(HAND_STEP, version=9, done_count=7))
        assert len(speech.said) == 4  # the same step: no chatter


async def test_at_a_machine_only_the_caution_is_said_unless_sound_is_chosen() -> None:
    for chosen in (False, True):
        speech = FakeSpeech()
        async with sight_with(speech, FakeBench(CAUTION), at_machines=chosen) as sight:
            assert speech.said[0][0][0].startswith("Warning: The blade")
            await sight.show(replace(STEP, version=8))
            assert speech.said[1:] == [(card_sentences(STEP) if chosen else (), 0.9)]


async def test_an_alarm_is_said_as_the_limit_passes() -> None:
    speech, bench = FakeSpeech(), FakeBench(HAND_STEP)
    timer = CardTimer("back glue, unit 1", "open", NOW_S - 100, NOW_S + 200, True, "u1/x")
    bench.shown = replace(HAND_STEP, timers=(timer,))
    async with sight_with(speech, bench) as sight:
        assert speech.alarms == []
        bench.time_s = NOW_S + 145
        sight.screen.tick()
        assert speech.alarms[0][:2] == ("Close now.", "Back glue, unit one.")


async def test_why_nothing_is_heard_is_told_once_and_the_rest_works() -> None:
    speech = FakeSpeech()
    async with sight_with(speech, FakeBench(HAND_STEP)) as sight:
        speech.trouble = "Nothing can be spoken here."
        sight.screen.tick()
        assert "Nothing can be spoken here." in sight.words()
        await sight.press("d")
        assert len(sight.app.hand.bench.commands) == 1  # type: ignore[attr-defined]


async def test_without_voice_the_key_says_how_to_switch_it_on() -> None:
    async with sight_with(None, FakeBench(HAND_STEP)) as sight:
        await sight.press("g")
        assert "--speak" in sight.app.hand.told


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('[voice]\nspeak = "yes"\n', "'speak' is true or false, not 'yes'"),
        ("[voice]\nspaek = true\n", "'spaek' is not known in [voice]; did you mean 'speak'?"),
    ],
)
def test_a_wrong_word_in_the_settings_is_told_with_its_line(
    text: str, told: str, tmp_path: Path
) -> None:
    from shopstep.model.plan import BuildFileError
    from shopstep.storage.screen_settings import read_screen_settings

    file = tmp_path / "settings.toml"
    file.write_text("[voice]\nspeak = true\n", encoding="utf-8")
    assert read_screen_settings(file).speaks
    file.write_text(text, encoding="utf-8")
    with pytest.raises(BuildFileError) as caught:
        read_screen_settings(file)
    assert told in str(caught.value)
    assert caught.value.where.line == 2


def test_lines_do_not_speak_and_say_so(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["start", "screened-floor", "--temperature", "18 C", "--speak", "--plain"]) == 0
    assert "Only the bench screen speaks" in capsys.readouterr().err
