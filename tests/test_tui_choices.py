"""Reasons and notes chosen by taps behind More."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.model.resources import ClampSet
from shopstep.planner import make_plan
from shopstep.present.card import StepCard
from shopstep.present.choices import command_of, pages, spoilable
from shopstep.session.commands import (
    Command,
    CountClamps,
    ReadLabel,
    Refusal,
    SetAside,
    SpoilPart,
    SpreadAgain,
    StayUntil,
    StopBatch,
    TakeNote,
)
from shopstep.units import Length
from tests.fake_bench import GLUE, GLUE_TIMER, SIZES, STEP, FakeBench
from tests.floor import floor_request
from tests.sample_plan import plan_with_rails
from tests.tui_pilot import Sight, sight_of


async def tap_in_more(sight: Sight, choice: str) -> None:
    """Turns the rows until the choice is in sight, and taps it."""
    for _ in range(12):
        if choice in sight.buttons():
            break
        await sight.press("n")
    await sight.tap(choice)


async def choose(rows: tuple[str, ...], bench: FakeBench) -> list[Command]:
    """Opens More and taps row after row."""
    async with sight_of(bench) as sight:
        await sight.press("x", "m")
        for row in ("ask else", *rows):
            await tap_in_more(sight, row)
    return bench.commands


async def test_a_step_is_set_aside_with_a_reason_by_two_taps() -> None:
    (command,) = await choose(("ask aside", "say aside something is missing"), FakeBench(STEP))
    assert isinstance(command, SetAside)
    assert (command.step, command.reason) == (STEP.step_id, "something is missing")


async def test_no_reason_is_a_reason_too() -> None:
    (command,) = await choose(("ask aside", "say aside no reason"), FakeBench(STEP))
    assert isinstance(command, SetAside)
    assert command.reason == ""


@pytest.mark.parametrize(
    ("page", "row", "kind", "text"),
    [
        ("next", "next this took too long", "next_time", "this took too long"),
        ("get", "get a fresh blade", "to_get", "a fresh blade"),
    ],
)
async def test_notes_are_chosen_by_taps(page: str, row: str, kind: str, text: str) -> None:
    (command,) = await choose((f"ask {page}", f"say {row}"), FakeBench(STEP))
    assert isinstance(command, TakeNote)
    assert (command.kind, command.text) == (kind, text)


async def test_stopping_needs_a_second_tap_on_another_page() -> None:
    (command,) = await choose(("ask stop", "say stop yes"), FakeBench(STEP))
    assert isinstance(command, StopBatch)
    assert command.sure
    assert await choose(("ask stop", "back_to_step"), FakeBench(STEP)) == []


async def test_late_glue_can_be_scraped_off_behind_more() -> None:
    bench = FakeBench(GLUE)
    bench.time_s = GLUE_TIMER.due_s + 60
    (command,) = await choose(("say scraped",), bench)
    assert isinstance(command, SpreadAgain)


@pytest.mark.parametrize("size", SIZES)
async def test_every_page_of_choices_fits_every_size(size: tuple[int, int]) -> None:
    async with sight_of(FakeBench(STEP), size) as sight:
        for page, (title, rows) in pages().items():
            await sight.press("m")
            await tap_in_more(sight, "ask else")
            await tap_in_more(sight, f"ask {page}")
            assert title in sight.words()
            seen: set[str] = set()
            for _ in range(6):
                seen |= set(sight.buttons())
                await sight.press("n")
            assert {choice for choice, _ in rows} <= seen
            await sight.press("b")


def test_a_spoiled_piece_is_chosen_from_those_in_hand() -> None:
    plan = make_plan(floor_request())
    kinds = {kind.id: kind for kind in plan.kinds}
    step = next(s for s in plan.steps if s.unit == 2 and "side_rail" in kinds[s.kind].parts)
    rows = dict(spoilable(plan, step.id))
    assert rows["say spoiled side_rail left 2"] == "Left side rail, unit 2"
    assert {choice.rpartition(" ")[2] for choice in rows} == {"2"}
    command = command_of("spoiled side_rail left 2", STEP, "id")
    assert isinstance(command, SpoilPart)
    assert (command.part, command.hand, command.unit) == ("side_rail", "left", 2)
    alone = command_of("spoiled panel none 1", STEP, "id")
    assert isinstance(alone, SpoilPart)
    assert alone.hand == ""
    assert spoilable(plan, "no/such/step") == []


async def test_where_nothing_is_in_hand_the_page_says_so() -> None:
    assert await choose(("ask spoiled", "back_to_step"), FakeBench(STEP)) == []


QUESTION = (
    "The rail of unit 1 is joined already to left side rail, right side rail, panel, back rail and "
    "3 more. Made again, that is 7 pieces, and 14 steps come back. Mend it in place and note what "
    "was done, or say it again with all of it."
)


def bench_with_a_joined_rail() -> FakeBench:
    """Where a spoiled rail is asked about once more."""
    bench = FakeBench(replace(STEP, step_id="u1/fit/dry"), plan_with_rails())

    def react(command: Command) -> StepCard | Refusal:
        is_asked = isinstance(command, SpoilPart) and not command.sure
        return Refusal(QUESTION, "joined") if is_asked else bench.shown

    bench.react = react
    return bench


async def test_a_joined_piece_is_asked_about_on_a_page_of_its_own() -> None:
    bench = bench_with_a_joined_rail()
    piece = "say spoiled rail none 1"
    asked, command = await choose(("ask spoiled", piece, f"{piece} all"), bench)
    assert isinstance(asked, SpoilPart)
    assert isinstance(command, SpoilPart)
    assert (asked.sure, command.sure, command.part) == (False, True, "rail")
    mended = bench_with_a_joined_rail()
    assert len(await choose(("ask spoiled", piece, "back_to_step"), mended)) == 1


@pytest.mark.parametrize("size", SIZES)
async def test_the_question_about_a_joined_piece_fits_every_size(size: tuple[int, int]) -> None:
    async with sight_of(bench_with_a_joined_rail(), size) as sight:
        await sight.press("m")
        for row in ("ask else", "ask spoiled", "say spoiled rail none 1"):
            await tap_in_more(sight, row)
        seen: set[str] = set()
        for _ in range(6):
            seen |= set(sight.buttons())
            await sight.press("n")
        assert {"say spoiled rail none 1 all", "back_to_step"} <= seen
        assert "7 pieces" in " ".join(sight.words().split())


CLOSES = (
    "The shop closes at 21:00, in 10 min; from the first glue to the end of what follows at once "
    "it takes 26 min. Take another step (under More), hold until tomorrow, or say until when you "
    "stay."
)


def bench_at_closing_time() -> FakeBench:
    """Where glue is refused until somebody says that they stay."""
    bench = FakeBench(GLUE)
    told: list[Command] = []

    def react(command: Command) -> StepCard | Refusal:
        if isinstance(command, StayUntil):
            told.append(command)
        return bench.shown if told else Refusal(CLOSES, "closing")

    bench.react = react
    return bench


@pytest.mark.parametrize("size", SIZES)
async def test_glue_that_comes_too_late_asks_until_when_one_stays(size: tuple[int, int]) -> None:
    bench = bench_at_closing_time()
    async with sight_of(bench, size) as sight:
        for _ in range(8):
            if bench.commands:
                break
            await sight.press("n", "d")
        words = " ".join(sight.words().split())
        assert "The shop closes at 21:00" in words
        choice = next(name for name in sight.buttons() if name.startswith("say until"))
        await sight.tap(choice)
    stays = [command for command in bench.commands if isinstance(command, StayUntil)]
    assert len(stays) == 1
    assert f"say until {stays[0].clock}" == choice


async def test_clamps_are_counted_behind_more() -> None:
    (command,) = await choose(("ask clamps", "say clamps 8"), FakeBench(STEP))
    assert isinstance(command, CountClamps)
    assert command.count == 8


SHORT = (
    "This glue-up needs 2 clamps of 48 in reach, and 1 of 2 are free. First Take the clamps off "
    "(unit 1), at 20:10. If there are more, count them."
)


@pytest.mark.parametrize("size", SIZES)
async def test_where_clamps_do_not_reach_it_is_one_tap_that_there_are_more(
    size: tuple[int, int],
) -> None:
    bench = FakeBench(GLUE)
    told: list[CountClamps] = []

    def react(command: Command) -> StepCard | Refusal:
        if isinstance(command, CountClamps):
            told.append(command)
        refused = Refusal(SHORT, "clamps", "", "4 x 24 in, 3 x 48 in")
        return bench.shown if told else refused

    bench.react = react
    async with sight_of(bench, size) as sight:
        for _ in range(8):
            if bench.commands:
                break
            await sight.press("n", "d")
        for _ in range(20):
            if sight.words():
                break
            await sight.pilot.pause(0.05)
        assert "2 clamps of 48 in reach" in " ".join(sight.words().split())
        await sight.tap("say clamps 4 x 24 in, 3 x 48 in")
    (command,) = told
    assert command.count == 7
    assert command.sets == (ClampSet(4, Length.inches(24)), ClampSet(3, Length.inches(48)))


@pytest.mark.parametrize("size", SIZES)
async def test_the_label_of_a_glue_is_told_by_a_tap(size: tuple[int, int]) -> None:
    bench = FakeBench(GLUE)
    told: list[Command] = []

    def react(command: Command) -> StepCard | Refusal:
        if isinstance(command, ReadLabel):
            told.append(command)
        asks = Refusal("What does the label of your wood glue give for open time?", "label")
        return bench.shown if told else asks

    bench.react = react
    async with sight_of(bench, size) as sight:
        for _ in range(8):
            if bench.commands:
                break
            await sight.press("n", "d")
        await tap_in_more(sight, "say label 8 min")
    (command,) = told
    assert isinstance(command, ReadLabel)
    assert (command.seconds, command.step) == (480, GLUE.step_id)
