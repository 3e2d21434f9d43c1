"""The line of the ear on the bench screen at every size, and the screen that has none."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from shopstep.cli.main import run
from shopstep.model.plan import BuildFileError
from shopstep.storage.screen_settings import read_screen_settings
from shopstep.tui.app import BenchApp
from shopstep.tui.ear_line import EarSaid, ear_rows
from shopstep.tui.hearing import NOT_ENROLLED
from shopstep.tui.widgets.bar import Bar
from shopstep.voice.hear_news import (
    Ready,
    Trouble,
)
from tests.fake_bench import ALL_CARDS, GLUE, SIZES, STEP, FakeBench
from tests.fake_ears import PHRASES, QUIET, SHOUT, FakeEars, sight_that_hears, tell
from tests.heard_screen import kinds, line
from tests.test_tui_layouts import STEPWISE, assert_fits_a_glove

# What stands on the screen


@pytest.mark.parametrize("way", ["push", "armed"])
async def test_every_card_fits_with_the_line_of_the_ear(way: str) -> None:
    ears = FakeEars()
    async with sight_that_hears(FakeBench(STEP), ears, way) as sight:
        for size in STEPWISE:
            await sight.pilot.resize_terminal(*size)
            for number, card in enumerate(ALL_CARDS.values(), start=100):
                await sight.show(replace(card, version=number))
                assert_fits_a_glove(sight, size)
                bar = sight.screen.query_one("#ear", Bar)
                assert bar.region.height == len(bar.rows) == (2 if size[1] >= 28 else 1)
                assert way in line(sight)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("loud", [False, True])
def test_the_line_has_way_meter_and_words_at_every_size(size: tuple[int, int], loud: bool) -> None:
    news = ("heard: mark it done; to undo: go back one step", "heard: mark it done", "mark it")
    for way, left_s in (("push", 0.0), ("armed", 4.0), ("open", 6.0), ("open", 0.0)):
        said = EarSaid(
            way, "t", True, left_s=left_s, level_db=-40, is_too_loud=loud, news=news,
            sayings=("mark it done",),
        )  # fmt: skip
        rows = ear_rows(said, *size, 1)
        text = rows[0].text
        assert all(row.width <= size[0] for row in rows)
        assert way in text
        assert "[#" in text
        assert way != "open" or not left_s or size[0] < 48 or "ALWAYS" in text
        assert ("too loud" in text) == loud
        assert loud or "heard: mark it done" in text


def test_the_meter_grows_with_the_level() -> None:
    full = [
        ear_rows(EarSaid("push", "t", True, level_db=db), 80, 24, 2)[0].text.count("#")
        for db in (-90, -66, -40, -16, 0)
    ]
    assert full == [0, 0, 6, 12, 12]


async def test_beside_a_machine_it_says_that_it_cannot_hear_and_takes_taps() -> None:
    ears, bench = FakeEars(), FakeBench(STEP)
    async with sight_that_hears(bench, ears) as sight:
        await tell(sight, ears, SHOUT)
        assert "cannot hear: too loud, tap instead" in line(sight)
        await sight.press("d")
        await tell(sight, ears, QUIET)
        assert "too loud" not in line(sight)
    assert kinds(bench) == ["FinishStep"]


async def test_pages_over_the_bench_show_the_line_where_there_is_room() -> None:
    for height, is_there in ((24, True), (16, False)):
        ears = FakeEars()
        async with sight_that_hears(FakeBench(GLUE), ears, size=(80, height)) as sight:
            await sight.press("w")
            assert ("push: " in sight.words()) == is_there


# Without it


async def test_what_is_missing_is_said_once_and_all_else_works() -> None:
    why = "There is no microphone on this machine; everything else works without it."
    ears, bench = FakeEars(Trouble(why)), FakeBench(STEP)
    async with sight_that_hears(bench, ears) as sight:
        assert why in sight.words()
        assert "voice off" in line(sight)
        await sight.press("d")
        await sight.press("t")
        assert why not in sight.words()
        assert ears.orders == []
    assert kinds(bench) == ["FinishStep"]


async def test_who_has_not_enrolled_is_told_once() -> None:
    ears = FakeEars(Ready(tuple(PHRASES.items()), False))
    async with sight_that_hears(FakeBench(STEP), ears) as sight:
        assert sight.screen.hand.told == NOT_ENROLLED
        await sight.press("d")
        await tell(sight, ears)
        assert sight.screen.hand.told == ""


async def test_a_screen_that_does_not_listen_has_no_line_and_says_how() -> None:
    app = BenchApp(FakeBench(STEP))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert not app.screen.query_one("#ear").display
        app.simulate_key("t")
        await pilot.pause(0.5)
        assert "--listen" in app.hand.told


def test_settings_say_which_way_and_a_wrong_word_has_its_line(tmp_path: Path) -> None:
    file = tmp_path / "settings.toml"
    for way in ("off", "push", "armed", "open"):
        file.write_text(f'[voice]\nlisten = "{way}"\n', encoding="utf-8")
        assert read_screen_settings(file).listens == way
    file.write_text('[voice]\nlisten = "always"\n', encoding="utf-8")
    with pytest.raises(BuildFileError) as caught:
        read_screen_settings(file)
    assert "'listen' is one of off, push, armed, open, not 'always'" in str(caught.value)
    assert caught.value.where.line == 2


def test_lines_do_not_listen_and_say_what_does(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["start", "screened-floor", "--temperature", "18 C", "--plain", "--listen"]) == 0
    assert "shopstep voice follow" in capsys.readouterr().err
