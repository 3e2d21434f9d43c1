"""Keys and touches that do less than they could: answers, alarms, bounces, refusals."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.tui.hand import READ_S
from tests.fake_bench import (
    CAUTION,
    GLUE,
    GLUE_TIMER,
    LONG_CAUTION,
    SAW_CAUTION,
    STEP,
    FakeBench,
)
from tests.tui_pilot import sight_of

NEXT = replace(STEP, version=8, step_id="u1/fit/dry", headline="Dry fit")
NEXT_CAUTION = replace(CAUTION, version=8, step_id="u1/glue/tack")


def kinds(bench: FakeBench) -> list[str]:
    """Names of the commands that were sent."""
    return [type(command).__name__ for command in bench.commands]


@pytest.mark.parametrize("key", ["d", "1", "enter", "h", "question_mark", "e"])
async def test_a_key_under_an_alarm_answers_it_and_does_nothing_else(key: str) -> None:
    bench = FakeBench(GLUE)
    bench.react = lambda _: replace(NEXT, timers=())
    async with sight_of(bench) as sight:
        bench.time_s = GLUE_TIMER.due_s + 5
        sight.screen.tick()
        await sight.press(key)
        assert not sight.screen.query_one("#alarm").display
        assert bench.commands == []
        assert sight.open_page() is None
        assert sight.screen.hand.refused == ""
        await sight.press("d")
    assert kinds(bench) == ["FinishStep"]


async def test_a_tap_on_done_under_an_alarm_is_meant_for_done() -> None:
    bench = FakeBench(GLUE)
    bench.react = lambda _: replace(NEXT, timers=())
    async with sight_of(bench) as sight:
        bench.time_s = GLUE_TIMER.due_s + 5
        sight.screen.tick()
        await sight.tap("done")
        assert not sight.screen.query_one("#alarm").display
    assert kinds(bench) == ["FinishStep"]


async def test_ctrl_c_leaves_with_the_code_of_an_interrupt() -> None:
    # 128 + SIGINT (2), as POSIX shells report a program that was interrupted
    async with sight_of(FakeBench(STEP)) as sight:
        await sight.press("ctrl+c")
    assert sight.app.return_code == 130


async def test_enter_says_why_it_does_not_answer_a_caution() -> None:
    two = replace(CAUTION, cautions=(SAW_CAUTION, LONG_CAUTION))
    for card, way in ((CAUTION, "6 or u, then 9 or a answers it"), (two, "1 or u reads on")):
        bench = FakeBench(card)
        async with sight_of(bench, (120, 40)) as sight:
            await sight.press("enter")
            assert "a double press cannot pass it" in sight.words()
            assert way in sight.words()
        assert bench.commands == []


async def test_a_cautions_answer_is_not_filled_before_it_has_the_focus() -> None:
    async with sight_of(FakeBench(CAUTION)) as sight:
        assert not sight.buttons()["ready"].place.is_lit
        assert sight.buttons()["ready"].place.is_lead
        await sight.press("u")
        assert not sight.buttons()["ack"].place.is_lit
        await sight.show(STEP)
        assert sight.buttons()["done"].place.is_lit


async def test_u_reads_on_before_the_last_page_of_a_caution() -> None:
    bench = FakeBench(replace(CAUTION, cautions=(SAW_CAUTION, LONG_CAUTION)))
    async with sight_of(bench) as sight:
        await sight.press("u")
        assert bench.commands == []
        assert "avoid words" in sight.words()
        await sight.press("u", "u")
        assert bench.commands == []
        await sight.press("a")
    assert kinds(bench) == ["AcknowledgeCaution"]


async def test_a_caution_is_not_answered_sooner_than_it_can_be_read() -> None:
    bench = FakeBench(STEP)
    bench.react = lambda _: NEXT_CAUTION
    async with sight_of(bench) as sight:
        await sight.press("d")
        sight.clock.pass_by(READ_S - 0.01)
        await sight.pilot.press("u")
        assert "ack" not in sight.buttons()
        sight.clock.pass_by(0.02)
        await sight.pilot.press("u")
        assert kinds(bench) == ["FinishStep"]
        await sight.press("a")
    assert kinds(bench) == ["FinishStep", "AcknowledgeCaution"]


async def test_a_touch_that_came_too_soon_is_seen_to_be_not_taken() -> None:
    bench = FakeBench(STEP)
    bench.react = lambda _: NEXT
    async with sight_of(bench) as sight:
        await sight.press("d")
        seen: list[str] = []
        done = sight.buttons()["done"]
        done.blink = lambda: seen.append("blink")  # type: ignore[method-assign]
        sight.app.simulate_key("d")
        await sight.pilot.pause()
        assert seen == ["blink"]
        await sight.press("d")
        assert seen == ["blink"]
    assert len(bench.commands) == 2


async def test_a_key_that_is_not_on_the_card_says_so() -> None:
    for key, words in (("8", "“Keep as it is” is not on this card."), ("6", "“I read it”")):
        async with sight_of(FakeBench(STEP)) as sight:
            await sight.press(key)
            assert words in sight.words()
