"""The live screen: whole buttons on every size, and the same commands by key, tap and pedal."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest
from textual.binding import Binding

from shopstep.present.card import StepCard
from shopstep.session.commands import Command, FinishStep, Refusal
from shopstep.tui.glove import BOUNCE_S
from shopstep.tui.screens.bench_screen import BenchScreen
from shopstep.tui.screens.page import Page
from shopstep.tui.widgets.button_row import ButtonRow
from tests.fake_bench import (
    ALL_CARDS,
    CAUTION,
    CLAMP_TIMER,
    GLUE,
    GLUE_TIMER,
    HELD,
    LONG_CAUTION,
    SAW_CAUTION,
    SIZES,
    STEP,
    WAITING,
    FakeBench,
)
from tests.tui_pilot import Sight, sight_of

NEXT = replace(STEP, version=8, step_id="u1/fit/dry", headline="Dry fit")
NEXT_CAUTION = replace(CAUTION, version=8, step_id="u1/glue/tack")


def kinds(bench: FakeBench) -> list[str]:
    """Names of the commands that were sent."""
    return [type(command).__name__ for command in bench.commands]


def assert_buttons_are_whole(sight: Sight) -> None:
    """All buttons of the screen in front lie inside it, one empty cell or more apart."""
    screen = sight.app.screen
    buttons = list(sight.buttons().values())
    assert buttons
    for button in buttons:
        assert button.region.area > 0
        assert screen.region.contains_region(button.region), button.place
    for one, other in combinations(buttons, 2):
        assert not one.region.grow((1, 1, 1, 1)).overlaps(other.region), (one.place, other.place)


@pytest.mark.parametrize("size", SIZES)
async def test_every_card_has_whole_buttons_apart_from_each_other(size: tuple[int, int]) -> None:
    async with sight_of(size=size) as sight:
        for card in ALL_CARDS.values():
            await sight.show(card)
            assert_buttons_are_whole(sight)
            assert sight.screen.max_scroll_y == 0


async def test_a_screen_that_changes_its_size_is_laid_out_anew() -> None:
    async with sight_of(size=(80, 24)) as sight:
        for size in SIZES:
            await sight.pilot.resize_terminal(*size)
            await sight.pilot.pause()
            assert_buttons_are_whole(sight)


@pytest.mark.parametrize("way", ["letter", "number", "enter", "space", "pagedown", "tap"])
async def test_done_is_the_same_command_by_key_tap_and_pedal(way: str) -> None:
    bench = FakeBench(STEP)
    async with sight_of(bench) as sight:
        if way == "tap":
            await sight.tap("done")
        else:
            await sight.press({"letter": "d", "number": "1"}.get(way, way))
    (command,) = bench.commands
    assert isinstance(command, FinishStep)
    assert (command.step, command.seen) == (STEP.step_id, STEP.version)


async def test_every_action_is_reached_by_letter_number_tap_and_two_pedals() -> None:
    bench = FakeBench(STEP)
    async with sight_of(bench) as sight:
        for index, action in enumerate(["done", "back", "hold"]):
            for keys in ([action[0]], [str(index + 1)], ["pageup"] * index + ["pagedown"], []):
                sight.screen.query_one(ButtonRow).focus_on("done")
                await sight.press(*keys)
                if not keys:
                    await sight.tap(action)
            kind = {"done": "FinishStep", "back": "GoBack", "hold": "HoldBatch"}[action]
            assert kinds(bench) == [kind] * 4
            bench.commands.clear()


async def test_the_focus_goes_round_by_pageup_tab_and_arrows() -> None:
    async with sight_of() as sight:
        round_trip = []
        for key in ("pageup", "tab", "right", "down", "pageup"):
            await sight.press(key)
            round_trip.append(sight.focused)
        assert round_trip == ["back", "hold", "why", "more", "done"]
        await sight.press("left")
        assert sight.focused == "more"
        await sight.press("shift+tab")
        assert sight.focused == "why"


async def test_a_bouncing_tap_does_not_tick_the_next_step() -> None:
    bench = FakeBench(STEP)
    bench.react = lambda _: NEXT
    async with sight_of(bench) as sight:
        await sight.tap("done")
        await sight.pilot.click(sight.buttons()["done"])
        await sight.pilot.press("enter", "d", "1")
        await sight.pilot.pause()
        assert len(bench.commands) == 1
        sight.clock.pass_by(BOUNCE_S + 0.01)
        await sight.pilot.press("d")
        await sight.pilot.pause()
        assert len(bench.commands) == 2


@pytest.mark.parametrize("key", ["enter", "space", "pagedown", "d", "1"])
async def test_a_caution_is_not_passed_by_pressing_the_same_again(key: str) -> None:
    bench = FakeBench(STEP)
    bench.react = lambda _: NEXT_CAUTION
    async with sight_of(bench) as sight:
        await sight.press(key, key, key)  # slowly, as by someone who does not look
        assert kinds(bench) == ["FinishStep"]
        assert sight.screen.card == NEXT_CAUTION


@pytest.mark.parametrize("size", SIZES)
async def test_a_caution_is_not_passed_by_tapping_the_same_place_again(
    size: tuple[int, int],
) -> None:
    bench = FakeBench(STEP)
    bench.react = lambda _: NEXT_CAUTION
    async with sight_of(bench, size) as sight:
        done = sight.buttons()["done"].region
        for x in (done.x, done.right - 1):
            bench.commands.clear()
            await sight.show(STEP)
            for _ in range(2):
                sight.clock.pass_by(1)
                await sight.pilot.click(offset=(x, done.y + 1))
                await sight.pilot.pause()
            assert kinds(bench) == ["FinishStep"]
            assert sight.screen.card == NEXT_CAUTION


async def test_a_cautions_answer_is_given_by_tap_letter_number_and_pedals() -> None:
    for keys in (["u", "a"], ["6", "9"], ["pageup", "pagedown"], ["tab", "enter"], []):
        bench = FakeBench(CAUTION)
        async with sight_of(bench) as sight:
            assert sight.focused == ""
            await sight.press(*keys)
            if not keys:
                await sight.tap("ready")
                assert bench.commands == []
                await sight.tap("ack")
        assert kinds(bench) == ["AcknowledgeCaution"]


async def test_two_cautions_are_both_read_before_the_answer() -> None:
    bench = FakeBench(replace(CAUTION, cautions=(SAW_CAUTION, LONG_CAUTION)))
    async with sight_of(bench) as sight:
        assert "blade" in sight.words()
        assert "ack" not in sight.buttons()
        await sight.press("u")
        assert bench.commands == []
        assert "avoid words" in sight.words()
        assert sight.focused == ""
        await sight.tap("ready")
        await sight.tap("ack")
    assert kinds(bench) == ["AcknowledgeCaution"]


async def test_a_bounce_does_not_turn_two_pages_of_a_caution() -> None:
    bench = FakeBench(replace(CAUTION, cautions=(SAW_CAUTION, LONG_CAUTION, SAW_CAUTION)))
    async with sight_of(bench) as sight:
        await sight.tap("next_page")
        await sight.pilot.click(sight.buttons()["next_page"])
        await sight.pilot.press("u", "a", "6")
        assert "avoid words" in sight.words()
        assert "ack" not in sight.buttons()


async def test_another_caution_begins_at_its_first_page() -> None:
    two = replace(CAUTION, cautions=(SAW_CAUTION, LONG_CAUTION))
    async with sight_of(FakeBench(two)) as sight:
        await sight.press("u", "u")
        assert "ack" in sight.buttons()
        await sight.show(replace(two, version=9, step_id="other"))
        assert "ack" not in sight.buttons()


async def test_a_refusal_is_read_in_full_and_changes_nothing_else() -> None:
    bench = FakeBench(STEP)
    bench.react = lambda _: Refusal("The paint of unit 2 is dry enough at 14:20.", "waiting")
    async with sight_of(bench) as sight:
        places = [b.place for b in sight.buttons().values()]
        await sight.press("d")
        assert "The paint of unit 2 is dry enough at 14:20." in sight.words()
        assert [b.place for b in sight.buttons().values()] == places
        assert sight.screen.card == STEP
        await sight.pilot.click("#notice")
        await sight.pilot.pause()
        assert "The paint" not in sight.words()


async def test_a_letter_that_does_not_fit_the_card_says_so() -> None:
    bench = FakeBench(CAUTION)
    async with sight_of(bench) as sight:
        await sight.press("d")
        assert "First the caution: 6 or u, then 9 or a answers it." in sight.words()
    assert bench.commands == []


async def test_hold_and_resume_share_a_key() -> None:
    bench = FakeBench(STEP)
    bench.react = lambda _: replace(HELD, version=8)
    async with sight_of(bench) as sight:
        await sight.press("h")
        assert sight.focused == "resume"
        await sight.press("h")
    assert kinds(bench) == ["HoldBatch", "ResumeBatch"]


async def test_nothing_has_the_focus_where_nothing_leads_on() -> None:
    async with sight_of() as sight:
        for card in (WAITING, ALL_CARDS["complete"]):
            await sight.show(card)
            assert sight.focused == ""
            await sight.press("enter")
            assert "moves to a button first" in sight.words()


async def test_what_another_face_did_is_shown_at_the_next_look() -> None:
    bench = FakeBench(STEP)
    async with sight_of(bench) as sight:
        await sight.press("w")
        assert sight.open_page() is not None
        bench.shown = replace(NEXT, unit="unit 1 of 2")
        sight.screen.poll()
        await sight.pilot.pause()
        assert sight.open_page() is None
        assert "unit 1 of 2" in sight.words()


async def test_the_countdown_goes_on_by_the_second_and_moves_nothing_else() -> None:
    bench = FakeBench(GLUE)
    async with sight_of(bench) as sight:
        frame = sight.screen.frame
        assert "closes in 4:10" in sight.words()
        bench.time_s += 1
        sight.screen.tick()
        await sight.pilot.pause()
        assert "closes in 4:09" in sight.words()
        assert sight.screen.frame is frame


async def test_half_gone_changes_the_word_and_rings(monkeypatch: pytest.MonkeyPatch) -> None:
    bench = FakeBench(GLUE)
    async with sight_of(bench) as sight:
        rung = count_bells(sight, monkeypatch)
        bench.time_s = GLUE_TIMER.started_s + 150
        sight.screen.tick()
        await sight.pilot.pause()
        assert "HALF GONE" in sight.words()
        assert not sight.screen.query_one("#alarm").display
        assert len(rung) == 1


def count_bells(sight: Sight, monkeypatch: pytest.MonkeyPatch) -> list[None]:
    """A list that grows with every ring of the bell."""
    rung: list[None] = []
    monkeypatch.setattr(sight.app, "bell", lambda: rung.append(None))
    return rung


@pytest.mark.parametrize("answer", ["key", "tap"])
async def test_an_alarm_stays_across_the_screen_until_it_is_answered(
    answer: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench = FakeBench(GLUE)
    async with sight_of(bench) as sight:
        rung = count_bells(sight, monkeypatch)
        places = [b.region for b in sight.buttons().values()]
        bench.time_s = GLUE_TIMER.started_s + 245
        for _ in range(5):
            sight.screen.tick()
            bench.time_s += 1
        await sight.pilot.pause()
        bar = sight.screen.query_one("#alarm")
        assert bar.region.width == 80
        assert "CLOSE NOW" in sight.words()
        assert [b.region for b in sight.buttons().values()] == places
        assert len(rung) == 1
        if answer == "key":
            await sight.press("x")
        else:
            await sight.pilot.click(bar)
            await sight.pilot.pause()
        assert bar.region.width == 0
        assert bench.commands == []


async def test_an_alarm_closes_the_page_that_lies_over_the_bench() -> None:
    bench = FakeBench(GLUE)
    async with sight_of(bench) as sight:
        await sight.press("w")
        assert sight.open_page() is not None
        bench.time_s = GLUE_TIMER.due_s + 5
        sight.screen.tick()
        await sight.pilot.pause()
        assert sight.open_page() is None
        assert "TOO LATE" in sight.words()


async def test_a_wait_that_ends_brings_up_the_next_step() -> None:
    card = replace(WAITING, timers=(CLAMP_TIMER,))
    bench = FakeBench(card)
    async with sight_of(bench) as sight:
        bench.shown = replace(STEP, timers=(CLAMP_TIMER,))
        bench.time_s = CLAMP_TIMER.due_s
        sight.screen.tick()
        await sight.pilot.pause()
        assert sight.screen.card.step_id == STEP.step_id
        assert sight.screen.query_one("#alarm").display


async def test_leaving_is_harmless_and_says_so_to_the_shell() -> None:
    bench = FakeBench(STEP)
    async with sight_of(bench) as sight:
        await sight.press("q")
    assert sight.app.return_code == 0
    assert bench.commands == []


async def test_a_write_that_fails_leaves_the_screen_standing() -> None:
    bench = FakeBench(STEP)

    def fail(_: Command) -> StepCard:
        raise OSError("no space left on device")

    bench.react = fail
    async with sight_of(bench) as sight:
        await sight.press("d")
        assert "not saved" in sight.words()
        assert sight.screen.card == STEP


@pytest.mark.parametrize("screen", [BenchScreen, Page])
def test_every_key_binding_has_an_id_of_its_own(screen: type[BenchScreen] | type[Page]) -> None:
    bindings = [binding for binding in screen.BINDINGS if isinstance(binding, Binding)]
    assert len(bindings) == len(screen.BINDINGS)
    ids = [binding.id for binding in bindings]
    assert all(ids)
    assert len(ids) == len(set(ids))


def test_only_keys_that_every_terminal_sends_are_needed() -> None:
    # letters, digits, space, enter, arrows, PageUp and PageDown, Tab, F-keys
    plain = {"enter", "space", "pageup", "pagedown", "up", "down", "left", "right", "f1", "tab"}
    for binding in BenchScreen.BINDINGS:
        assert isinstance(binding, Binding)
        assert any(len(key) == 1 or key in plain for key in binding.key.split(","))
