"""An offcut is put on the rack by taps alone: at the bench, and by the command."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import replace

import pytest

from shopstep.model.rack import Answers, KeptPiece, Stuff
from shopstep.present.rack_text import ASKED
from shopstep.storage.folders import rack_file
from shopstep.storage.rack_file import RackFile
from shopstep.tui.offcut_app import OffcutApp
from shopstep.tui.screens.offcut_page import OffcutPage
from shopstep.tui.widgets.big_button import BigButton
from shopstep.units import Length
from shopstep.wiring.screens import put_offcut
from tests.fake_bench import GLUE_TIMER, MEASURE, SIZES, FakeBench, StillClock
from tests.in_sight import buttons_in, words_in
from tests.tui_pilot import sight_of


class Shelf:
    """Takes pieces; refuses while ``trouble`` says why."""

    def __init__(self) -> None:
        self.pieces: list[KeptPiece] = []
        self.trouble = ""

    def put(self, piece: KeptPiece) -> str:
        """Put one there."""
        if self.trouble:
            raise OSError(self.trouble)
        self.pieces.append(piece)
        return f"R{len(self.pieces)}: write R{len(self.pieces)} on it."


class Taps:
    """A running page and its pilot."""

    def __init__(self, app: OffcutApp, pilot: object, clock: StillClock) -> None:
        self.app, self.pilot, self.clock = app, pilot, clock

    def buttons(self) -> dict[str, BigButton]:
        """Buttons in sight by what they choose."""
        return buttons_in(self.app)

    def words(self) -> str:
        """The words in sight with single spaces."""
        return words_in(self.app)

    async def tap(self, *choices: str) -> None:
        """Tap buttons, slowly enough for a person; each has to lie on the screen."""
        for choice in choices:
            self.clock.pass_by(1)
            button = self.buttons()[choice]
            assert self.app.screen.region.contains_region(button.region), choice
            await self.pilot.click(button)  # type: ignore[attr-defined]
            await self.pilot.pause()  # type: ignore[attr-defined]


@asynccontextmanager
async def offcuts(
    shelf: Shelf, size: tuple[int, int] = (80, 24), unit: str = "in"
) -> AsyncIterator[Taps]:
    """The running page, its first frame shown."""
    clock = StillClock()
    app = OffcutApp(unit, shelf.put, monotonic=clock)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        yield Taps(app, pilot, clock)


LENGTH = ("digit 3", "digit 8", "fraction", "part 32", "take")
WIDTH = ("digit 5", "fraction", "part 32", "take")
THICKNESS = ("fraction", "part 48", "take")
PIECE = KeptPiece(
    "", Stuff.WOOD, Length.inches("77/2"), Length.inches("11/2"), Length.inches("3/4")
)


@pytest.mark.parametrize("size", [(40, 15), (80, 24), *SIZES])
async def test_a_piece_is_told_by_taps_alone(size: tuple[int, int]) -> None:
    shelf = Shelf()
    async with offcuts(shelf, size) as taps:
        await taps.tap("wood", *LENGTH)
        assert "How wide is it?" in taps.words()
        await taps.tap(*WIDTH, *THICKNESS, "no")
        assert shelf.pieces == [], "it is looked at first"
        assert "38 1/2 in × 5 1/2 in × 3/4 in" in taps.words()
        await taps.tap("put")
        assert "write R1 on it" in taps.words()
        await taps.tap("another", "plywood")
        assert "How long is it" in taps.words()
    assert shelf.pieces == [PIECE]


@pytest.mark.parametrize("size", [(40, 15), (80, 24)])
async def test_a_reclaimed_piece_is_asked_all_of_it(size: tuple[int, int]) -> None:
    shelf = Shelf()
    async with offcuts(shelf, size) as taps:
        await taps.tap("wood", *LENGTH, *WIDTH, *THICKNESS, "yes")
        for number, question in enumerate(ASKED.values()):
            assert question.split(":")[0].split(",")[0] in taps.words()
            await taps.tap("yes" if number == 3 else "no")
        await taps.tap("put")
    found = Answers(metal=False, old_paint=False, preservative=False, damp=True)
    assert shelf.pieces == [replace(PIECE, reclaimed=True, answers=found)]


async def test_millimetres_have_a_point() -> None:
    shelf = Shelf()
    async with offcuts(shelf, unit="mm") as taps:
        await taps.tap("cloth", "digit 9", "digit 0", "digit 0", "take")
        await taps.tap("digit 4", "digit 5", "digit 0", "take", "point", "digit 8", "take", "no")
        await taps.tap("put")
    (piece,) = shelf.pieces
    assert (piece.stuff, piece.length, piece.width) == (Stuff.CLOTH, Length.mm(900), Length.mm(450))
    assert piece.thickness == Length.mm("0.8")


async def test_back_leads_one_question_back_and_nothing_is_taken_for_granted() -> None:
    shelf = Shelf()
    async with offcuts(shelf) as taps:
        await taps.tap("wood", "take")
        assert "Tap in what the rule says." in taps.words()
        await taps.tap("digit 9", "digit 9", "digit 9", "take")
        assert "longer than anything on a rack" in taps.words()
        await taps.tap("delete", "take", "back_to_step")
        assert "How long is it" in taps.words()
        await taps.tap("back_to_step")
        assert "What is it?" in taps.words()
        await taps.tap("back_to_step")
        assert not taps.app.is_running or taps.app.return_code == 0
    assert shelf.pieces == []


async def test_a_rack_that_cannot_be_written_is_said_and_can_be_tried_again() -> None:
    shelf = Shelf()
    async with offcuts(shelf) as taps:
        await taps.tap("wood", *LENGTH, *WIDTH, *THICKNESS, "no")
        shelf.trouble = "the disk is full"
        await taps.tap("put")
        assert "It is not on the rack: the disk is full" in taps.words()
        shelf.trouble = ""
        await taps.tap("put")
    assert shelf.pieces == [PIECE]


@pytest.mark.parametrize("size", [(40, 15), (80, 24)])
async def test_the_same_place_tapped_again_and_again_puts_nothing_there(
    size: tuple[int, int],
) -> None:
    """A glove that stays on one place answers no question after the next with it."""
    shelf = Shelf()
    async with offcuts(shelf, size) as taps:
        at = taps.buttons()["wood"].region
        for _ in range(40):
            taps.clock.pass_by(1)
            where = (at.x + at.width // 2, at.y + at.height // 2)
            await taps.pilot.click(offset=where)  # type: ignore[attr-defined]
            await taps.pilot.pause()  # type: ignore[attr-defined]
    assert shelf.pieces == []


async def test_enter_pressed_again_and_again_puts_nothing_there() -> None:
    shelf = Shelf()
    async with offcuts(shelf) as taps:
        await taps.tap("wood", *LENGTH, *WIDTH, *THICKNESS)
        await taps.tap("no")
        focused = [a for a, button in taps.buttons().items() if button.has_focus]
        assert focused == ["back_to_step"]
        taps.clock.pass_by(1)
        taps.app.simulate_key("enter")
        await taps.pilot.pause()  # type: ignore[attr-defined]
        assert "Was it something else before" in taps.words()
    assert shelf.pieces == []


@pytest.mark.parametrize("size", [(40, 15), (80, 24)])
async def test_at_the_bench_it_stands_behind_more(size: tuple[int, int]) -> None:
    shelf = Shelf()
    bench = FakeBench(MEASURE)
    async with sight_of(bench, size, put_offcut=shelf.put) as sight:
        await sight.tap("more")
        await sight.leaf("open offcut")
        await sight.tap("open offcut")
        for choice in ("wood", *LENGTH, *WIDTH, *THICKNESS, "no", "put", "back_to_step"):
            await sight.tap(choice)
        assert sight.open_page() is None
    assert shelf.pieces == [PIECE]
    assert bench.commands == []


async def test_without_a_rack_it_is_not_offered() -> None:
    async with sight_of(FakeBench(MEASURE)) as sight:
        items = sight.screen.openings.more_items()
        assert "open offcut" not in [choice for choice, _, _ in items]


async def test_an_alarm_that_closes_the_page_says_that_nothing_was_put_there() -> None:
    shelf = Shelf()
    bench = FakeBench(replace(MEASURE, timers=(GLUE_TIMER,)))
    async with sight_of(bench, put_offcut=shelf.put) as sight:
        sight.screen.openings.open("offcut")
        await sight.pilot.pause()
        assert isinstance(sight.open_page(), OffcutPage)
        await sight.tap("wood")
        bench.time_s = GLUE_TIMER.due_s + 5
        sight.screen.tick()
        await sight.pilot.pause()
        assert sight.open_page() is None
        assert "The offcut is not on the rack." in sight.words()
    assert shelf.pieces == []


def test_what_is_put_there_lies_on_the_rack_with_a_number() -> None:
    said = put_offcut("in")(replace(PIECE, reclaimed=True))
    (piece,) = RackFile(rack_file()).kept()
    assert (piece.length, piece.width, piece.id) == (PIECE.length, PIECE.width, "R1")
    assert "Write R1 on it." in said
    assert "No plan gets it: reclaimed, and not looked over yet." in said
