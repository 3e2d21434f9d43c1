"""The screen and the real recogniser in its process: synthetic speech moves a real session."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np

from shopstep.present.card import CardMode
from shopstep.storage.clock import FixedClock
from shopstep.tui.app import BenchApp
from shopstep.tui.widgets.bar import Bar
from shopstep.voice.hear_audio import write_wav
from shopstep.voice.hear_cautions import open_cautions
from shopstep.wiring.listening import HAS_ENDED, ChildEars
from shopstep.workbench import Workbench
from tests.ear_from_wavs import FILE
from tests.fake_bench import STEP, FakeBench, StillClock
from tests.floor import BEGIN_S, floor_plan
from tests.session_bench import MemoryJournal
from tests.shop_sounds import in_shop, speak
from tests.tui_pilot import Sight

LONGEST_S, LOOK_S = 60.0, 0.05
TRIES = 4
"""How often a phrase that was refused is said again."""


async def wait_for(sight: Sight, is_there: Callable[[], bool]) -> None:
    """Until something is so; the machine may have other work."""
    for _ in range(round(LONGEST_S / LOOK_S)):
        if is_there():
            return
        await sight.pilot.pause(LOOK_S)
    raise AssertionError(sight.words())


def line(sight: Sight) -> str:
    """The first row of the ear."""
    return sight.screen.query_one("#ear", Bar).rows[0].text


async def say(sight: Sight, folder: Path, words: str) -> None:
    """Press the key and say it, again where it was refused."""
    for number in range(TRIES):
        await sight.press("t")
        await wait_for(sight, lambda: "LISTENING" in line(sight))
        speech = speak(words, "en-us+m3", 150 + 8 * number, 46 + 3 * number)
        sound = in_shop(speech, "clean", 0, np.random.default_rng(number))
        write_wav(folder / "new.wav", sound)
        (folder / "new.wav").rename(folder / FILE)
        await wait_for(sight, lambda: "heard:" in line(sight) or "not taken" in line(sight))
        if "heard:" in line(sight):
            return
    raise AssertionError(f"{words}: {line(sight)}")


async def test_three_steps_are_done_by_speech_and_one_is_taken_back(tmp_path: Path) -> None:
    clock = FixedClock(BEGIN_S)
    bench = Workbench(MemoryJournal(floor_plan(units=1)), clock, "bench")
    ears = ChildEars((sys.executable, "-m", "tests.ear_from_wavs", str(tmp_path)))
    still = StillClock()
    app = BenchApp(bench, monotonic=still, ears=ears)
    try:
        async with app.run_test(size=(120, 40)) as pilot:
            sight = Sight(app, pilot, still)
            await wait_for(sight, lambda: "tap here to talk" in line(sight))
            done: list[str] = []
            while len(done) < 3:
                clock.at_s += 60
                card = sight.screen.card
                if card.mode is CardMode.CAUTION:
                    for sentence in open_cautions(card).values():
                        await say(sight, tmp_path, sentence)
                else:
                    done.append(card.step_id)
                    await say(sight, tmp_path, "mark it done")
            assert list(bench.state.finished) == done
            await say(sight, tmp_path, "go back one step")
            assert list(bench.state.finished) == done[:2]
            assert sight.screen.card.step_id == done[2]
    finally:
        ears.stop()


async def test_always_open_a_step_is_done_without_a_key_and_talk_does_nothing(
    tmp_path: Path,
) -> None:
    bench, still = FakeBench(STEP), StillClock()
    command = (sys.executable, "-m", "tests.ear_from_wavs", str(tmp_path))
    ears = ChildEars(command, is_always_open=True)
    app = BenchApp(bench, monotonic=still, ears=ears, listens="open")
    try:
        async with app.run_test(size=(120, 40)) as pilot:
            sight = Sight(app, pilot, still)
            await wait_for(sight, lambda: "ALWAYS LISTENING" in line(sight))
            for words, told in (
                ("the dog wants to go out again", "not taken"),
                ("mark it done", "heard: mark it done"),
            ):
                sound = in_shop(speak(words, "en-us+m3"), "clean", 0, np.random.default_rng(7))
                write_wav(tmp_path / "new.wav", sound)
                (tmp_path / "new.wav").rename(tmp_path / FILE)
                await wait_for(sight, lambda: told in line(sight))  # noqa: B023
    finally:
        ears.stop()
    assert [type(command).__name__ for command in bench.commands] == ["FinishStep"]


async def test_an_ear_that_crashes_or_cannot_start_is_one_sentence_and_taps_go_on() -> None:
    for command, words in (
        ((sys.executable, "-c", "raise SystemExit(3)"), HAS_ENDED),
        ((sys.executable, "-c", "print('nonsense')"), HAS_ENDED),
        (("/nowhere/at/all",), "Hearing cannot be started"),
    ):
        bench, ears = FakeBench(STEP), ChildEars(command)
        clock = StillClock()
        app = BenchApp(bench, monotonic=clock, ears=ears)
        async with app.run_test(size=(120, 40)) as pilot:
            sight = Sight(app, pilot, clock)
            await wait_for(sight, lambda: "voice off" in line(sight))  # noqa: B023
            assert words in sight.words()
            await sight.press("d")
        ears.stop()
        assert [type(command).__name__ for command in bench.commands] == ["FinishStep"]
