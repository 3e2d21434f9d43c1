"""An ear for tests of the screen: it hears what it is told to, and writes down its orders."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from shopstep.present.face import Bench
from shopstep.tui.app import BenchApp
from shopstep.tui.hearing import Hearing
from shopstep.tui.speaking import Speech
from shopstep.units import Length
from shopstep.voice.hear_news import Judged, Level, News, Order, Ready
from shopstep.voice.hear_policy import Heard
from tests.fake_bench import StillClock
from tests.tui_pilot import Sight

PHRASES = {
    "done": "mark it done",
    "back": "go back one step",
    "hold": "hold the batch here",
    "resume": "resume the work now",
    "start": "glue goes on now",
    "why": "what is the reason",
    "more": "what else is there",
    "measure": "the reading is",
    "take": "take number instead",
    "again": "say that again",
    "slower": "speak more slowly now",
    "number": "only the number please",
    "left": "how much time remains",
    "quiet": "quiet the alarm now",
    "yes": "yes do that now",
    "no": "no leave it alone",
}
QUIET, SHOUT = Level(-60.0, False, False), Level(-12.0, False, True)


class FakeEars:
    """Tells what was put there."""

    def __init__(self, *first: News) -> None:
        self.waiting: list[News] = list(first or (Ready(tuple(PHRASES.items()), True), QUIET))
        self.orders: list[Order] = []
        self.is_started = self.is_stopped = False

    def start(self) -> None:
        """It began."""
        self.is_started = True

    def order(self, order: Order) -> None:
        """Write it down."""
        self.orders.append(order)

    def news(self) -> list[News]:
        """What was put there, once."""
        told, self.waiting = self.waiting, []
        return told if self.is_started else []

    def stop(self) -> None:
        """It ended."""
        self.is_stopped = True

    def listens(self) -> bool:
        """Whether it was told to judge."""
        return bool(self.orders) and self.orders[-1].grammar is not None

    def judged(self, action: str, words: str = "", value: Length | None = None) -> Judged:
        """A phrase taken for certain, about what it was last told to hear."""
        grammar = next(order.grammar for order in reversed(self.orders) if order.grammar)
        said = words or PHRASES[action]
        return Judged(grammar.about, said, Heard(action, said, value), "")


def hearing_of(sight: Sight) -> Hearing:
    """What hears on the screen."""
    hearing = sight.screen.hearing
    assert isinstance(hearing, Hearing)
    return hearing


async def tell(sight: Sight, ears: FakeEars, *news: News) -> None:
    """The ear tells, and the screen looks."""
    ears.waiting += news
    hearing_of(sight).look()
    await sight.pilot.pause()


@asynccontextmanager
async def sight_that_hears(
    bench: Bench,
    ears: FakeEars,
    way: str = "push",
    size: tuple[int, int] = (80, 24),
    speech: Speech | None = None,
) -> AsyncIterator[Sight]:
    """The running app, its ear ready."""
    clock = StillClock()
    app = BenchApp(bench, monotonic=clock, ears=ears, listens=way, speech=speech)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        sight = Sight(app, pilot, clock)
        await tell(sight, ears)
        yield sight
