"""What the tests of the start screen share: a door in memory, and a running start app.

Invented data: builds, sessions and shops of nobody.
"""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from itertools import count
from typing import TYPE_CHECKING

from shopstep.desk import Wish
from shopstep.model.measure import Reading
from shopstep.model.plan import Plan
from shopstep.present.air import Air
from shopstep.present.readings import MeasureCard, kept_words, measure_card
from shopstep.present.shelf_words import (
    KeptSession,
    NotOpened,
    SessionLook,
    ShelfBuild,
    look_at_measures,
)
from shopstep.tui.screens.page import Page
from shopstep.tui.start_app import StartApp
from shopstep.tui.widgets.big_button import BigButton
from shopstep.units import Length
from tests.fake_bench import NOW_S, StillClock
from tests.floor import floor_plan
from tests.in_sight import buttons_in, words_in
from tests.measure_pilot import BOARD, WIDTH

if TYPE_CHECKING:
    from textual.pilot import Pilot

UNDER_WAY = KeptSession(
    "floors.session",
    SessionLook(
        "Screened hive floor, 2 units",
        "31 of 112 steps done, next: Glue the left side (unit 2).",
        "Thu 15 Jan 2026, 20:40",
        True,
    ),
)
COMPLETE = KeptSession(
    "roofs.session",
    SessionLook("Roof, 3 units", "60 of 60 steps done, complete.", "Tue 6 Jan 2026, 20:10", False),
)
OTHER = KeptSession(
    "boxes.session",
    SessionLook("Bird box, 4 units", "2 of 90 steps done.", "Sun 4 Jan 2026, 17:00", True),
)
COLD = (
    "At 9 °C this glue will not bond: it needs at least 10 °C. Warm the shop, the wood and the "
    "glue, or stop at the dry fit.",
)
QUESTIONS = (WIDTH, BOARD)


@dataclass
class FakeDoor:
    """Gives what it was told to, writes down what it is asked for."""

    kept: tuple[KeptSession, ...] = (UNDER_WAY, COMPLETE, OTHER)
    shop_names: tuple[str, ...] = ("garage",)
    readings: dict[str, tuple[Reading, ...]] = field(default_factory=dict)
    coldest_c: float = 10.0
    problem: str = ""
    """Why no session can be begun or opened; empty where it can."""
    has_changed: bool = False
    broken_shelf: str = ""
    more_builds: int = 0
    drawn: str | None = None
    """What every line of a picture is made of; None while it is drawn."""
    opened: list[tuple[str, str]] = field(default_factory=list)
    begun: list[Wish] = field(default_factory=list)
    planned: list[Wish] = field(default_factory=list)

    def now_s(self) -> int:
        """The time that stands."""
        return NOW_S

    def zone(self) -> str:
        """UTC."""
        return "UTC"

    def sessions(self) -> tuple[KeptSession, ...]:
        """As told."""
        return self.kept

    def shops(self) -> tuple[str, ...]:
        """As told."""
        return self.shop_names

    def shelf(self, shop: str | None) -> tuple[ShelfBuild, ...] | str:
        """A build to measure for, one that asks nothing, one that cannot be read."""
        del shop
        if self.broken_shelf:
            return self.broken_shelf
        look = look_at_measures(QUESTIONS, self.readings, "in", "UTC")
        none = look_at_measures((), {}, "in", "UTC")
        more = tuple(
            ShelfBuild(f"more-{n}", f"Another build {n}", "One more.", "", none)
            for n in range(self.more_builds)
        )
        return (
            ShelfBuild("floor", "Screened hive floor", "A floor with a screen.", "", look),
            ShelfBuild("stand", "Hive stand", "A stand for two hives.", "", none),
            ShelfBuild("broken", "", "", "broken.yaml, line 3: 'titel' is not known here", none),
            *more,
        )

    def picture(
        self, build: str, shop: str | None, columns: int, rows: int
    ) -> tuple[str, ...] | None:
        """Of the floor alone, as told."""
        del shop
        if build != "floor":
            return ()
        return None if self.drawn is None else (self.drawn * columns,) * rows

    def cards(self, build: str, shop: str | None) -> tuple[MeasureCard, ...] | str:
        """Two measurements."""
        del build, shop
        return tuple(measure_card(q, self.readings.get(q.name, ()), "in", "UTC") for q in QUESTIONS)

    def keep(self, build: str, shop: str | None, name: str, value: Length, round_: str) -> str:
        """Kept in memory."""
        del build, shop
        self.readings[name] = (Reading(name, value, NOW_S, round_),)
        return kept_words(self.readings[name], "latest", "in", "UTC")

    def last_air(self, shop: str | None) -> Air:
        """A cool shop."""
        del shop
        return Air(12.0, 70.0, "as last time")

    def plan(self, wish: Wish) -> Plan | tuple[str, ...]:
        """The shipped floor, where it is warm enough."""
        self.planned.append(wish)
        if (wish.temperature_c or 0.0) < self.coldest_c:
            return COLD
        return floor_plan(units=2)

    def begin(self, wish: Wish) -> str | None:
        """Written down."""
        if self.problem:
            return self.problem
        self.begun.append(wish)
        return None

    def open(self, name: str, follow: str = "") -> NotOpened | None:
        """Written down."""
        if self.problem:
            return NotOpened(self.problem)
        if self.has_changed and not follow:
            return NotOpened("floor.yaml has changed since this session was planned.", True)
        self.opened.append((name, follow))
        return None


@dataclass
class StartSight:
    """A running start app, its pilot and its clock."""

    app: StartApp
    pilot: Pilot[int]
    clock: StillClock
    door: FakeDoor

    @property
    def page(self) -> Page:
        """The page in sight."""
        assert isinstance(self.app.screen, Page)
        return self.app.screen

    @property
    def is_left(self) -> bool:
        """Whether the app has ended."""
        return self.app.return_value is not None

    def buttons(self) -> dict[str, BigButton]:
        """Buttons in sight by what they choose."""
        return buttons_in(self.app)

    def words(self) -> str:
        """The words in sight with single spaces."""
        return words_in(self.app)

    @property
    def focused(self) -> str:
        """What the button with the light chooses; empty for none."""
        focused = self.app.screen.focused
        return focused.place.action if isinstance(focused, BigButton) else ""

    async def tap(self, *choices: str) -> None:
        """Tap buttons, slowly enough for a person."""
        for choice in choices:
            self.clock.pass_by(1)
            await self.pilot.click(self.buttons()[choice])
            await self.settle()

    async def press(self, *keys: str) -> None:
        """Press keys, slowly enough for a person."""
        for key in keys:
            self.clock.pass_by(1)
            self.app.simulate_key(key)
            await self.settle()

    async def pedal(self, choice: str) -> None:
        """Move the light to a button and choose it, by the two keys of a pedal."""
        for _ in range(len(self.buttons()) + 1):
            if self.focused == choice:
                break
            await self.press("pageup")
        assert self.focused == choice, (choice, list(self.buttons()))
        await self.press("pagedown")

    async def settle(self) -> None:
        """What was asked for is done, also what waits for the next frame."""
        for _ in range(3):
            await self.pilot.pause()


@asynccontextmanager
async def starting(
    door: FakeDoor | None = None, size: tuple[int, int] = (80, 24), notice: str = ""
) -> AsyncIterator[StartSight]:
    """The running start app, its first frame shown."""
    clock, numbers = StillClock(), count(1)
    door = door or FakeDoor()
    app = StartApp(door, notice=notice, monotonic=clock, new_round=lambda: f"r{next(numbers)}")
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        yield StartSight(app, pilot, clock, door)
