"""The start screen: one tap to go on, a few to a new batch; by taps, by keys, by a pedal."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest

from shopstep.desk import Wish
from shopstep.tui.screens.air_page import AirPage
from shopstep.tui.screens.measure_page import MeasurePage
from shopstep.tui.screens.number_page import NumberPage
from shopstep.tui.screens.told_page import ToldPage
from shopstep.units import Length
from tests.fake_bench import SIZES
from tests.start_pilot import COMPLETE, OTHER, UNDER_WAY, FakeDoor, StartSight, starting

GLOVE_ROWS = {15: 3, 16: 3, 24: 3, 40: 6, 60: 7}
"""Rows of a target by rows of the screen, as on the bench (``places.row_height``)."""
FLOOR = Wish("floor", units=12, temperature_c=13.0, humidity_percent=70.0)


def assert_whole(sight: StartSight) -> None:
    """All buttons lie in the screen, apart, and are high enough for a glove; nothing is cut."""
    buttons = list(sight.buttons().values())
    assert buttons
    width, height = sight.page.size
    for button in buttons:
        assert sight.page.region.contains_region(button.region), button.place
        assert button.place.height >= GLOVE_ROWS[height]
    for one, other in combinations(buttons, 2):
        assert not one.region.grow((1, 1, 1, 1)).overlaps(other.region), (one.place, other.place)
    assert all(row.width <= width for row in rows_of(sight))


def rows_of(sight: StartSight):  # type: ignore[no-untyped-def]
    """The rows of words in sight."""
    return sight.page.query_one("#words").rows  # type: ignore[attr-defined]


def is_on(sight: StartSight, kind: type) -> bool:
    """Whether a page of that kind is in sight."""
    return isinstance(sight.page, kind)


# --- going on -----------------------------------------------------------------------------------


@pytest.mark.parametrize("way", ["tap", "1", "enter", "pagedown", "space"])
@pytest.mark.parametrize("size", SIZES)
async def test_the_last_batch_is_gone_on_with_by_one_tap(size: tuple[int, int], way: str) -> None:
    async with starting(size=size) as sight:
        assert_whole(sight)
        await (sight.tap("go_on") if way == "tap" else sight.press(way))
        assert sight.door.opened == [(UNDER_WAY.name, "")]
        assert sight.is_left


async def test_it_says_what_it_is_where_it_stood_and_when() -> None:
    async with starting(size=(59, 16)) as sight:
        for text in (UNDER_WAY.look.title, UNDER_WAY.look.where, UNDER_WAY.look.when):
            assert text in sight.words()
        assert sight.words().endswith("20:40.")
        assert "19:00" in rows_of(sight)[0].text


async def test_a_batch_that_is_over_is_not_gone_on_with_but_can_be_opened() -> None:
    async with starting(FakeDoor(kept=(COMPLETE,))) as sight:
        assert "go_on" not in sight.buttons()
        assert sight.focused == "new"
        await sight.tap("others")
        await sight.tap(COMPLETE.name)
        assert sight.door.opened == [(COMPLETE.name, "")]


async def test_other_batches_are_two_taps_away() -> None:
    async with starting() as sight:
        await sight.press("3")
        assert set(sight.buttons()) == {COMPLETE.name, OTHER.name, "back_to_step"}
        await sight.tap(OTHER.name)
        assert sight.door.opened == [(OTHER.name, "")]


async def test_without_any_batch_a_new_one_leads() -> None:
    async with starting(FakeDoor(kept=())) as sight:
        assert sight.focused == "new"
        assert "No batch is under way" in sight.words()
        await sight.press("enter")
        assert "floor" in sight.buttons()


@pytest.mark.parametrize("way", ["4", "q", "escape", "b", "tap"])
async def test_leaving_begins_nothing(way: str) -> None:
    async with starting() as sight:
        await (sight.tap("back_to_step") if way == "tap" else sight.press(way))
        assert sight.is_left
        assert not sight.door.opened
        assert not sight.door.begun


async def test_what_cannot_be_opened_is_told_and_back_leads_home() -> None:
    door = FakeDoor(problem="floors.session: the card is locked against writing.")
    async with starting(door) as sight:
        await sight.press("1")
        assert "locked against writing" in sight.words()
        assert not sight.is_left
        await sight.press("2")
        assert "go_on" in sight.buttons()


@pytest.mark.parametrize(("choice", "follow"), [("keep", "keep"), ("move", "move")])
@pytest.mark.parametrize("size", SIZES)
async def test_of_a_changed_build_one_is_asked_which_plan_counts(
    size: tuple[int, int], choice: str, follow: str
) -> None:
    async with starting(FakeDoor(has_changed=True), size) as sight:
        await sight.press("1")
        assert_whole(sight)
        assert "has changed" in sight.words()
        await sight.tap(choice)
        assert sight.door.opened == [(UNDER_WAY.name, follow)]


# --- a new batch --------------------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
async def test_a_new_batch_by_taps_alone(size: tuple[int, int]) -> None:
    async with starting(FakeDoor(shop_names=("garage", "cellar")), size) as sight:
        seen: list[type] = []
        for choice in (
            "new", "garage", "floor", "go_on", "digit 1", "digit 2", "take",
            "warmth 1", "take", "begin",
        ):  # fmt: skip
            assert_whole(sight)
            seen.append(type(sight.page))
            await sight.tap(choice)
        assert sight.door.begun == [replace(FLOOR, shop="garage")]
        assert sight.is_left
        assert {NumberPage, AirPage} <= set(seen)


async def test_a_new_batch_by_keys_alone() -> None:
    async with starting() as sight:
        await sight.press("2", "1")  # new batch, the first build
        await sight.press("3")  # go on, without measuring
        await sight.press("1", "2", "enter")  # 12 units
        await sight.press("3", "9")  # a degree more, take it
        await sight.press("1")
        assert sight.door.begun == [FLOOR]
        assert sight.is_left


@pytest.mark.parametrize("size", [(40, 15), (80, 24)])
async def test_a_new_batch_by_the_two_keys_of_a_pedal(size: tuple[int, int]) -> None:
    async with starting(size=size) as sight:
        for choice in ("new", "floor", "go_on", "digit 1", "digit 2", "take"):
            await sight.pedal(choice)
        assert isinstance(sight.page, AirPage)
        for choice in ("warmth 1", "take", "begin"):
            await sight.pedal(choice)
        assert sight.door.begun == [FLOOR]


async def test_a_shop_is_asked_for_only_where_there_are_several() -> None:
    async with starting() as sight:
        await sight.tap("new")
        assert "floor" in sight.buttons()


async def test_back_always_leads_to_the_page_before() -> None:
    async with starting(FakeDoor(shop_names=("garage", "cellar"))) as sight:
        pages = [sight.page]
        for choice in ("new", "cellar", "floor", "go_on"):
            await sight.tap(choice)
            pages.append(sight.page)
        await sight.tap("digit 2", "take")
        pages.append(sight.page)
        await sight.tap("take")
        for page in reversed(pages):
            await sight.press("b")
            assert sight.page is page
        assert not sight.door.begun


@pytest.mark.parametrize("size", SIZES)
async def test_missing_measurements_lead_to_the_measuring_page(size: tuple[int, int]) -> None:
    async with starting(size=size) as sight:
        await sight.tap("new", "floor")
        assert_whole(sight)
        assert sight.focused == "take_measures"
        await sight.press("enter")
        assert isinstance(sight.page, MeasurePage)
        await sight.tap("digit 1", "digit 6", "keep")
        await sight.tap("skip")
        assert isinstance(sight.page, ToldPage)
        assert sight.door.readings["box_width"][0].value == Length.inches(16)
        await read_all(
            sight, "1 of 2 measured", "box width: 16 in", "board thickness: not measured"
        )


async def read_all(sight: StartSight, *wanted: str) -> None:
    """Turn the pages until every text was seen."""
    seen = sight.words()
    for _ in range(6):
        if "read_on" in sight.buttons():
            await sight.press("n")
            seen += f" {sight.words()}"
    for text in wanted:
        assert text in seen, seen


async def test_where_all_is_measured_going_on_leads() -> None:
    door = FakeDoor()
    for name in ("box_width", "board_thickness"):
        door.keep("floor", None, name, Length.inches(1), "r")
    async with starting(door) as sight:
        await sight.tap("new", "floor")
        assert sight.focused == "go_on"
        assert "all 2 measured" in sight.words()


async def test_a_build_that_cannot_be_read_is_told_with_its_line() -> None:
    async with starting() as sight:
        await sight.tap("new", "broken")
        assert "broken.yaml, line 3" in sight.words()
        await sight.press("b")
        assert "broken" in sight.buttons()


async def test_a_shelf_that_cannot_be_read_is_told() -> None:
    async with starting(FakeDoor(broken_shelf="settings.toml, line 2: no shop.")) as sight:
        await sight.tap("new")
        assert "settings.toml, line 2" in sight.words()
        await sight.press("b")
        assert "go_on" in sight.buttons()


# --- how many -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "said"), [((), "Tap a number first"), (("0",), "Tap a number first"),
                        (("9", "9", "9"), "999 is too many; 1 to 200")]
)  # fmt: skip
async def test_a_number_that_cannot_be_is_answered_with_what_can(
    typed: tuple[str, ...], said: str
) -> None:
    async with starting() as sight:
        await sight.tap("new", "floor", "go_on")
        await sight.press(*typed)
        await sight.tap("take")
        assert said in sight.words()
        assert is_on(sight, NumberPage)
        await sight.press("4", "enter")
        assert is_on(sight, AirPage)


async def test_delete_takes_the_last_digit_back() -> None:
    async with starting() as sight:
        await sight.tap("new", "floor", "go_on")
        await sight.press("4", "5")
        await sight.tap("delete")
        page = sight.page
        assert isinstance(page, NumberPage)
        assert page.typed == "4"


async def test_a_pedal_that_bounces_on_a_digit_does_not_go_on() -> None:
    async with starting() as sight:
        await sight.tap("new", "floor", "go_on")
        await sight.press("pagedown")
        sight.app.simulate_key("pagedown")  # at once
        await sight.settle()
        assert isinstance(sight.page, NumberPage)
        assert sight.page.typed == "1"


# --- the air ------------------------------------------------------------------------------------


async def at_the_air(sight: StartSight) -> None:
    """On to the page that asks for the air, with two units."""
    await sight.tap("new", "floor", "go_on", "digit 2", "take")
    assert isinstance(sight.page, AirPage)


async def test_the_last_air_is_an_offer_and_is_not_taken_by_itself() -> None:
    async with starting() as sight:
        await at_the_air(sight)
        assert sight.focused == ""
        assert sight.buttons()["take"].place.label == "As last time"
        assert not sight.buttons()["take"].place.is_lit
        await sight.press("enter", "space", "pagedown")
        assert isinstance(sight.page, AirPage)
        await sight.press("pageup", "pagedown")
        assert sight.door.planned[-1].temperature_c == 12
        assert sight.door.planned[-1].humidity_percent == 70


async def test_a_key_of_the_air_can_be_repeated_by_enter() -> None:
    async with starting() as sight:
        await at_the_air(sight)
        await sight.press("1")
        await sight.tap("damp 10")
        await sight.press("enter")
        page = sight.page
        assert isinstance(page, AirPage)
        assert (page.air.temperature_c, page.air.humidity_percent) == (7, 90)
        assert "as last time: 12 °C (54 °F), 70 %" in sight.words()


async def test_no_air_beyond_what_a_thermometer_shows() -> None:
    async with starting() as sight:
        await at_the_air(sight)
        for _ in range(12):
            await sight.press("1", "8")
        page = sight.page
        assert isinstance(page, AirPage)
        assert (page.air.temperature_c, page.air.humidity_percent) == (-30, 100)


@pytest.mark.parametrize("size", SIZES)
async def test_a_shop_that_is_too_cold_is_told_with_what_to_do(size: tuple[int, int]) -> None:
    async with starting(size=size) as sight:
        await at_the_air(sight)
        await sight.tap("warmth -5", "take")
        assert_whole(sight)
        if size[0] < 100:  # else in tall letters
            await read_all(sight, "this glue will not bond", "or stop at the dry fit")
        await sight.tap("air")
        assert isinstance(sight.page, AirPage)
        await sight.tap("warmth 5", "take", "begin")
        assert [wish.temperature_c for wish in sight.door.planned] == [7, 12]
        assert sight.door.begun[0].temperature_c == 12


async def test_another_number_can_be_taken_where_there_is_no_plan() -> None:
    async with starting() as sight:
        await at_the_air(sight)
        await sight.tap("warmth -5", "take", "units")
        assert isinstance(sight.page, NumberPage)


# --- the plan in one page -----------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
async def test_the_plan_says_parts_buy_and_evenings_before_anything_is_begun(
    size: tuple[int, int],
) -> None:
    async with starting(size=size) as sight:
        await at_the_air(sight)
        await sight.tap("take")
        assert_whole(sight)
        assert not sight.door.begun
        await read_all(
            sight, "50 parts of 20 kinds", "5 evenings", "pine board",
            "trained people come first.",
        )  # fmt: skip
        await sight.tap("lists")
        await sight.press("1")
        await sight.press("b")
        await sight.tap("begin")
        assert len(sight.door.begun) == 1


async def test_a_batch_that_cannot_be_begun_is_told() -> None:
    door = FakeDoor()
    async with starting(door) as sight:
        await at_the_air(sight)
        await sight.tap("take")
        door.problem = "There is no room on the disk."
        await sight.tap("begin")
        assert "no room on the disk" in sight.words()
        assert not sight.is_left


async def test_a_bouncing_glove_chooses_once() -> None:
    async with starting() as sight:
        sight.clock.pass_by(1)
        await sight.pilot.click(sight.buttons()["new"])
        await sight.settle()
        sight.app.simulate_key("1")  # the same tap, still bouncing
        await sight.settle()
        assert "floor" in sight.buttons()


async def test_a_notice_stands_on_the_first_page() -> None:
    async with starting(notice="That batch is gone.") as sight:
        assert "That batch is gone." in sight.words()
