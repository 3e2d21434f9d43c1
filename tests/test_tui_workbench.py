"""The screen at the real workbench: the whole sample batch, from the saw to the last coat."""

from __future__ import annotations

import pytest

from shopstep.present.card import CardMode
from shopstep.session.commands import FinishStep
from shopstep.storage.clock import FixedClock
from shopstep.workbench import Workbench
from tests.sample_plan import BEGIN_S, make_plan
from tests.session_bench import MemoryJournal, new_id
from tests.tui_pilot import Sight, sight_of

OTHER_ID = "0" * 32


def make_bench(units: int = 2) -> tuple[Workbench, MemoryJournal, FixedClock]:
    """A workbench on the sample plan, its journal in memory, its clock standing."""
    journal, clock = MemoryJournal(make_plan(units)), FixedClock(BEGIN_S)
    return Workbench(journal, clock, "bench"), journal, clock


async def go_on(sight: Sight, clock: FixedClock, way: str) -> None:
    """Do what the card asks for, with one finger, one pedal pair, or letters."""
    card = sight.screen.card
    if card.mode is CardMode.WAITING:
        clock.at_s = min(timer.due_s for timer in card.timers if timer.due_s > clock.at_s)
        sight.screen.tick()
        await sight.press("x")
        return
    clock.at_s += 20
    wanted = "ack" if card.mode is CardMode.CAUTION else card.actions[0].id
    letters = {"ack": "a", "measure": "e", "start": "s", "done": "d"}
    if way == "pedals":
        await sight.press(*["pageup"] * (wanted == "ack"), "pagedown")
    elif way == "taps":
        await sight.tap(next(c for c in (wanted, "ready", "next_page") if c in sight.buttons()))
    elif wanted == "ack":
        await sight.press("a" if "ack" in sight.buttons() else "u")
    else:
        await sight.press(letters[wanted])
    if wanted == "measure" and sight.open_page() is not None:  # else a page was turned
        await keep_reading(sight, way)


async def keep_reading(sight: Sight, way: str) -> None:
    """Keep the value that the pad shows."""
    if way == "pedals":
        await sight.press("pageup", "pageup", "pagedown")
    elif way == "taps":
        await sight.tap("save")
    else:
        await sight.press("k")


@pytest.mark.parametrize("way", ["pedals", "taps", "letters"])
async def test_a_whole_batch_is_built_with_pedals_with_taps_or_with_letters(way: str) -> None:
    bench, journal, clock = make_bench(units=1)
    async with sight_of(bench) as sight:
        for _ in range(80):
            if sight.screen.card.mode is CardMode.COMPLETE:
                break
            await go_on(sight, clock, way)
        assert sight.screen.card.mode is CardMode.COMPLETE
    assert len(bench.state.finished) == len(bench.plan.steps)
    assert {envelope.face for envelope in journal.stored} == {"bench"}


async def test_every_command_is_stored_before_the_screen_changes() -> None:
    bench, journal, _ = make_bench()
    async with sight_of(bench) as sight:
        await sight.press("u", "a")
        assert sight.screen.card.version == journal.stored[-1].version
        await sight.press("d")
        assert sight.screen.card.version == journal.stored[-1].version
        assert sight.screen.card.step_id == "u1/fit/dry"


async def test_a_step_that_another_face_finished_is_not_ticked_again_here() -> None:
    bench, journal, clock = make_bench()
    other = Workbench(journal, clock, "tablet")
    async with sight_of(bench) as sight:
        await sight.press("u", "a")
        other.do(FinishStep(id=OTHER_ID, step="all/rip/rail"))
        await sight.press("d")  # this screen still shows the saw
        assert list(bench.state.finished) == ["all/rip/rail"]
        assert sight.screen.card.step_id == "u1/fit/dry"


async def test_what_another_face_does_comes_up_by_itself() -> None:
    bench, journal, clock = make_bench()
    other = Workbench(journal, clock, "tablet")
    async with sight_of(bench) as sight:
        await sight.press("u", "a")
        other.do(FinishStep(id=new_id(), step="all/rip/rail"))
        sight.screen.poll()
        await sight.pilot.pause()
        assert sight.screen.card.step_id == "u1/fit/dry"


async def test_the_engines_refusal_is_what_the_person_reads() -> None:
    bench, journal, clock = make_bench()
    async with sight_of(bench, (120, 40)) as sight:
        for _ in range(12):
            if sight.screen.card.step_id == "u1/glue/square":
                break
            await go_on(sight, clock, "letters")
        stored = len(journal.stored)
        await sight.press("d")  # the diagonals were not measured
        assert len(journal.stored) == stored
        assert "diagonals" in sight.words()
        assert sight.screen.hand.refused
        assert sight.screen.hand.refused.split()[0] in sight.words()


async def test_glue_closes_late_only_when_the_person_says_so() -> None:
    bench, _, clock = make_bench()
    async with sight_of(bench) as sight:
        for _ in range(12):
            if sight.screen.card.step_id == "u1/glue/close":
                break
            await go_on(sight, clock, "letters")
        clock.at_s += 900
        sight.screen.tick()
        await sight.pilot.pause()
        assert "TOO LATE" in sight.words()
        await sight.press("d")
        assert "u1/glue/close" not in bench.state.finished
        await sight.press("m")
        await sight.tap("do accept")
        await sight.tap("keep")
        await sight.press("d")
        assert "u1/glue/close" in bench.state.finished


async def test_a_screen_that_is_opened_again_lands_on_the_same_step() -> None:
    bench, journal, clock = make_bench()
    async with sight_of(bench) as sight:
        await sight.press("u", "a", "d", "q")
    again = Workbench(journal, clock, "bench")
    async with sight_of(again) as sight:
        assert sight.screen.card.step_id == "u1/fit/dry"
