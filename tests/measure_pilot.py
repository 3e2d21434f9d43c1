"""What the tests of the measuring page share: cards, a book of what was kept, a running page."""

from __future__ import annotations

from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from itertools import count
from typing import TYPE_CHECKING

from shopstep.model.measure import MeasureQuestion
from shopstep.present.readings import MeasureCard, measure_card
from shopstep.tui.measure_app import MeasureApp
from shopstep.tui.screens.measure_page import MeasurePage
from shopstep.tui.widgets.big_button import BigButton
from shopstep.units import Length, format_length
from tests.fake_bench import StillClock
from tests.in_sight import buttons_in, words_in

if TYPE_CHECKING:
    from textual.pilot import Pilot

WIDTH = MeasureQuestion(
    "box_width",
    "Outside width of your box, across its short side at the lower rim. Hook the tape on the left.",
    Length.inches("16.25"), Length.inches(12), Length.inches(24),
)  # fmt: skip
BOARD = MeasureQuestion(
    "board_thickness",
    "Thickness of the boards as they lie on your bench. Measure three, take the thickest.",
    Length.inches("3/4"), Length.inches("11/16"), Length.inches("7/8"), "thickest",
)  # fmt: skip


def cards_in(unit: str) -> tuple[MeasureCard, ...]:
    """Two measurements of which nothing is kept."""
    return tuple(measure_card(question, (), unit, "UTC") for question in (WIDTH, BOARD))


@dataclass
class Book:
    """Writes down what the page keeps; refuses while ``trouble`` says why."""

    kept: list[tuple[str, Length, str]] = field(default_factory=list)
    trouble: str = ""

    def keep(self, name: str, value: Length, round_: str) -> str:
        """Keep one reading."""
        if self.trouble:
            raise OSError(self.trouble)
        self.kept.append((name, value, round_))
        return f"{format_length(value)}, today"

    @property
    def values(self) -> list[tuple[str, Length]]:
        """Names and values without the rounds."""
        return [(name, value) for name, value, _ in self.kept]


@dataclass
class MeasureSight:
    """A running page, its pilot and its clock."""

    app: MeasureApp
    pilot: Pilot[int]
    clock: StillClock

    @property
    def page(self) -> MeasurePage:
        """The page."""
        page = next(s for s in self.app.screen_stack if isinstance(s, MeasurePage))
        assert isinstance(page, MeasurePage)
        return page

    def buttons(self) -> dict[str, BigButton]:
        """Buttons in sight by what they choose."""
        return buttons_in(self.app)

    def words(self) -> str:
        """The words in sight with single spaces."""
        return words_in(self.app)

    async def tap(self, *choices: str) -> None:
        """Tap buttons, slowly enough for a person."""
        for choice in choices:
            self.clock.pass_by(1)
            await self.pilot.click(self.buttons()[choice])
            await self.pilot.pause()

    async def press(self, *keys: str) -> None:
        """Press keys, slowly enough for a person."""
        for key in keys:
            self.clock.pass_by(1)
            self.app.simulate_key(key)
            await self.pilot.pause()


@asynccontextmanager
async def measuring(
    book: Book,
    cards: Sequence[MeasureCard] = (),
    size: tuple[int, int] = (80, 24),
) -> AsyncIterator[MeasureSight]:
    """The running page, its first frame shown."""
    clock, numbers = StillClock(), count(1)
    app = MeasureApp(
        cards or cards_in("in"), book.keep, monotonic=clock, new_round=lambda: f"r{next(numbers)}"
    )
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        yield MeasureSight(app, pilot, clock)
