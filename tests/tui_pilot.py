"""What the tests of the live screen share: an app at a fake bench, and what can be seen on it."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopstep.present.card import StepCard
from shopstep.present.face import Bench
from shopstep.tui.app import BenchApp
from shopstep.tui.bench import Pictures
from shopstep.tui.screens.bench_screen import BenchScreen
from shopstep.tui.screens.offcut_page import PutPiece
from shopstep.tui.screens.page import Page
from shopstep.tui.widgets.big_button import BigButton
from tests.fake_bench import STEP, FakeBench, StillClock
from tests.in_sight import buttons_in, text_in, words_in

if TYPE_CHECKING:
    from textual.pilot import Pilot


_PATIENCE = 250
"""How often a page that was just opened is looked at again, on a machine that has other work."""
_STILL_LOOKS = 3
"""A page is settled that has looked alike so often, with all its messages read in between."""
_MOST_PAGES = 12


@dataclass
class Sight:
    """An app under test, its pilot, and its clock of monotonic seconds."""

    app: BenchApp
    pilot: Pilot[int]
    clock: StillClock

    @property
    def screen(self) -> BenchScreen:
        """The bench, whatever page lies over it."""
        screen = self.app.screen_stack[0]
        assert isinstance(screen, BenchScreen)
        return screen

    def open_page(self) -> Page | None:
        """The page that lies over the bench."""
        screen = self.app.screen
        return screen if isinstance(screen, Page) else None

    def buttons(self) -> dict[str, BigButton]:
        """Buttons in sight by what they choose."""
        return buttons_in(self.app)

    def text(self) -> str:
        """The words in sight, folded rows joined; tall letters as they are drawn."""
        return text_in(self.app)

    def words(self) -> str:
        """The same with single spaces."""
        return words_in(self.app)

    @property
    def focused(self) -> str:
        """What the button with the focus chooses; empty for none."""
        focused = self.app.screen.focused
        return focused.place.action if isinstance(focused, BigButton) else ""

    async def press(self, *keys: str) -> None:
        """Press keys, slowly enough for a person."""
        for key in keys:
            self.clock.pass_by(1)
            self.app.simulate_key(key)
            await self.settle()

    async def settle(self) -> None:
        """Wait until no page opens or closes and no focus moves any more."""
        before, looks = None, 0
        for _ in range(_PATIENCE):
            await self.pilot.pause(0)
            seen = (self.app.screen, self.app.screen.focused)
            looks = looks + 1 if seen == before else 0
            if looks == _STILL_LOOKS:
                return
            before = seen

    async def tap(self, choice: str) -> None:
        """Tap a button once it is in sight and stands still, slowly enough for a person."""
        self.clock.pass_by(1)
        for _ in range(_PATIENCE):
            button = self.buttons().get(choice)
            await self.pilot.pause(0 if button else 0.02)
            if button is not None and self.buttons().get(choice) is button:
                break
        await self.pilot.click(self.buttons()[choice])
        await self.settle()

    async def leaf(self, choice: str, by: str = "more_rows") -> None:
        """Turn pages by a button until another one is in sight."""
        for _ in range(_MOST_PAGES):
            if choice in self.buttons():
                return
            await self.tap(by)
        raise AssertionError(f"'{choice}' is on no page; here are {sorted(self.buttons())}")

    async def show(self, card: StepCard) -> None:
        """Another face brings a card up."""
        bench = self.app.hand.bench
        assert isinstance(bench, FakeBench)
        bench.shown = card
        self.app.hand.refresh()
        self.screen.settle()
        await self.settle()


@asynccontextmanager
async def sight_of(
    bench: Bench | None = None,
    size: tuple[int, int] = (80, 24),
    theme: str = "dark",
    *,
    is_resumed: bool = False,
    is_far: bool = False,
    pictures: Pictures | None = None,
    put_offcut: PutPiece | None = None,
) -> AsyncIterator[Sight]:
    """The running app, its first frame shown."""
    clock = StillClock()
    app = BenchApp(
        bench or FakeBench(STEP), theme, monotonic=clock, is_resumed=is_resumed, is_far=is_far,
        pictures=pictures, put_offcut=put_offcut,
    )  # fmt: skip
    async with app.run_test(size=size) as pilot:
        sight = Sight(app, pilot, clock)
        await sight.settle()
        yield sight
