"""The board on the screen: opened by a key or a tap, whole on every size, back by every way."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from shopstep.model.plan import Plan, PlanRefused
from shopstep.present.board import Board, board_of
from shopstep.present.board_grid import grids_of
from shopstep.present.board_text import progress_rows, section_rows
from shopstep.session import commands as c
from shopstep.storage.clock import FixedClock
from shopstep.tui.board_sheet import board_pages
from shopstep.tui.screens.board_page import BoardPage
from shopstep.workbench import Workbench
from tests.fake_bench import COMPLETE, HELD, SIZES, WAITING, FakeBench
from tests.floor import BEGIN_S as FLOOR_BEGIN_S
from tests.sample_plan import BEGIN_S, make_plan
from tests.session_bench import MemoryJournal, new_id
from tests.test_board import many_units
from tests.test_tui_pages import assert_page_is_whole
from tests.test_tui_summary import bench_at, countdown
from tests.tui_pilot import Sight, sight_of

ALL_SIZES = (*SIZES, (30, 9), (37, 26), (48, 34), (77, 21), (100, 30))


class LookingBench(FakeBench):
    """A fake bench that counts how often the times from now on are asked for."""

    refuses = False
    asked = 0

    def ahead(self) -> Plan:
        """The plan, or none."""
        self.asked += 1
        if self.refuses:
            raise PlanRefused(())
        return self.plan


def is_board(sight: Sight) -> bool:
    """Whether the board lies over the bench."""
    return isinstance(sight.open_page(), BoardPage)


async def open_board(sight: Sight) -> None:
    """By its key; the page is laid out, and what takes a moment has come in."""
    await sight.press("o")
    for _ in range(3):
        await sight.pilot.pause()


async def settle_tap(sight: Sight, choice: str) -> None:
    """Tap, and wait until what it opened is laid out."""
    await sight.tap(choice)
    for _ in range(3):
        await sight.pilot.pause()


def page_rows(sight: Sight) -> list[str]:
    """The rows of words in sight."""
    page = sight.open_page()
    assert page is not None
    return [row.text for row in page.query_one("#words").rows]  # type: ignore[attr-defined]


@pytest.mark.parametrize("size", SIZES)
async def test_a_key_opens_the_board_and_every_way_leads_back(size: tuple[int, int]) -> None:
    bench, journal, _ = bench_at("u2/fit/dry")
    stored = len(journal.stored)
    async with sight_of(bench, size) as sight:
        for way in ("2", "b", "q", "escape", "tap"):
            await open_board(sight)
            assert is_board(sight)
            assert_page_is_whole(sight)
            await (sight.tap("back_to_step") if way == "tap" else sight.press(way))
            assert sight.open_page() is None
        assert sight.screen.card.step_id == "u2/fit/dry"
    assert len(journal.stored) == stored


@pytest.mark.parametrize("size", SIZES)
async def test_the_board_is_two_taps_away_on_every_size(size: tuple[int, int]) -> None:
    async with sight_of(size=size) as sight:
        await settle_tap(sight, "more")
        for _ in range(5):
            if "do board" in sight.buttons():
                break
            await settle_tap(sight, "more_rows")
        await settle_tap(sight, "do board")
        assert is_board(sight)


async def test_a_pedal_opens_it_turns_its_pages_and_closes_it() -> None:
    bench, _, _ = bench_at("u2/fit/dry")
    async with sight_of(bench, (40, 15)) as sight:
        await pedal(sight, "more")
        for _ in range(12):
            if "do board" in sight.buttons():
                break
            await pedal(sight, "more_rows")
        await pedal(sight, "do board")
        assert is_board(sight)
        first = page_rows(sight)
        await pedal(sight, "read_on")
        assert page_rows(sight) != first
        while page_rows(sight) != first:  # the first page follows the last
            await pedal(sight, "read_on")
        await pedal(sight, "back_to_step")
        assert sight.open_page() is None


async def pedal(sight: Sight, choice: str) -> None:
    """Move the light to a button and choose it, by the two keys of a pedal."""
    for _ in range(20):
        if sight.focused == choice:
            break
        await sight.press("pageup")
    assert sight.focused == choice
    await sight.press("pagedown")
    await sight.pilot.pause()


@pytest.mark.parametrize("card", [HELD, WAITING, COMPLETE], ids=["held", "waiting", "complete"])
async def test_the_board_can_be_looked_at_whatever_stands_at_the_bench(card) -> None:  # type: ignore[no-untyped-def]
    async with sight_of(FakeBench(card)) as sight:
        await open_board(sight)
        assert is_board(sight)


async def test_times_from_now_on_are_asked_for_once_the_page_is_in_sight_and_not_each_minute() -> (
    None
):
    bench = LookingBench()
    async with sight_of(bench, (120, 40)) as sight:
        assert bench.asked == 0
        await open_board(sight)
        assert bench.asked == 1
        assert "done on" in sight.words()
        bench.time_s += 180
        sight.screen.tick()
        await sight.pilot.pause()
        assert bench.asked == 1


async def test_without_times_from_now_on_there_is_a_board_without_today() -> None:
    bench = LookingBench()
    bench.refuses = True
    async with sight_of(bench, (120, 40)) as sight:
        await open_board(sight)
        await sight.pilot.pause()
        assert is_board(sight)
        assert "Today" not in sight.words()
        assert "of work left" in sight.words()


async def test_the_light_stays_on_the_way_back_when_today_comes_in() -> None:
    bench, _, _ = bench_at("u2/fit/dry")
    async with sight_of(bench, (40, 15)) as sight:
        await open_board(sight)
        await sight.pilot.pause()
        assert sight.focused == "back_to_step"


async def test_the_board_goes_on_minute_by_minute() -> None:
    bench, _, clock = bench_at("u1/glue/square")
    async with sight_of(bench, (120, 40)) as sight:
        await open_board(sight)
        before = page_rows(sight)[0]
        clock.at_s += 60
        sight.screen.tick()
        await sight.pilot.pause()
        assert is_board(sight)
        assert page_rows(sight)[0] != before


@pytest.mark.parametrize("size", SIZES)
async def test_open_glue_counts_down_over_the_board_and_its_alarm_takes_it_away(
    size: tuple[int, int],
) -> None:
    bench, _, clock = bench_at("u1/glue/close", away_s=30)
    async with sight_of(bench, size) as sight:
        await open_board(sight)
        assert is_board(sight)
        assert_page_is_whole(sight)
        assert "glue" in countdown(sight)
        clock.at_s += 240
        sight.screen.tick()
        await sight.pilot.pause()
        assert sight.open_page() is None


async def test_what_another_face_does_closes_the_board() -> None:
    bench, journal, clock = bench_at("u2/fit/dry")
    async with sight_of(bench) as sight:
        await open_board(sight)
        other = Workbench(journal, clock, "do")
        other.do(c.FinishStep(id=new_id(), step="u2/fit/dry"))
        sight.screen.poll()
        await sight.pilot.pause()
        assert sight.open_page() is None


# --- the sheet ----------------------------------------------------------------------------------


def board_of_many(units: int) -> Board:
    """A board with everything on it."""
    state, plan = many_units(units)
    state = replace(
        state,
        spoiled=(("side_rail", "left", 2, 2, "split"),),
        aside={next(s.id for s in plan.steps if s.unit == units): "no brads"},
    )
    return board_of(state, plan, FLOOR_BEGIN_S, plan)


@pytest.mark.parametrize("size", ALL_SIZES)
@pytest.mark.parametrize("units", [2, 12])
def test_no_word_and_no_cell_is_lost_on_any_size(size: tuple[int, int], units: int) -> None:
    board = board_of_many(units)
    margin = 1
    pages = board_pages(board, size[0], size[1] - 4, margin)
    assert all(len(page) <= size[1] - 4 for page in pages)
    assert all(row.width <= size[0] for page in pages for row in page)
    seen = " ".join(row.text for page in pages for row in page)
    wanted = [row for _, rows in section_rows(board) for row in rows]
    tall_ones = [] if size[0] >= 100 else progress_rows(board)
    assert set(" ".join([*wanted, *tall_ones]).split()) <= set(seen.split())
    heads = re.findall(r"^ *(\d+(?:–\d+)?) ", "\n".join(r.text for p in pages for r in p), re.M)
    for grid in grids_of(board, size[0] - 2 * margin):
        assert all(row.head in heads for row in grid.rows)


def test_fifty_units_are_a_few_pages() -> None:
    board = board_of_many(50)
    assert len(board_pages(board, 40, 11, 1)) <= 30  # 30 units stand each on their own here
    assert len(board_pages(board, 80, 20, 2)) <= 6
    assert len(board_pages(board, 120, 33, 2)) <= 3


async def test_the_board_is_told_without_any_colour(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    bench, _, _ = bench_at("u2/fit/dry")
    async with sight_of(bench, (120, 40)) as sight:
        await open_board(sight)
        assert "► bench" in sight.words()
        assert "■ done" in sight.words()


# --- the air, once an evening -------------------------------------------------------------------


async def test_who_comes_back_on_another_day_is_asked_for_the_air_once() -> None:
    bench, journal, clock = bench_at("u2/fit/dry", away_s=86400)
    async with sight_of(bench, is_resumed=True) as sight:
        await sight.press("1")  # the summary was read
        await sight.pilot.pause()
        assert "How warm and how damp" in sight.words()
        assert_page_is_whole(sight)
        await sight.tap("take")
        await sight.pilot.pause()
        assert sight.open_page() is None
    noted = bench.state
    assert (noted.temperature_c, noted.humidity_percent) == (20.0, 50.0)
    again = Workbench(journal, clock, "bench")
    async with sight_of(again, is_resumed=True) as sight:
        await sight.press("1")
        await sight.pilot.pause()
        assert sight.open_page() is None


@pytest.mark.parametrize("size", SIZES)
async def test_the_air_can_be_left_unsaid(size: tuple[int, int]) -> None:
    bench, journal, _ = bench_at("u2/fit/dry", away_s=86400)
    stored = len(journal.stored)
    async with sight_of(bench, size, is_resumed=True) as sight:
        await sight.press("1")
        await sight.pilot.pause()
        assert "How warm" in sight.words() or size == (40, 15)
        assert_page_is_whole(sight)
        await sight.press("b")
        assert sight.open_page() is None
    assert len(journal.stored) == stored


@pytest.mark.parametrize("away_s", [900, 3 * 3600])
async def test_on_the_same_evening_nobody_is_asked(away_s: int) -> None:
    bench, _, _ = bench_at("u2/fit/dry", away_s=away_s)
    async with sight_of(bench, is_resumed=True) as sight:
        await sight.press("1")
        await sight.pilot.pause()
        assert sight.open_page() is None


async def test_over_open_glue_nobody_is_asked() -> None:
    bench, _, _ = bench_at("u1/glue/close", away_s=86400)
    async with sight_of(bench, is_resumed=True) as sight:
        assert sight.open_page() is None


async def test_a_screen_left_on_hold_over_night_asks_in_the_evening_when_it_is_taken_up() -> None:
    bench, _, clock = bench_at("u2/fit/dry")
    async with sight_of(bench) as sight:
        await sight.press("h")
        clock.at_s += 86400
        await sight.press("r")
        await sight.pilot.pause()
        await sight.press("1")  # the summary
        await sight.pilot.pause()
        assert "How warm and how damp" in sight.words()
        await sight.press("9")
        await sight.pilot.pause()
        await sight.press("h", "r")
        await sight.pilot.pause()
        assert sight.open_page() is None


async def test_where_no_glue_and_no_paint_is_ahead_nobody_is_asked() -> None:
    plan = replace(make_plan(), waits=())
    journal, clock = MemoryJournal(plan), FixedClock(BEGIN_S)
    Workbench(journal, clock, "bench").card()
    clock.at_s += 86400
    async with sight_of(Workbench(journal, clock, "bench"), is_resumed=True) as sight:
        for _ in range(3):
            await sight.pilot.pause()
        await sight.press("1")
        await sight.pilot.pause()
        assert sight.open_page() is None


async def test_the_air_can_be_told_at_any_time_under_more() -> None:
    bench, _, _ = bench_at("u2/fit/dry")
    async with sight_of(bench) as sight:
        await sight.press("m")
        await sight.tap("ask else")
        await sight.leaf("open air")
        await sight.tap("open air")
        await sight.press("1", "9")
        await sight.pilot.pause()
    assert bench.state.temperature_c == 15.0
