"""Pages over the bench: other steps, reasons, the whole text, help."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest

from shopstep.session.commands import AcceptDeviation, TakeStep
from shopstep.tui.actions import ACTIONS
from shopstep.tui.screens.openings import FIXED_KEYS
from shopstep.tui.theme import PALETTES
from tests.fake_bench import (
    GLUE,
    GLUE_TIMER,
    MEASURE,
    SIZES,
    STEP,
    FakeBench,
)
from tests.test_tui_choices import tap_in_more
from tests.tui_pilot import Sight, sight_of


def assert_page_is_whole(sight: Sight) -> None:
    """All buttons of the page lie inside the screen and apart."""
    buttons = list(sight.buttons().values())
    page = sight.open_page()
    assert page is not None
    assert buttons
    assert all(page.region.contains_region(button.region) for button in buttons)
    for one, other in combinations(buttons, 2):
        assert not one.region.grow((1, 1, 1, 1)).overlaps(other.region), (one.place, other.place)


@pytest.mark.parametrize("size", SIZES)
async def test_every_page_has_whole_buttons_on_every_size(size: tuple[int, int]) -> None:
    async with sight_of(FakeBench(MEASURE), size) as sight:
        for key in ("e", "w", "m", "question_mark"):
            await sight.press(key)
            assert_page_is_whole(sight)
            await sight.press("b")
            assert sight.open_page() is None


async def test_why_gives_the_reason_or_says_that_there_is_none() -> None:
    for card, words in (
        (STEP, "scrap shows the kerf"),
        (replace(STEP, why=""), "No reason was written for this step."),
    ):
        async with sight_of(FakeBench(card)) as sight:
            await sight.press("w")
            assert words in sight.words()
            assert_page_is_whole(sight)


async def test_a_long_reason_is_turned_page_by_page_and_nothing_is_lost() -> None:
    words = [f"word{number}" for number in range(120)]
    card = replace(STEP, why=" ".join(words))
    async with sight_of(FakeBench(card), (40, 15)) as sight:
        await sight.press("w")
        seen: set[str] = set()
        for _ in range(8):
            seen |= set(sight.words().split())
            await sight.press("n")
        assert set(words) <= seen


async def test_more_offers_other_ready_steps() -> None:
    bench = FakeBench(STEP)
    async with sight_of(bench) as sight:
        await sight.press("m")
        labels = {choice: button.place.label for choice, button in sight.buttons().items()}
        assert labels["take u1/fit/dry"] == "Take: Dry fit, unit 1"
        assert f"take {STEP.step_id}" not in labels
        await sight.tap("take u1/fit/dry")
        assert sight.open_page() is None
    (command,) = bench.commands
    assert isinstance(command, TakeStep)
    assert (command.step, command.seen) == ("u1/fit/dry", STEP.version)


async def test_more_has_every_action_that_has_no_button_on_a_small_screen() -> None:
    bench = FakeBench(STEP)
    async with sight_of(bench, (40, 15)) as sight:
        on_screen = set(sight.buttons())
        await sight.press("m")
        behind = set()
        for _ in range(6):
            behind |= {c.removeprefix("do ") for c in sight.buttons() if c.startswith("do ")}
            await sight.press("n")
        assert on_screen | behind >= {"done", "back", "hold", "why", "more"}


async def test_an_action_behind_more_is_carried_out() -> None:
    bench = FakeBench(STEP)
    async with sight_of(bench, (40, 15)) as sight:
        await sight.press("m")
        await sight.tap("do hold")
    assert [type(command).__name__ for command in bench.commands] == ["HoldBatch"]


async def test_more_lets_a_joint_that_was_closed_in_time_be_kept() -> None:
    bench = FakeBench(GLUE)
    bench.time_s = GLUE_TIMER.due_s + 60
    async with sight_of(bench) as sight:
        await sight.press("x", "m")
        await sight.tap("do accept")
        assert bench.commands == []
        await sight.tap("keep")
    (command,) = bench.commands
    assert isinstance(command, AcceptDeviation)
    assert command.name == "open_time"


async def test_the_whole_step_can_be_read_on_the_smallest_screen() -> None:
    async with sight_of(FakeBench(MEASURE), (40, 15)) as sight:
        sight.screen.openings.open("read")
        await sight.pilot.pause()
        seen = ""
        for _ in range(6):
            seen += sight.words() + " "
            await sight.press("n")
        assert "Measure both diagonals and note how much they differ." in seen
        assert "in hand" in seen.lower() or "Parts:" in seen


async def test_help_names_every_action_from_the_one_table() -> None:
    async with sight_of(size=(80, 24)) as sight:
        await sight.press("question_mark")
        seen = sight.words()
        await sight.press("n")
        seen += sight.words()
        for action in ACTIONS:
            assert action.help in seen
            assert f"{', '.join(action.keys)}: {action.label}" in seen
            assert action.number in seen


async def test_colours_can_be_changed_at_the_bench() -> None:
    async with sight_of() as sight:
        worn = [sight.app.theme]
        for _ in PALETTES:
            await sight.press("m")
            await tap_in_more(sight, "ask else")
            await tap_in_more(sight, "colours")
            worn.append(sight.app.theme)
        assert set(worn) == set(PALETTES)
        assert worn[0] == worn[-1]


async def test_leave_is_among_the_rows_of_more() -> None:
    async with sight_of() as sight:
        await sight.press("m")
        if "leave" not in sight.buttons():
            await sight.press("n")
        await sight.tap("leave")
    assert sight.app.return_code == 0


async def test_a_page_does_not_take_the_bounce_of_the_tap_that_opened_it() -> None:
    bench = FakeBench(STEP)
    async with sight_of(bench) as sight:
        await sight.tap("more")
        await sight.pilot.press("1", "enter")
        await sight.pilot.pause()
        assert sight.open_page() is not None
    assert bench.commands == []


async def test_the_key_of_help_also_closes_it() -> None:
    async with sight_of() as sight:
        await sight.press("question_mark")
        assert sight.open_page() is not None
        await sight.press("question_mark")
        assert sight.open_page() is None
        await sight.press("w", "question_mark")
        assert sight.open_page() is not None


async def test_the_last_page_of_a_text_leads_to_the_first_and_a_single_one_nowhere() -> None:
    long = replace(STEP, why=" ".join(f"word{number}" for number in range(120)))
    async with sight_of(FakeBench(long), (40, 15)) as sight:
        await sight.press("w", "1", "n")
        while "word119" not in sight.words():
            await sight.press("1")
        assert sight.buttons()["read_on"].place.label == "Page 1"
        await sight.press("1")
        assert "word0 " in sight.words()
    async with sight_of(FakeBench(STEP)) as sight:
        await sight.press("w")
        before = sight.words()
        await sight.press("n", "1")
        assert sight.words() == before


async def more_keys(sight: Sight) -> dict[str, str]:
    """The key of every row of More that is in sight."""
    await sight.press("m")
    keys = {choice: button.place.key for choice, button in sight.buttons().items()}
    await sight.press("2")
    return keys


async def test_a_notice_shifts_no_number_of_more() -> None:
    async with sight_of(FakeBench(STEP)) as sight:
        calm = await more_keys(sight)
        sight.screen.hand.refused = "The paint of unit 2 is dry enough at 14:20."
        sight.screen.show()
        told = await more_keys(sight)
        assert set(told) - set(calm) == {"open notice"}
        assert calm.items() <= told.items()


@pytest.mark.parametrize("size", SIZES)
async def test_aside_and_leave_have_one_letter_that_stands_for_nothing_else(
    size: tuple[int, int],
) -> None:
    letters = {key for action in ACTIONS for key in (*action.keys, action.number)}
    for card in (STEP, GLUE, MEASURE):
        async with sight_of(FakeBench(card), size) as sight:
            await sight.press("m")
            keys: dict[str, str] = {}
            for _ in range(12):
                shown = {c: b.place.key for c, b in sight.buttons().items()}
                others = {key for choice, key in shown.items() if choice not in FIXED_KEYS}
                assert others.isdisjoint(FIXED_KEYS.values())
                keys |= shown
                await sight.press("n")
            assert {choice: keys[choice] for choice in FIXED_KEYS} == FIXED_KEYS
    assert letters.isdisjoint(FIXED_KEYS.values())


async def test_actions_behind_more_keep_their_numbers() -> None:
    async with sight_of(FakeBench(STEP), (40, 15)) as sight:
        keys = await more_keys(sight)
        assert (keys["do hold"], keys["do why"], keys["back_to_step"]) == ("3", "4", "2")


async def test_no_row_of_more_takes_the_number_of_back_hold_why_or_more() -> None:
    bench = FakeBench(STEP)
    bench.ready_steps = bench.plan.steps
    async with sight_of(bench, (120, 40)) as sight:
        await sight.press("m")
        for _ in range(4):
            rows = {c: b.place.key for c, b in sight.buttons().items() if " " in c}
            assert set(rows.values()).isdisjoint("2345")
            assert len(set(rows.values())) == len(rows)
            await sight.press("n")


async def test_more_offers_no_other_step_while_glue_is_open() -> None:
    for timers, is_offered in (((GLUE_TIMER,), False), ((), True)):
        async with sight_of(FakeBench(replace(GLUE, timers=timers))) as sight:
            keys = await more_keys(sight)
            assert any(choice.startswith("take ") for choice in keys) == is_offered


async def test_a_notice_that_is_cut_is_read_by_touching_it() -> None:
    bench = FakeBench(STEP)
    text = " ".join(f"word{number}" for number in range(90))
    async with sight_of(bench, (40, 15)) as sight:
        sight.screen.hand.refused = text
        sight.screen.show()
        await sight.pilot.pause()
        assert "touch for the rest" in sight.words()
        await sight.pilot.click("#notice")
        await sight.pilot.pause()
        assert sight.open_page() is not None
