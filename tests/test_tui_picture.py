"""The picture of the step on the bench screen: beside the words, never in their place."""

from __future__ import annotations

import asyncio
import subprocess
import sys
import threading
import time
from dataclasses import replace
from datetime import UTC, datetime
from itertools import product
from pathlib import Path

import pytest

from shopstep.cli.main import run
from shopstep.present.card import CardMode, StepCard
from shopstep.present.picture_cells import LEAST_COLUMNS, LEAST_ROWS
from shopstep.present.step_picture import NO_PICTURE
from shopstep.storage.clock import FixedClock
from shopstep.tui.app import BenchApp
from shopstep.tui.key_map import read_keys
from shopstep.tui.lines import EMPTY, Line, Span
from shopstep.tui.picture_spot import LEAST_ROOMS, Spot, find_spot, lay_in
from shopstep.tui.screens.picture_page import BEING_DRAWN, TOO_SMALL
from shopstep.tui.theme import Role
from shopstep.wiring.pictures import picture_of
from shopstep.wiring.picturing import ChildPictures, step_lines
from tests.fake_bench import (
    ALL_CARDS,
    CAUTION,
    FULL_CELL,
    GLUE,
    SIZES,
    STEP,
    FakeBench,
    FakePictures,
    StillClock,
)
from tests.floor import BEGIN_S, floor_plan
from tests.test_tui_workbench import go_on
from tests.test_whole_way_screen import open_bench
from tests.tui_pilot import Sight, sight_of

STEPWISE = [*product((40, 59, 80, 100, 120, 160, 200), (15, 16, 24, 40, 60))]
LARGE = (160, 50)
CRASHING = (sys.executable, "-c", "raise SystemExit(3)")
NONSENSE = (sys.executable, "-c", "print('no picture')")
HANGING = (sys.executable, "-c", "import time; time.sleep(600)")


def shows_picture(sight: Sight) -> bool:
    """Whether cells of the fake picture are in sight."""
    return FULL_CELL in sight.text()


def all_rows(sight: Sight) -> list[str]:
    """Every row of the frame from top to foot, and the buttons with their places."""
    frame = sight.screen.frame
    assert frame is not None
    parts = (frame.top, frame.alarm, frame.body, frame.band, frame.notice)
    return [row.text for part in parts for row in part]


def words_kept(before: list[str], after: list[str]) -> bool:
    """Whether every character that showed something still stands where it stood."""
    pad = [*before, *[""] * (len(after) - len(before))]
    return len(after) >= len(before) and all(
        all(old == " " or new == old for old, new in zip(row, shown.ljust(len(row)), strict=False))
        for row, shown in zip(pad, after, strict=True)
    )


async def test_nothing_moves_or_goes_when_the_picture_comes_on_any_card_and_size() -> None:
    pictures = FakePictures(is_ready=False)
    pictured = set()
    async with sight_of(FakeBench(STEP), pictures=pictures) as sight:
        number = 100
        for size in STEPWISE:
            await sight.pilot.resize_terminal(*size)
            for name, card in ALL_CARDS.items():
                number += 1
                pictures.is_ready = False
                await sight.show(replace(card, version=number))
                frame = sight.screen.frame
                before = all_rows(sight)
                pictures.is_ready = True
                sight.screen.look_for_picture()
                after = sight.screen.frame
                assert frame is not None
                assert after is not None
                assert words_kept(before[: len(frame.top)], all_rows(sight)[: len(frame.top)])
                assert words_kept(
                    [row.text for row in frame.body], [row.text for row in after.body]
                ), (name, size)
                assert len(after.body) <= after.body_height
                assert replace(after, body=frame.body) == frame
                if frame.body != after.body:
                    pictured.add((name, size))
                    assert all(row.width <= size[0] for row in after.body)
                    assert card.mode is CardMode.STEP
    assert ("step", (200, 60)) in pictured
    assert ("step", (160, 40)) in pictured
    assert not {size for _, size in pictured if size[0] < 100 and size[1] < 40}


async def test_the_picture_is_asked_for_after_the_words_are_in_sight_and_comes_by_itself() -> None:
    pictures = FakePictures(is_ready=False)
    async with sight_of(FakeBench(STEP), LARGE, pictures=pictures) as sight:
        assert not shows_picture(sight)
        assert "Rip" in sight.screen.card.headline
        pictures.is_ready = True
        sight.screen.poll()
        await sight.pilot.pause()
        assert shows_picture(sight)
        asked = len(pictures.asked)
        for _ in range(3):
            sight.screen.poll()
            sight.screen.tick()
        assert len(pictures.asked) == asked
    columns, rows = pictures.asked[-1][1:]
    assert any(columns >= least and rows >= low for least, low in LEAST_ROOMS)


async def test_a_step_without_a_picture_is_asked_about_once() -> None:
    pictures = FakePictures()
    pictures.has_any = False
    async with sight_of(FakeBench(STEP), LARGE, pictures=pictures) as sight:
        for _ in range(3):
            sight.screen.poll()
        assert len(pictures.asked) == 1
        assert not shows_picture(sight)


@pytest.mark.parametrize("name", ["caution", "long_caution", "waiting", "held", "complete"])
async def test_only_a_step_shows_its_picture(name: str) -> None:
    pictures = FakePictures()
    async with sight_of(FakeBench(ALL_CARDS[name]), (200, 60), pictures=pictures) as sight:
        sight.screen.poll()
        await sight.pilot.pause()
        assert pictures.asked == []
        assert not shows_picture(sight)


async def test_the_distance_view_shows_none_and_the_near_view_shows_it_again() -> None:
    async with sight_of(FakeBench(STEP), LARGE, pictures=FakePictures()) as sight:
        await sight.pilot.pause()
        assert shows_picture(sight)
        await sight.press("v")
        assert not shows_picture(sight)
        await sight.press("v")
        assert shows_picture(sight)


@pytest.mark.parametrize("card", [STEP, GLUE, CAUTION], ids=["step", "glue", "caution"])
@pytest.mark.parametrize("size", SIZES)
async def test_the_page_has_the_picture_whole_and_as_large_as_there_is_room(
    card: StepCard, size: tuple[int, int]
) -> None:
    async with sight_of(FakeBench(card), size, pictures=FakePictures()) as sight:
        await sight.press("p")
        await sight.pilot.pause()
        page = sight.open_page()
        assert page is not None
        rows = page.query_one("#words").rows  # type: ignore[attr-defined]
        drawn = [row.text.count(FULL_CELL) for row in rows if FULL_CELL in row.text]
        assert len(set(drawn)) == 1
        assert drawn[0] >= size[0] - 4
        buttons = sight.buttons()
        clock = len(page.query_one("#clock").rows)  # type: ignore[attr-defined]
        title = 2 if size[1] >= 24 else 0
        assert len(drawn) == buttons["back_to_step"].region.y - clock - title
        await sight.press("2")
        assert sight.open_page() is None


async def test_the_page_says_that_it_is_being_drawn_and_that_there_is_none() -> None:
    pictures = FakePictures(is_ready=False)
    async with sight_of(FakeBench(STEP), pictures=pictures) as sight:
        await sight.press("p")
        assert BEING_DRAWN in sight.words()
        pictures.is_ready, pictures.has_any = True, False
        await asyncio.sleep(0.3)
        await sight.pilot.pause()
        assert NO_PICTURE in sight.words()
        await sight.press("p")
        assert sight.open_page() is None


async def test_the_page_says_it_too_where_nothing_is_drawn_or_no_step_is_at_the_bench() -> None:
    async with sight_of(FakeBench(STEP)) as sight:
        await sight.press("p")
        assert NO_PICTURE in sight.words()
    async with sight_of(FakeBench(ALL_CARDS["complete"]), pictures=FakePictures()) as sight:
        await sight.press("p")
        assert NO_PICTURE in sight.words()


async def test_a_screen_without_room_for_dots_says_so() -> None:
    async with sight_of(FakeBench(STEP), (38, 10), pictures=FakePictures()) as sight:
        await sight.press("p")
        assert TOO_SMALL.format(columns=LEAST_COLUMNS, rows=LEAST_ROWS) in sight.words()


async def test_more_and_help_have_the_picture_and_its_key_can_be_another() -> None:
    async with sight_of(FakeBench(STEP), (200, 60), pictures=FakePictures()) as sight:
        await sight.press("question_mark")
        assert "p: Picture." in sight.words()
        await sight.press("b", "m")
        await sight.tap("do picture")
        assert shows_picture(sight)
    app = BenchApp(
        FakeBench(STEP), monotonic=(clock := StillClock()),
        key_map=read_keys({"picture": "f5"}), pictures=FakePictures(),
    )  # fmt: skip
    async with app.run_test(size=(80, 24)) as pilot:
        sight = Sight(app, pilot, clock)
        await sight.press("p")
        assert sight.open_page() is None
        await sight.press("f5")
        assert shows_picture(sight)


def test_a_spot_keeps_apart_from_words_on_every_side() -> None:
    words = Line((Span(" " * 2), Span("x" * 50)))
    body = (*[words] * 3, *[EMPTY] * 20, words)
    spot = find_spot(body, 100, 24, 2)
    assert spot == Spot(2, 4, 96, 18)
    beside = find_spot(tuple([words] * 24), 100, 24, 2)
    assert beside == Spot(55, 0, 43, 24)
    assert find_spot(tuple([words] * 24), 94, 24, 2) is None
    filled = Line((Span("x", Role.CHIP),), Role.CHIP)
    assert find_spot((EMPTY, filled) * 12, 100, 24, 2) is None
    laid = lay_in(body, Spot(55, 0, 43, 24), ("ab", "", "cd"))
    assert [row.text for row in laid[:3]] == [
        words.text + "   ab", words.text, words.text + "   cd"
    ]  # fmt: skip


async def wait_for(pictures: ChildPictures, kind_id: str) -> tuple[str, ...]:
    """The answer to one question, however long it takes."""
    end = time.monotonic() + 60
    while time.monotonic() < end:
        cells = pictures.cells(floor_plan(), kind_id, 60, 20)
        if cells is not None:
            return cells
        await asyncio.sleep(0.02)
    raise AssertionError("no answer in a minute")


async def test_a_process_draws_the_same_picture_and_asking_never_waits() -> None:
    pictures = ChildPictures()
    plan = floor_plan()
    before = time.monotonic()
    assert pictures.cells(plan, "groove/side_rail", 60, 20) is None
    assert time.monotonic() - before < 0.5
    both_hands = await wait_for(pictures, "groove/side_rail")
    assert both_hands == picture_of(plan, "groove/side_rail", 60, 20)
    assert await wait_for(pictures, "jig/spacers") == ()
    assert pictures.cells(plan, "groove/side_rail", 80, 24) == picture_of(
        plan, "groove/side_rail", 80, 24
    )
    drawing = pictures.drawing(plan, "groove/side_rail")
    assert drawing is not None, "the same one, for the tablet's page"
    assert drawing[0].startswith("<svg")
    assert "left side rail" in drawing[1]
    assert pictures.drawing(plan, "jig/spacers") == ("", "")
    pictures.stop()


@pytest.mark.parametrize("command", [CRASHING, NONSENSE, ("/no/such/program",)])
async def test_a_drawing_that_fails_is_no_picture_and_nothing_else(
    command: tuple[str, ...],
) -> None:
    assert await wait_for(ChildPictures(command), "glue/close_right") == ()


async def test_a_drawing_that_hangs_is_ended_at_its_time_and_on_stop() -> None:
    assert await wait_for(ChildPictures(HANGING, 0.5), "glue/close_right") == ()
    pictures = ChildPictures(HANGING)
    assert pictures.cells(floor_plan(), "glue/close_right", 60, 20) is None
    (drawing,) = [each for each in threading.enumerate() if each.name == "picture"]
    await asyncio.sleep(0.3)
    pictures.stop()
    await asyncio.to_thread(drawing.join, 10)
    assert not drawing.is_alive()


def now(at_s: int) -> str:
    """A moment as ``--now`` takes it."""
    return datetime.fromtimestamp(at_s, UTC).isoformat()


async def test_the_real_bench_and_one_command_show_the_real_picture(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    clock, pictures = FixedClock(BEGIN_S), ChildPictures()
    bench = open_bench(tmp_path / "one.session", clock, 1)
    async with sight_of(bench, size=(160, 50), pictures=pictures) as sight:
        while sight.screen.card.step_id != "all/groove/side_rail" or (
            sight.screen.card.mode is not CardMode.STEP
        ):
            await go_on(sight, clock, "letters")
        for _ in range(600):
            await asyncio.sleep(0.05)
            sight.screen.poll()
            if not sight.screen.picture.is_owed:
                break
        frame = sight.screen.frame
        assert frame is not None
        spot = next(s for s in [sight.screen.picture.spot] if s is not None)
        expected = picture_of(bench.plan, "groove/side_rail", spot.columns, spot.rows)
        shown = [row.text[spot.x :] for row in frame.body[spot.y : spot.y + len(expected)]]
        assert shown == list(expected)
        assert "".join(expected).count("front") >= 1
    pictures.stop()
    assert run(["do", str(tmp_path / "one.session"), "picture", "--now", now(clock.at_s)]) == 0
    printed = picture_of(bench.plan, "groove/side_rail", 78, 24)
    assert capsys.readouterr().out.split("\n")[:-1] == list(printed)


def test_the_screen_with_its_pictures_loads_no_solids() -> None:
    """Drawn in a process of its own: the screen's process has neither numpy nor manifold3d."""
    code = (
        "import sys, time\n"
        "from tests.floor import floor_plan\n"
        "import shopstep.tui.app\n"
        "from shopstep.wiring.screens import make_pictures\n"
        "pictures, plan = make_pictures(), floor_plan()\n"
        "while (cells := pictures.cells(plan, 'glue/close_right', 60, 20)) is None:\n"
        "    time.sleep(0.05)\n"
        "print(len(cells), 'manifold3d' in sys.modules, 'numpy' in sys.modules)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True,
        cwd=Path(__file__).parent.parent, timeout=60,
    )  # fmt: skip
    assert done.stdout.split() == ["20", "False", "False"]


def test_one_command_says_that_there_is_none(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "one.session"
    open_bench(file, FixedClock(BEGIN_S), 1)
    assert run(["do", str(file), "take", "all/rough_cut/board", "--now", now(BEGIN_S)]) == 0
    capsys.readouterr()
    assert run(["do", str(file), "picture", "--now", now(BEGIN_S)]) == 0
    assert capsys.readouterr().out.strip() == NO_PICTURE


def test_a_step_is_drawn_for_who_waits() -> None:
    plan = floor_plan()
    step = next(each.id for each in plan.steps if each.kind == "glue/close_right")
    assert step_lines(plan, step, 78, 24) == picture_of(plan, "glue/close_right", 78, 24)
    assert step_lines(plan, "", 78, 24) == ()
    assert step_lines(plan, "no/such", 78, 24) == ()
