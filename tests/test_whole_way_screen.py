"""The main job through the screen: two shipped floors, every step, on a real session file."""

from __future__ import annotations

from pathlib import Path

from shopstep.desk import Desk, EmptyRack, Profile, Wish
from shopstep.model.plan import BuildText, Conditions
from shopstep.present.card import CardMode
from shopstep.session.events import StepFinished
from shopstep.storage.clock import FixedClock
from shopstep.storage.session_file import SessionFile
from shopstep.wiring.late_planner import LatePlanner
from shopstep.workbench import Workbench
from tests.floor import BEGIN_S, SHOP, floor_text
from tests.test_tui_workbench import go_on
from tests.tui_pilot import sight_of


class OneBuild:
    """A shelf with the floor on it."""

    def entries(self) -> tuple[()]:
        """Not asked here."""
        return ()

    def find(self, build: str) -> tuple[BuildText, tuple[BuildText, ...]]:
        """The floor, whatever it is called."""
        return BuildText(build, floor_text()), ()


class OneShop:
    """The shop of the tests."""

    def names(self) -> tuple[str, ...]:
        """Only this one."""
        return (SHOP.name,)

    def profile(self, name: str | None) -> Profile:
        """The same whatever the name."""
        del name
        return Profile(SHOP, Conditions(20.0, 50.0), "in")


def open_bench(path: Path, clock: FixedClock, units: int = 2) -> Workbench:
    """Floors planned, their session on disk."""
    desk = Desk(OneBuild(), OneShop(), EmptyRack(), LatePlanner())
    start = desk.start(Wish("floor.yaml", units=units), clock.at_s)
    journal = SessionFile.create(
        path, start.request, start.plan, start.events, clock.now(), "bench"
    )
    return Workbench(journal, clock, "bench", LatePlanner())


async def test_two_floors_are_built_through_the_screen_each_step_after_what_it_needs(
    tmp_path: Path,
) -> None:
    clock = FixedClock(BEGIN_S)
    bench = open_bench(tmp_path / "two.session", clock)
    async with sight_of(bench, size=(120, 40)) as sight:
        for _ in range(2000):
            if sight.screen.card.mode is CardMode.COMPLETE:
                break
            await go_on(sight, clock, "letters")
        assert sight.screen.card.mode is CardMode.COMPLETE
    with SessionFile.open(tmp_path / "two.session") as stored:
        events = [envelope.event for envelope in stored.events_after(0)]
    order = [event.step for event in events if isinstance(event, StepFinished)]
    assert sorted(order) == sorted(step.id for step in bench.plan.steps)
    place = {step: i for i, step in enumerate(order)}
    for step in bench.plan.steps:
        assert all(place[need] < place[step.id] for need in step.needs), step.id


async def events_by(way: str, path: Path, *, is_far: bool = False) -> list[tuple[str, str]]:
    """Kinds and steps of all events of one floor that was built in one way."""
    clock = FixedClock(BEGIN_S)
    async with sight_of(open_bench(path, clock, 1), (59, 16), is_far=is_far) as sight:
        for _ in range(2000):
            if sight.screen.card.mode is CardMode.COMPLETE:
                break
            await go_on(sight, clock, way)
        assert sight.screen.card.mode is CardMode.COMPLETE, way
    with SessionFile.open(path) as stored:
        events = [envelope.event for envelope in stored.events_after(0)]
    return [(type(event).__name__, getattr(event, "step", "")) for event in events]


async def test_taps_letters_and_two_pedals_build_a_floor_by_the_same_events(
    tmp_path: Path,
) -> None:
    taps = await events_by("taps", tmp_path / "taps.session")
    assert await events_by("letters", tmp_path / "letters.session") == taps
    assert await events_by("pedals", tmp_path / "pedals.session", is_far=True) == taps


async def test_a_screen_that_was_killed_comes_back_to_the_same_step(tmp_path: Path) -> None:
    path, clock = tmp_path / "two.session", FixedClock(BEGIN_S)
    async with sight_of(open_bench(path, clock)) as sight:
        for _ in range(30):
            await go_on(sight, clock, "letters")
        before = sight.screen.card
    clock.at_s += 3 * 86400
    again = Workbench(SessionFile.open(path), clock, "bench")
    async with sight_of(again) as sight:
        after = sight.screen.card
    assert (after.step_id, after.done_count, after.version) == (
        before.step_id,
        before.done_count,
        before.version,
    )
    assert before.done_count > 5
