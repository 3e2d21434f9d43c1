"""The measure pad at the bench: a reading made of taps, saved only when it is meant."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.session.commands import AcceptDeviation, TakeMeasure
from shopstep.tui.screens.measure_pad import MeasurePad, describe_difference, nudges
from shopstep.units import Length
from tests.fake_bench import GLUE_TIMER, MEASURE, OUTSIDE, SIZES, STEP, FakeBench
from tests.tui_pilot import sight_of

IN_MM = replace(
    MEASURE,
    checks=(replace(MEASURE.checks[0], expected="412.8 mm", expected_nm=412_800_000),),
)


async def test_a_reading_is_made_of_taps_alone() -> None:
    bench = FakeBench(MEASURE)
    async with sight_of(bench) as sight:
        await sight.tap("measure")
        for choice in ("+1/16", "+1/64", "−1/64", "−1/16", "+1/16"):
            await sight.tap(choice)
        assert "1/16 in over" in sight.words()
        await sight.tap("save")
        assert sight.open_page() is None
    (command,) = bench.commands
    assert isinstance(command, TakeMeasure)
    assert (command.name, command.step) == ("diagonals_differ", MEASURE.step_id)
    assert command.value == Length.inches("1/16")


async def test_a_reading_is_made_of_keys_alone() -> None:
    bench = FakeBench(MEASURE)
    async with sight_of(bench) as sight:
        await sight.press("1", "4", "4", "k")  # the first is Measure, then +1/64 twice, Save
    (command,) = bench.commands
    assert isinstance(command, TakeMeasure)
    assert command.value == Length.inches("1/32")


async def test_a_reading_in_millimetres_goes_by_halves() -> None:
    bench = FakeBench(IN_MM)
    async with sight_of(bench) as sight:
        await sight.press("e")
        for choice in ("+0.5", "+0.5", "+1", "−5"):
            await sight.tap(choice)
        assert "3 mm under" in sight.words()
        await sight.tap("save")
    assert isinstance(bench.commands[0], TakeMeasure)
    assert bench.commands[0].value == Length.mm("409.8")


async def test_as_planned_takes_all_nudges_back() -> None:
    async with sight_of(FakeBench(MEASURE)) as sight:
        await sight.press("e")
        await sight.tap("+1/4")
        await sight.tap("planned")
        pad = sight.open_page()
        assert isinstance(pad, MeasurePad)
        assert pad.value == Length(0)
        assert "as planned" in sight.words()


@pytest.mark.parametrize("key", ["enter", "pagedown", "1", "e"])
async def test_no_reading_is_kept_by_pressing_the_same_again(key: str) -> None:
    bench = FakeBench(MEASURE)
    async with sight_of(bench) as sight:
        await sight.press(key, key, key, key)
    assert bench.commands == []


@pytest.mark.parametrize("size", SIZES)
async def test_no_reading_is_kept_by_tapping_the_same_place_again(size: tuple[int, int]) -> None:
    bench = FakeBench(MEASURE)
    async with sight_of(bench, size) as sight:
        at = sight.buttons()["measure"].region
        for _ in range(4):
            sight.clock.pass_by(1)
            await sight.pilot.click(offset=(at.x + at.width // 2, at.y + 1))
            await sight.pilot.pause()
    assert bench.commands == []


async def test_a_reading_that_is_given_up_sends_nothing() -> None:
    bench = FakeBench(MEASURE)
    async with sight_of(bench) as sight:
        await sight.press("e")
        await sight.tap("+1/16")
        await sight.press("b")
        assert sight.open_page() is None
    assert bench.commands == []


async def test_a_step_without_a_number_to_read_says_so() -> None:
    card = replace(STEP, actions=MEASURE.actions)
    async with sight_of(FakeBench(card)) as sight:
        await sight.press("e")
        assert sight.open_page() is None
        assert "No number is asked for" in sight.words()


async def test_a_reading_outside_its_tolerance_is_seen_and_can_be_kept() -> None:
    bench = FakeBench(OUTSIDE)
    async with sight_of(bench) as sight:
        assert "OUTSIDE" in sight.words()
        await sight.press("k", "6")
    assert isinstance(bench.commands[0], AcceptDeviation)


def test_nudges_are_symmetric_and_fewer_on_a_narrow_screen() -> None:
    for unit in ("in", "mm"):
        for width in (40, 80):
            lengths = [length for _, length in nudges(unit, width)]
            assert sum((length.nm for length in lengths), 0) == 0
            assert lengths == sorted(lengths)
            assert len(lengths) == (4 if width == 40 else 6)


def test_a_difference_is_told_in_the_unit_of_the_rule() -> None:
    planned = Length.inches(3)
    assert describe_difference(planned, planned, "in") == "as planned"
    assert describe_difference(Length.inches("49/16"), planned, "in") == "1/16 in over"
    assert describe_difference(Length.mm(75), planned, "mm") == "1.2 mm under"


async def test_after_a_change_save_is_lit_and_enter_saves() -> None:
    bench = FakeBench(MEASURE)
    async with sight_of(bench) as sight:
        await sight.press("e")
        assert sight.focused == "planned"
        await sight.press("4")
        assert sight.focused == "save"
        assert sight.buttons()["save"].place.is_lit
        await sight.press("enter")
    assert isinstance(bench.commands[0], TakeMeasure)
    assert bench.commands[0].value == Length.inches("1/64")


async def test_a_pedal_can_repeat_a_nudge() -> None:
    async with sight_of(FakeBench(MEASURE)) as sight:
        await sight.press("e", "left", "left", "left", "pagedown", "pagedown")
        pad = sight.open_page()
        assert isinstance(pad, MeasurePad)
        assert pad.value == Length.inches("1/32")
        assert sight.focused == "+1/64"


@pytest.mark.parametrize("key", ["s", "k"])
async def test_two_letters_save_a_reading(key: str) -> None:
    bench = FakeBench(MEASURE)
    async with sight_of(bench) as sight:
        await sight.press("e", "4", key)
    assert isinstance(bench.commands[0], TakeMeasure)


@pytest.mark.parametrize("key", ["b", "escape"])
async def test_a_reading_that_is_left_unsaved_is_said_to_be(key: str) -> None:
    bench = FakeBench(MEASURE)
    async with sight_of(bench) as sight:
        for keys in (("e", key), ("e", "4", key)):
            assert "Not saved" not in sight.words()
            for each in keys:
                await sight.press(each)
                await sight.settle()
        assert "Not saved: 1/64 in." in sight.words()
    assert bench.commands == []


async def test_a_reading_is_never_below_nothing() -> None:
    async with sight_of(FakeBench(MEASURE)) as sight:
        await sight.press("e", "1", "2", "3")
        pad = sight.open_page()
        assert isinstance(pad, MeasurePad)
        assert pad.value == Length(0)


async def test_a_page_that_an_alarm_closes_says_what_was_not_saved() -> None:
    bench = FakeBench(replace(MEASURE, timers=(GLUE_TIMER,)))
    async with sight_of(bench) as sight:
        await sight.press("e", "4")
        bench.time_s = GLUE_TIMER.due_s + 5
        sight.screen.tick()
        await sight.pilot.pause()
        assert sight.open_page() is None
        assert "Not saved: 1/64 in." in sight.words()
    assert bench.commands == []
