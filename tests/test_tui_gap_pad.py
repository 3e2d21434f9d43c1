"""The measure pad for a gap at a slope: after the number a tap says where it is, and saves."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.session.commands import Refusal, TakeMeasure
from shopstep.tui.screens.measure_pad import ASK_WHERE, MeasurePad
from shopstep.units import Length
from tests.fake_bench import GAP, MEASURE, SIZES, FakeBench
from tests.tui_pilot import sight_of

PLACES = ("toe", "heel", "even")


@pytest.mark.parametrize("place", PLACES)
async def test_number_and_place_are_two_taps(place: str) -> None:
    bench = FakeBench(GAP)
    async with sight_of(bench) as sight:
        await sight.tap("measure")
        await sight.tap("+1/16")
        await sight.tap(place)
        assert sight.open_page() is None
    (command,) = bench.commands
    assert isinstance(command, TakeMeasure)
    assert (command.name, command.value, command.where) == (
        "gap_bevel",
        Length.inches("1/16"),
        place,
    )


@pytest.mark.parametrize(("key", "place"), [("t", "toe"), ("h", "heel"), ("e", "even")])
async def test_number_and_place_are_two_keys(key: str, place: str) -> None:
    bench = FakeBench(GAP)
    async with sight_of(bench) as sight:
        await sight.press("e", "5", key)  # Measure, +1/16, the place
    (command,) = bench.commands
    assert isinstance(command, TakeMeasure)
    assert (command.value, command.where) == (Length.inches("1/16"), place)


async def test_no_gap_is_saved_at_once_and_is_nowhere() -> None:
    bench = FakeBench(GAP)
    async with sight_of(bench) as sight:
        await sight.press("e")
        assert not set(PLACES) & sight.buttons().keys()
        await sight.press("t", "h", "e")  # keys of buttons that are not there
        await sight.press("s")
    (command,) = bench.commands
    assert isinstance(command, TakeMeasure)
    assert (command.value, command.where) == (Length(0), "")


async def test_a_gap_cannot_be_saved_without_its_place() -> None:
    bench = FakeBench(GAP)
    async with sight_of(bench) as sight:
        await sight.press("e", "4")
        assert "save" not in sight.buttons()
        assert ASK_WHERE in sight.words()
        await sight.press("s", "k", "p")
        assert isinstance(sight.open_page(), MeasurePad)
    assert bench.commands == []


@pytest.mark.parametrize("key", ["enter", "space", "pagedown"])
async def test_no_place_is_told_by_pressing_the_same_again(key: str) -> None:
    """The light stays on the nudge, so that a pedal makes the number larger and nothing else."""
    bench = FakeBench(GAP)
    async with sight_of(bench) as sight:
        await sight.press("e", "4")
        assert sight.focused == "+1/64"
        await sight.press(key, key)
        pad = sight.open_page()
        assert isinstance(pad, MeasurePad)
        assert pad.value == Length.inches("3/64")
        assert not any(sight.buttons()[place].place.is_lit for place in PLACES)
    assert bench.commands == []


async def test_a_tap_where_save_stood_goes_back_and_says_what_is_lost() -> None:
    bench = FakeBench(GAP)
    async with sight_of(bench) as sight:
        await sight.press("e")
        save = sight.buttons()["save"].region
        await sight.press("5")
        assert sight.buttons()["back_to_step"].region.contains(*save.bottom_right - (2, 2))
        await sight.tap("back_to_step")
        assert "Not saved: 1/16 in." in sight.words()
    assert bench.commands == []


async def test_a_gap_that_is_taken_back_needs_no_place_any_more() -> None:
    async with sight_of(FakeBench(GAP)) as sight:
        await sight.press("e", "4", "3")
        assert set(PLACES).isdisjoint(sight.buttons())
        assert {"planned", "save"} <= sight.buttons().keys()
        assert ASK_WHERE not in sight.words()


async def test_other_numbers_are_never_asked_for_a_place() -> None:
    bench = FakeBench(MEASURE)
    async with sight_of(bench) as sight:
        await sight.press("e", "4")
        assert set(PLACES).isdisjoint(sight.buttons())
        await sight.press("t", "h")
        assert isinstance(sight.open_page(), MeasurePad)
    assert bench.commands == []


@pytest.mark.parametrize("size", SIZES)
async def test_question_number_and_places_are_in_sight_on_every_screen(
    size: tuple[int, int],
) -> None:
    async with sight_of(FakeBench(GAP), size) as sight:
        await sight.press("e")
        await sight.tap("+1/16")
        words = sight.words()
        assert f"Read off: {GAP.checks[0].text}" in words
        assert ASK_WHERE in words
        assert "(planned 0 in ± 1/64 in)" in words
        for place in PLACES:
            button = sight.buttons()[place].place
            assert button.width >= 7
            assert button.height >= 3


async def test_what_the_session_refuses_is_seen() -> None:
    bench = FakeBench(GAP)
    bench.react = lambda _: Refusal("Where is the gap?", "where_open")
    async with sight_of(bench) as sight:
        await sight.press("e", "5", "t")
        assert "Where is the gap?" in sight.words()


@pytest.mark.parametrize("size", SIZES)
async def test_the_correction_is_the_first_that_is_read(size: tuple[int, int]) -> None:
    said = (
        "Try 1: gap 1/16 in at the toe. Saw off, tilt the blade 4.8° more, then cut a new piece of "
        "scrap and measure."
    )
    check = replace(GAP.checks[0], measured="1/16 in", where="toe", tries=1)
    card = replace(GAP, sentence=f"{said} {GAP.sentence}", checks=(check,), version=8)
    async with sight_of(FakeBench(card), size) as sight:
        seen = sight.words()
        while "next_page" in sight.buttons():
            await sight.tap("next_page")
            seen += f" {sight.words()}"
        if size != SIZES[-1]:  # there the sentence is drawn in tall letters
            assert said in seen
        assert "measured 1/16 in at the toe: OUTSIDE" in seen
