"""The measuring page: a number by taps alone, nothing kept by accident, whole on every size."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopstep.tui.measure_keys import FINER, FRACTION, WHOLE, Entry, place_keys
from shopstep.tui.screens.measure_page import NOTHING_YET
from shopstep.units import Length, parse_length
from tests.fake_bench import SIZES
from tests.measure_pilot import BOARD, Book, MeasureSight, cards_in, measuring

ALL_SIZES = [(36, 14), *SIZES]


def tapped(unit: str, *choices: str) -> Entry:
    """The entry after these keys."""
    entry = Entry(unit)
    for choice in choices:
        entry = entry.press(choice)
    return entry


def assert_page_is_whole(sight: MeasureSight) -> None:
    """All buttons lie inside the screen and apart."""
    buttons = list(sight.buttons().values())
    region = sight.app.screen.region
    assert all(region.contains_region(button.region) for button in buttons)
    for one, other in combinations(buttons, 2):
        assert not one.region.grow((1, 1, 1, 1)).overlaps(other.region), (one.place, other.place)


def keys_on(size: tuple[int, int], unit: str, keys: str) -> set[str]:
    """What the keys of a set choose."""
    return {place.action for place in place_keys(unit, keys, *size, size[1] - 4)}


def labels_can_be_read(sight: MeasureSight) -> bool:
    """Whether every label stands whole on its button."""
    return all(
        button.place.label.replace(" ", "")
        in "".join(button.render_line(y).text for y in range(button.size.height))
        .replace(" ", "").replace("▌", "").replace("▐", "").replace("►", "").replace("◄", "")
        or button.is_tall
        for button in sight.buttons().values()
    )  # fmt: skip


@pytest.mark.parametrize("size", ALL_SIZES)
@pytest.mark.parametrize("unit", ["in", "mm"])
async def test_every_set_of_keys_is_whole_on_every_size(size: tuple[int, int], unit: str) -> None:
    async with measuring(Book(), cards_in(unit), size) as sight:
        ways = {"whole": [], "fraction": [FRACTION], "finer": [FRACTION, FINER]}
        for way in ways.values():
            if all(choice in sight.buttons() for choice in way[:1]):
                await sight.tap(*[choice for choice in way if choice in sight.buttons()])
            assert_page_is_whole(sight)
            assert labels_can_be_read(sight)
            if WHOLE in sight.buttons():
                await sight.tap(WHOLE)


@pytest.mark.parametrize("size", SIZES)
async def test_a_measurement_is_made_of_taps_alone(size: tuple[int, int]) -> None:
    book = Book()
    async with measuring(book, size=size) as sight:
        await sight.tap("digit 1", "digit 6", FRACTION, "part 24", "keep")
        assert "board thickness (2 of 2)" in sight.words()
    assert book.values == [("box_width", parse_length("16 3/8 in"))]


@pytest.mark.parametrize("size", SIZES)
async def test_every_64th_can_be_reached_by_taps(size: tuple[int, int]) -> None:
    book = Book()
    async with measuring(book, cards_in("in")[1:], size) as sight:
        await sight.tap(FRACTION, "part 48")
        if FINER in sight.buttons():
            await sight.tap(FINER)
        await sight.tap("nudge -1", "keep")
    assert book.values == [("board_thickness", parse_length("47/64 in"))]


async def test_millimetres_are_tapped_with_a_point() -> None:
    book = Book()
    async with measuring(book, cards_in("mm"), (40, 15)) as sight:
        await sight.tap("digit 4", "digit 1", "digit 2", "point", "digit 8", "keep")
    assert book.values == [("box_width", parse_length("412.8 mm"))]


async def test_a_measurement_is_made_of_keys_alone() -> None:
    book = Book()
    async with measuring(book, cards_in("mm")) as sight:
        await sight.press("4", "1", "3", "backspace", "2", "full_stop", "8", "k", "q")
        assert "box width" in sight.words()  # q goes back to the first
    assert book.values == [("box_width", parse_length("412.8 mm"))]


@pytest.mark.parametrize("size", SIZES)
async def test_a_value_outside_the_range_is_said_at_once_and_needs_a_second_tap(
    size: tuple[int, int],
) -> None:
    book = Book()
    async with measuring(book, size=size) as sight:
        await sight.tap("digit 9", "keep")
        assert book.kept == []
        assert "lies outside 12 in to 24 in" in sight.words()
        await sight.pilot.click(sight.buttons()["keep"])  # a glove that bounces
        assert book.kept == []
        await sight.tap("keep")
    assert book.values == [("box_width", Length.inches(9))]


async def test_a_warning_is_for_one_number_only() -> None:
    book = Book()
    async with measuring(book) as sight:
        await sight.tap("digit 9", "keep", "digit 9", "keep")
        assert "99 in lies outside" in sight.words()
    assert book.kept == []


@pytest.mark.parametrize("key", ["enter", "pagedown", "space", "k", "n", "1"])
async def test_nothing_is_kept_by_pressing_the_same_again(key: str) -> None:
    book = Book()
    async with measuring(book) as sight:
        await sight.press(key, key, key)
    assert book.kept == []


async def test_keep_without_a_number_says_what_to_do() -> None:
    async with measuring(Book()) as sight:
        await sight.tap("keep")
        assert NOTHING_YET in sight.words()
        await sight.tap("digit 0", "keep")
        assert NOTHING_YET in sight.words()


async def test_several_readings_of_one_visit_belong_together_and_a_new_visit_is_another() -> None:
    book = Book()
    async with measuring(book, cards_in("in")) as sight:
        await sight.tap("skip", FRACTION, "part 48", "again")
        assert "is kept. Take the next reading" in sight.words()
        await sight.tap(FRACTION, "part 52", "go_back", "skip", FRACTION, "part 44", "again")
        assert "Kept: 11/16 in, today" in sight.words()
    assert [value for _, value in book.values] == [Length.inches("3/4"), Length.inches("11/16")]
    assert len({round_ for _, _, round_ in book.kept}) == 2


async def test_back_shows_the_measurement_before_with_what_is_kept_now() -> None:
    book = Book()
    async with measuring(book) as sight:
        await sight.tap("digit 1", "digit 6", "keep", "go_back")
        assert "Kept: 16 in, today" in sight.words()
        assert sight.page.entry.is_empty


async def test_the_page_leaves_after_the_last_and_before_the_first() -> None:
    for choices in (("skip", "skip"), ("go_back",)):
        async with measuring(Book()) as sight:
            await sight.tap(*choices)
        assert sight.app.return_code == 0


async def test_a_full_disk_is_told_and_the_number_stays() -> None:
    book = Book(trouble="no space is left.")
    async with measuring(book) as sight:
        await sight.tap("digit 1", "digit 6", "keep")
        assert "This was not kept: no space is left." in sight.words()
        book.trouble = ""
        await sight.tap("keep")
    assert book.values == [("box_width", Length.inches(16))]


@pytest.mark.parametrize("size", SIZES)
async def test_all_words_can_be_read_on_every_size(size: tuple[int, int]) -> None:
    async with measuring(Book(), cards_in("in")[1:], size) as sight:
        seen = sight.words()
        if "read" in sight.buttons():
            await sight.tap("read")
            seen = ""
            for _ in range(6):
                seen += sight.words() + " "
                await sight.press("n")
        for text in (BOARD.prompt, "Nothing is kept", "Usually 3/4 in", "11/16 in to 7/8 in"):
            assert text in seen


def test_a_key_too_many_changes_nothing() -> None:
    assert tapped("in", "digit 0", "digit 1", "digit 2", "digit 3", "digit 4").text == "123 in"
    assert tapped("in", "point").is_empty
    assert tapped("mm", "digit 5", "point", "point", "digit 1", "digit 2", "digit 3").text == (
        "5.12 mm"
    )
    assert tapped("in", "nudge -1").is_empty


def test_delete_takes_the_fraction_first_and_then_digit_by_digit() -> None:
    entry = tapped("in", "digit 1", "digit 6", "part 24")
    assert [entry.text, (entry := entry.press("delete")).text,
            (entry := entry.press("delete")).text, entry.press("delete").text] == [
        "16 3/8 in", "16 in", "1 in", "0 in"]  # fmt: skip


def test_a_finer_step_carries_into_whole_inches_and_back() -> None:
    entry = tapped("in", "digit 9", "part 60", "nudge 4")
    assert entry.text == "10 in"
    assert entry.press("nudge -1").text == "9 63/64 in"
    assert tapped("in", "digit 1", "digit 0", "digit 0", "nudge -1").text == "99 63/64 in"


@given(st.integers(0, 999), st.integers(0, 15), st.integers(-2, 2))
def test_what_is_tapped_is_what_is_shown_and_kept(whole: int, sixteenths: int, nudge: int) -> None:
    entry = tapped("in", *[f"digit {d}" for d in str(whole)], f"part {4 * sixteenths}")
    entry = entry.press(f"nudge {nudge}")
    wanted = max(0, whole * 64 + sixteenths * 4 + nudge) * 396_875
    assert entry.value == Length(wanted)
    assert parse_length(entry.text) == entry.value


@pytest.mark.parametrize("size", SIZES)
def test_all_digits_and_all_eighths_have_keys_on_every_size(size: tuple[int, int]) -> None:
    assert keys_on(size, "in", WHOLE) >= {f"digit {n}" for n in range(10)}
    assert keys_on(size, "mm", WHOLE) >= {f"digit {n}" for n in range(10)} | {"point"}
    assert keys_on(size, "in", FRACTION) >= {f"part {n}" for n in range(0, 64, 8)}
