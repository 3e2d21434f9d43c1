"""Coming back to the bench screen: where the work stands, and one large button to the card."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.cli.main import run
from shopstep.present.card import CardMode
from shopstep.present.summary import INTERRUPTED_S, Summary, Waiting, summary_of
from shopstep.session import commands as c
from shopstep.storage.clock import FixedClock
from shopstep.tui.screens.air_page import AirPage
from shopstep.tui.screens.page import BACK
from shopstep.tui.screens.summary_page import SummaryPage
from shopstep.tui.summary_sheet import summary_pages
from shopstep.units import Length
from shopstep.workbench import Workbench
from tests.fake_bench import SIZES, STEP, FakeBench
from tests.sample_plan import BEGIN_S, make_plan
from tests.session_bench import MemoryJournal, new_id
from tests.test_tui_pages import assert_page_is_whole
from tests.tui_pilot import Sight, sight_of


def bench_at(step: str, away_s: int = 0) -> tuple[Workbench, MemoryJournal, FixedClock]:
    """A bench worked at until a step comes, opened again after ``away_s``."""
    journal, clock = MemoryJournal(make_plan()), FixedClock(BEGIN_S)
    bench = Workbench(journal, clock, "bench")
    while (card := bench.card()).step_id != step:
        clock.at_s += 20
        if card.mode is CardMode.WAITING:
            clock.at_s = min(t.due_s for t in card.timers if t.due_s > clock.at_s)
            continue
        do_next(bench)
    clock.at_s += away_s
    return Workbench(journal, clock, "bench"), journal, clock


def do_next(bench: Workbench) -> None:
    """What the card asks for."""
    card = bench.card()
    step = card.step_id
    asked = [check for check in card.checks if check.expected_nm is not None and not check.within]
    if card.mode is CardMode.CAUTION:
        bench.do(c.AcknowledgeCaution(id=new_id(), step=step))
    elif asked:
        value = Length(asked[0].expected_nm or 0)
        bench.do(c.TakeMeasure(id=new_id(), step=step, name=asked[0].name, value=value))
    elif card.actions[0].id == "start":
        bench.do(c.StartSpreading(id=new_id(), step=step))
    else:
        bench.do(c.FinishStep(id=new_id(), step=step))


def is_told(sight: Sight) -> bool:
    """Whether the summary lies over the bench."""
    return isinstance(sight.open_page(), SummaryPage)


async def read_all(sight: Sight) -> str:
    """The words of all pages of the summary."""
    seen = sight.words()
    for _ in range(6):
        await sight.press("n")
        if sight.words() in seen:
            break
        seen += f" {sight.words()}"
    return seen


# --- (a) opened again ---------------------------------------------------------------------------


@pytest.mark.parametrize("size", [(80, 24), (40, 15)])
async def test_who_opens_a_session_again_is_told_where_it_stands(size: tuple[int, int]) -> None:
    bench, journal, _ = bench_at("u2/fit/dry", away_s=3 * 3600)
    bench.do(c.SetAside(id=new_id(), step="u2/fit/dry", reason="no brads"))
    stored = len(journal.stored)
    async with sight_of(bench, size, is_resumed=True) as sight:
        assert is_told(sight)
        assert_page_is_whole(sight)
        assert sight.buttons()[BACK].place.label == "Go on"
        told = summary_of(bench.state, bench.plan, bench.now_s())
        seen = await read_all(sight)
        assert "last done, at 18:01" in seen
        assert "set aside Dry fit (unit 2), no brads" in seen
        assert f"next, {told.following_note}" in seen
        await sight.press("b")
        assert sight.screen.card.step_id == "u1/glue/spread"
    assert len(journal.stored) == stored


@pytest.mark.parametrize("way", ["1", "enter", "space", "pagedown", "b", "escape", "tap"])
@pytest.mark.parametrize("size", [(80, 24), (40, 15), (120, 40)])
async def test_go_on_leads_to_the_card_and_ticks_nothing(size: tuple[int, int], way: str) -> None:
    bench, journal, _ = bench_at("u2/fit/dry", away_s=3600)
    stored = len(journal.stored)
    async with sight_of(bench, size, is_resumed=True) as sight:
        assert is_told(sight)
        await (sight.tap(BACK) if way == "tap" else sight.press(way))
        assert sight.open_page() is None
        assert sight.screen.card.step_id == "u2/fit/dry"
        await sight.pilot.press("1", "enter", "d")  # the bounce of the glove that pressed Go on
        assert len(journal.stored) == stored
        await sight.press("1")
        assert "u2/fit/dry" in bench.state.finished


async def test_last_and_next_step_are_both_named_in_large_type() -> None:
    bench, _, _ = bench_at("u2/fit/dry")
    told = summary_of(bench.state, bench.plan, bench.now_s())
    assert (told.last, told.following) == ("Dry fit (unit 1)", "Dry fit (unit 2)")
    async with sight_of(bench, (120, 40), is_resumed=True) as sight:
        page = sight.open_page()
        assert page is not None
        rows = [row.text for row in page.query_one("#words").rows]  # type: ignore[attr-defined]
    tall = [row for row in rows if "▀" in row or "█" in row]
    assert len(tall) >= 12  # the title and two headlines, four rows each at the least
    assert not [row for row in rows if "Dry fit" in row and "Unit" not in row]


async def test_a_new_batch_begins_with_its_card() -> None:
    journal = MemoryJournal(make_plan())
    bench = Workbench(journal, FixedClock(BEGIN_S), "bench")
    async with sight_of(bench) as sight:
        assert sight.open_page() is None


async def test_a_step_that_was_only_begun_is_under_way() -> None:
    bench = Workbench(MemoryJournal(make_plan()), FixedClock(BEGIN_S + 900), "bench")
    async with sight_of(bench, is_resumed=True) as sight:
        assert is_told(sight)
        assert "Nothing is finished yet" in bench_words(sight)


def bench_words(sight: Sight) -> str:
    """The words in sight, and those drawn tall as the summary has them."""
    bench = sight.screen.hand.bench
    told = summary_of(bench.state, bench.plan, bench.now_s())
    return f"{sight.words()} {told.last or 'Nothing is finished yet'}"


def test_resume_opens_the_screen_for_somebody_who_comes_back_and_start_does_not(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    opened: list[bool] = []

    def run_bench(_: object, *, is_resumed: bool = False, **look: object) -> int:
        assert look["is_far"] is False
        opened.append(is_resumed)
        return 0

    monkeypatch.setattr("shopstep.tui.run_bench", run_bench)
    for module in ("bench_commands", "start_command"):
        monkeypatch.setattr(f"shopstep.cli.{module}.is_terminal", lambda: True)
    assert run(["start", "bird-box"]) == 0
    assert run(["resume"]) == 0
    assert opened == [False, True]


async def test_a_batch_that_is_over_is_opened_on_its_own_card() -> None:
    bench, _, _ = bench_at("u2/fit/dry", away_s=3600)
    bench.do(c.StopBatch(id=new_id(), sure=True))
    async with sight_of(bench, is_resumed=True) as sight:
        assert sight.open_page() is None


# --- open glue ----------------------------------------------------------------------------------


async def test_where_glue_is_open_the_card_comes_first() -> None:
    bench, _, clock = bench_at("u1/glue/close", away_s=30)
    async with sight_of(bench, is_resumed=True) as sight:
        assert sight.open_page() is None
        assert "closes in 4:10" in sight.words()
        await sight.press("d")  # closed in time: nothing pops up over what comes at once
        assert "u1/glue/close" in bench.state.finished
        assert sight.open_page() is None
    assert clock.at_s > BEGIN_S


@pytest.mark.parametrize("size", SIZES)
async def test_the_countdown_of_open_glue_stays_in_sight_over_the_summary(
    size: tuple[int, int],
) -> None:
    bench, _, clock = bench_at("u1/glue/close", away_s=30)
    async with sight_of(bench, size) as sight:
        sight.screen.openings.open("summary")
        await sight.pilot.pause()
        assert is_told(sight)
        assert_page_is_whole(sight)
        before = countdown(sight)
        assert "glue" in before
        clock.at_s += 7
        sight.screen.tick()
        await sight.pilot.pause()
        assert "glue" in countdown(sight) != before
        assert "since" not in (await read_all(sight)).replace("last", "")


def countdown(sight: Sight) -> str:
    """The row above the words of a page."""
    page = sight.open_page()
    assert page is not None
    return " ".join(row.text for row in page.query_one("#clock").rows)  # type: ignore[attr-defined]


async def test_an_alarm_takes_the_summary_away() -> None:
    bench, _, clock = bench_at("u1/glue/close", away_s=30)
    async with sight_of(bench) as sight:
        sight.screen.openings.open("summary")
        await sight.pilot.pause()
        clock.at_s += 240  # more than four fifths of 300 s are gone
        sight.screen.tick()
        await sight.pilot.pause()
        assert sight.open_page() is None
        assert "CLOSE NOW" in sight.words()


# --- (b) after a hold ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("held_s", "told_of"), [(INTERRUPTED_S, False), (INTERRUPTED_S + 1, True), (86400, True)]
)
@pytest.mark.parametrize("way", ["3", "tap"])
async def test_after_a_long_hold_it_is_told_and_after_a_short_one_not(
    held_s: int, told_of: bool, way: str
) -> None:
    bench, _, clock = bench_at("u2/fit/dry")
    async with sight_of(bench) as sight:
        await sight.press("3")
        assert sight.screen.card.mode is CardMode.HELD
        clock.at_s += held_s
        await (sight.tap("resume") if way == "tap" else sight.press(way))
        await sight.pilot.pause()
        assert bench.state.held_since is None
        assert is_told(sight) is told_of
        if told_of:
            await sight.press("1")
            await sight.pilot.pause()
        if held_s >= 86400:  # another evening: the air is asked for
            assert isinstance(sight.open_page(), AirPage)
            await sight.press("b")
        assert sight.open_page() is None
        assert sight.screen.card.step_id == "u2/fit/dry"


async def test_a_held_batch_that_is_opened_again_is_told_of_once() -> None:
    bench, journal, clock = bench_at("u2/fit/dry")
    bench.do(c.HoldBatch(id=new_id(), reason="supper"))
    clock.at_s += 7200
    again = Workbench(journal, clock, "bench")
    async with sight_of(again, is_resumed=True) as sight:
        assert is_told(sight)
        await sight.press("1")
        assert sight.screen.card.mode is CardMode.HELD
        await sight.press("r")
        assert sight.open_page() is None
        assert sight.screen.card.step_id == "u2/fit/dry"


async def test_after_a_long_hold_over_open_glue_the_card_comes_first() -> None:
    bench, _, clock = bench_at("u1/glue/close", away_s=10)
    async with sight_of(bench) as sight:
        await sight.press("h")
        clock.at_s += 3600
        sight.screen.tick()
        await sight.press("x", "r")
        assert bench.state.held_since is None
        assert sight.open_page() is None


async def test_a_doubtful_clock_is_asked_about_first() -> None:
    bench, journal, clock = bench_at("u2/fit/dry")
    clock.at_s += 90 * 86400
    away = Workbench(journal, OtherStart(clock.at_s), "bench")
    async with sight_of(away, is_resumed=True) as sight:
        assert sight.open_page() is None
        assert "Is the clock right?" in sight.words()
        await sight.press("m")
        await sight.tap("ask else")
        await sight.tap("say clock right")
        await sight.pilot.pause()
        assert is_told(sight)
    del bench


class OtherStart(FixedClock):
    """A clock of a machine that was started anew since."""

    def now(self):  # type: ignore[no-untyped-def]
        """Another boot id than that of the session."""
        return replace(super().now(), boot_id="another")


# --- (c) under More -----------------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
async def test_where_are_we_stands_under_more(size: tuple[int, int]) -> None:
    bench, journal, _ = bench_at("u2/fit/dry")
    stored = len(journal.stored)
    async with sight_of(bench, size) as sight:
        await sight.press("m")
        for _ in range(5):
            if "open summary" in sight.buttons():
                break
            await sight.press("n")
        assert sight.buttons()["open summary"].place.label == "Where are we"
        await sight.tap("open summary")
        await sight.pilot.pause()
        assert is_told(sight)
        assert_page_is_whole(sight)
        await sight.press("1")
        assert sight.open_page() is None
    assert len(journal.stored) == stored


async def test_a_wait_in_the_summary_runs_on_minute_by_minute() -> None:
    bench, _, clock = bench_at("u2/glue/spread")
    async with sight_of(bench, is_resumed=True) as sight:
        assert is_told(sight)
        before = sight.words()
        assert "since 18:" in before
        clock.at_s += 120
        sight.screen.tick()
        await sight.pilot.pause()
        if is_told(sight):  # an alarm would have closed it
            assert sight.words() != before


async def test_a_summary_of_a_session_that_cannot_be_read_says_so() -> None:
    bench = FakeBench(STEP)

    def fail(version: int = 0) -> None:
        raise OSError("the disk is gone")

    async with sight_of(bench) as sight:
        bench.card = fail  # type: ignore[assignment]
        bench.changes_since = fail  # type: ignore[method-assign, assignment]
        sight.screen.openings.open("summary")
        await sight.pilot.pause()
        assert is_told(sight)
        await sight.press("1")
        await sight.pilot.pause()
        assert "the disk is gone" in sight.screen.hand.notice


# --- the sheet ----------------------------------------------------------------------------------

LONG = Summary(
    standing="Sample frame, 40 units: running, 3 of 900 steps done; the last entry was 2 days ago.",
    last="Screw the stiffener and the bearers (unit 39)",
    last_at="25 November 18:40",
    following="Paint the second coat outside (unit 40)",
    following_note="unit 40 of 40, not before tomorrow 8:05",
    joints=(),
    waits=tuple(
        Waiting("18:05", f"paint, unit {n}: dry enough for the next coat in 3 h 20 min (at 22:20)")
        for n in range(1, 41)
    ),
    aside=("Dry fit (unit 2), no brads", "Second coat (unit 3), too cold"),
    units=tuple(f"Unit {n}: at 'Second coat', waiting until 22:20." for n in range(1, 41)),
)


@pytest.mark.parametrize("size", [(24, 6), (30, 9), *((w, h - 4) for w, h in SIZES)])
def test_no_word_of_a_long_summary_is_lost_on_any_size(size: tuple[int, int]) -> None:
    pages = summary_pages(LONG, *size, margin=1)
    assert len(pages) > 1
    assert all(len(page) <= size[1] for page in pages)
    assert all(row.width <= size[0] for page in pages for row in page)
    seen = " ".join(row.text for page in pages for row in page)
    wanted = [LONG.standing, LONG.last, LONG.following, *LONG.aside, *LONG.units]
    wanted += [w.words for w in LONG.waits]
    assert set(" ".join(wanted).split()) <= set(seen.split())
    first = " ".join(row.text for row in pages[0])
    assert "last done" in first
