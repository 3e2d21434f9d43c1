"""Room for a glue-up: no glue goes on that cannot be closed before closing time, or be clamped."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from shopstep.model.plan import Calendar, Conditions, Plan
from shopstep.model.resources import ClampSet
from shopstep.model.step import Hold
from shopstep.model.stock import RackPiece
from shopstep.session import commands as c
from shopstep.session import events as e
from shopstep.session.around import Around, clamps_for, clamps_on, glue_up, seconds_of
from shopstep.session.decide import decide
from shopstep.session.gates import Verdict
from shopstep.session.room import why_not_tonight
from shopstep.session.timers import zone_of
from shopstep.storage.clock import FixedClock
from shopstep.storage.session_file import SessionFile
from shopstep.units import ZERO, Length
from shopstep.wiring.late_planner import LatePlanner
from shopstep.wiring.surroundings import ShopAround
from shopstep.workbench import Accepted, Surroundings, Workbench
from tests.floor import BEGIN_S, SHOP, floor_plan, floor_request
from tests.sample_plan import make_plan
from tests.session_bench import MemoryJournal, Play, first_events, moment_at, new_id
from tests.test_following import walk
from tests.test_moving_over import cutting_steps

SPREAD, CLOSE = "u1/glue/spread", "u1/glue/close"
OTHER = "u2/glue/spread"


def clamped() -> Plan:
    """The sample: spread and close go together, and closing puts two clamps on."""
    plan = make_plan()
    steps = tuple(
        replace(s, behind=f"u{s.unit}/glue/spread") if s.kind == "glue/close" else s
        for s in plan.steps
    )
    holds = tuple(
        Hold("clamps", 2, f"u{unit}/glue/close", f"u{unit}/screw/screws") for unit in (1, 2)
    )
    return replace(plan, steps=steps, holds=holds)


def at(step: str) -> Play:
    """Worked until a step comes to the bench."""
    play = Play(plan=clamped())
    play.finish_until(step)
    return play


def ask(play: Play, command: c.Command, around: Around) -> Verdict:
    """What follows with such a shop around the bench."""
    return decide(play.state, play.plan, command, moment_at(play.now_s), around)


def start(step: str = SPREAD) -> c.StartSpreading:
    return c.StartSpreading(id=new_id(), step=step)


def finish(step: str = SPREAD) -> c.FinishStep:
    return c.FinishStep(id=new_id(), step=step)


def test_a_glue_up_takes_all_that_follows_at_once() -> None:
    plan = clamped()
    spread = next(s for s in plan.steps if s.id == SPREAD)
    assert [s.id for s in glue_up(plan, spread)] == [SPREAD, CLOSE]
    # by hand: 60 s and 120 s
    assert seconds_of(glue_up(plan, spread)) == 180
    assert clamps_for(plan, glue_up(plan, spread)) == 2


@pytest.mark.parametrize("command", [start, finish])
def test_no_glue_goes_on_that_cannot_be_closed_before_the_shop_closes(command: object) -> None:
    play = at(SPREAD)
    assert callable(command)
    late = ask(play, command(), Around(closes_s=play.now_s + 179))
    assert isinstance(late, c.Refusal)
    assert late.rule == "closing"
    assert "it takes 3 min" in late.text
    assert late.typed.startswith("In words: `until ")
    in_time = ask(play, command(), Around(closes_s=play.now_s + 180))
    assert not isinstance(in_time, c.Refusal)


def test_past_closing_time_it_says_so() -> None:
    play = at(SPREAD)
    late = ask(play, start(), Around(closes_s=play.now_s - 600))
    assert isinstance(late, c.Refusal)
    assert "and that is past" in late.text


def test_who_stays_longer_may() -> None:
    play = at(SPREAD)
    around = Around(closes_s=play.now_s - 600)
    told = ask(play, c.StayUntil(id=new_id(), clock="23:30"), around)
    assert isinstance(told, tuple)
    (event,) = told
    assert isinstance(event, e.HoursTold)
    assert 0 < event.until_s - play.now_s <= 86400
    play.do(c.StayUntil(id=new_id(), clock="23:30"))
    assert not isinstance(ask(play, start(), around), c.Refusal)
    # the next day the shop's hours count again
    play.now_s = event.until_s + 60
    assert isinstance(ask(play, start(), Around(closes_s=play.now_s - 1)), c.Refusal)


@pytest.mark.parametrize("clock", ["", "noon", "25:00", "9:5", "21:60", "-1:00", "²1:00"])
def test_what_is_no_time_is_refused(clock: str) -> None:
    refused = Play().ask(c.StayUntil(id=new_id(), clock=clock))
    assert isinstance(refused, c.Refusal)
    assert refused.rule == "bad_value"


def test_no_glue_goes_on_that_cannot_be_clamped_and_it_says_when_clamps_come_off() -> None:
    play = at(OTHER)
    assert [hold.first for hold in clamps_on(play.state, play.plan)] == [CLOSE]
    short = ask(play, start(OTHER), Around(clamps=3))
    assert isinstance(short, c.Refusal)
    assert short.rule == "clamps"
    assert "needs 2 clamps, and 1 of 3 are free" in short.text
    assert "First Screw the joint (unit 1), at " in short.text
    assert short.typed == "In words: `clamps 4`."
    assert not isinstance(ask(play, start(OTHER), Around(clamps=4)), c.Refusal)


def test_clamps_that_hold_another_batch_are_not_free() -> None:
    play = at(SPREAD)
    short = ask(play, start(), Around(clamps=4, clamps_elsewhere=(ClampSet(3, ZERO),)))
    assert isinstance(short, c.Refusal)
    assert "needs 2 clamps, and 1 of 4 are free. 3 hold another batch." in short.text
    assert not isinstance(
        ask(play, start(), Around(clamps=5, clamps_elsewhere=(ClampSet(3, ZERO),))), c.Refusal
    )


def floor_width(plan: Plan) -> Length:
    """The floor from left to right: so far each clamp of its frame reaches."""
    return dict(plan.sizes)["width"]


def test_another_session_of_the_shop_holds_its_clamps_till_they_come_off(tmp_path: Path) -> None:
    plan, request = floor_plan(), floor_request()
    clock = FixedClock(BEGIN_S)
    files = [tmp_path / f"{name}.session" for name in ("one", "two")]
    for file in files:
        first = first_events(plan, BEGIN_S)
        SessionFile.create(file, request, plan, first, clock.now(), "bench").close()
    around = ShopAround(request.shop, (), files[1])
    assert around.clamps_elsewhere() == ()
    with SessionFile.open(files[0]) as journal:
        bench = Workbench(journal, clock, "bench", LatePlanner())
        walk(bench, clock, "u1/screw/frame")
        # by hand: two clamps hold each frame; how many frames are in clamps by now
        frames = sum(f"u{u}/glue/close_right" in bench.state.finished for u in (1, 2))
        assert around.clamps_elsewhere() == (ClampSet(2, floor_width(plan)),) * frames
        walk(bench, clock, "u1/glue/unclamp_frame")
        walk(bench, clock, "u2/glue/unclamp_frame")
    assert around.clamps_elsewhere() == ()
    other = replace(request.shop, name="shed")
    assert ShopAround(other, (), files[1]).clamps_elsewhere() == ()
    files[0].write_bytes(b"no session")
    assert ShopAround(request.shop, (), files[1]).clamps_elsewhere() == ()


def test_clamps_that_are_counted_count() -> None:
    play = at(OTHER)
    play.do(c.CountClamps(id=new_id(), count=4))
    assert not isinstance(ask(play, start(OTHER), Around(clamps=3)), c.Refusal)
    assert play.ask(c.CountClamps(id=new_id(), count=4)) == ()
    assert isinstance(play.ask(c.CountClamps(id=new_id(), count=-1)), c.Refusal)


def test_glue_that_is_on_is_never_kept_from_being_closed() -> None:
    play = at(SPREAD)
    play.do(start())
    around = Around(closes_s=play.now_s - 60, clamps=0)
    assert not isinstance(ask(play, finish(), around), c.Refusal)
    play.do(finish())
    assert not isinstance(ask(play, finish(CLOSE), around), c.Refusal)


def test_where_nobody_says_nothing_is_refused() -> None:
    play = at(SPREAD)
    assert not isinstance(ask(play, start(), Around()), c.Refusal)


def test_where_glue_comes_too_late_another_step_comes_to_the_bench_meanwhile() -> None:
    play = at("u1/fit/dry")
    late = Around(closes_s=play.now_s + 100)
    verdict = ask(play, finish("u1/fit/dry"), late)
    assert isinstance(verdict, tuple)
    begun = [event.step for event in verdict if isinstance(event, e.StepBegun)]
    # unit 2's dry fit goes before unit 1's glue, which would be open at closing time
    assert begun == ["u2/fit/dry"]
    early = ask(play, finish("u1/fit/dry"), Around(closes_s=play.now_s + 9000))
    assert isinstance(early, tuple)


def test_where_nothing_else_is_ready_the_glue_step_stands_there_and_says_why() -> None:
    play = at("u1/fit/dry")
    play.do(finish("u1/fit/dry"))
    play.do(finish("u2/fit/dry"))
    play.do(c.SetAside(id=new_id(), step="u2/glue/spread"))
    around = Around(closes_s=play.now_s + 100)
    held = ask(play, c.HoldBatch(id=new_id()), around)
    assert isinstance(held, tuple)
    refused = ask(play, start("u1/glue/spread"), around)
    assert isinstance(refused, c.Refusal)
    assert refused.rule == "closing"


def test_the_floor_needs_its_two_clamps_for_the_frame() -> None:
    plan = floor_plan()
    spread = next(s for s in plan.steps if s.id == "u1/glue/spread_left")
    steps = glue_up(plan, spread)
    # by hand, from the build: 1.5 + 1.5 + 1 + 1.5 + 2 + 1.5 + 3 + 2 + 12 minutes
    assert seconds_of(steps) == 26 * 60
    assert steps[-1].id == "u1/screw/frame"
    assert clamps_for(plan, steps) == 2


def test_the_shop_closes_at_its_hour_of_that_day() -> None:
    around = ShopAround(SHOP).look(BEGIN_S)
    assert around == Around(closes_s=BEGIN_S + 3 * 3600, clamps=4, labels=frozenset())
    weekend = replace(SHOP, calendar=Calendar("UTC", 18 * 60, 21 * 60, (5, 6)))
    assert ShopAround(weekend).look(BEGIN_S).closes_s is None
    nowhere = replace(SHOP, calendar=Calendar("Mars/Base", 18 * 60, 21 * 60, (5, 6)))
    assert ShopAround(nowhere).look(BEGIN_S) == Around()


def bench_with(surroundings: Surroundings) -> tuple[Workbench, FixedClock]:
    """Two floors at their beginning, in a shop of which somebody says something."""
    plan, request = floor_plan(), floor_request()
    journal = MemoryJournal.__new__(MemoryJournal)
    journal.plans, journal.stored, journal._request = {1: plan}, [], request  # noqa: SLF001
    clock = FixedClock(BEGIN_S)
    journal.append(0, first_events(plan, BEGIN_S), clock.now(), "bench", "begin")
    return Workbench(journal, clock, "bench", LatePlanner(), surroundings), clock


class OneOffcut:
    """A rack that got a piece since the session was planned."""

    def look(self, now_s: int) -> Around:
        del now_s
        piece = RackPiece("R7", "board", Length.inches(30), Length.inches("11/2"))
        return Around(rack=(piece,))

    def air(self) -> None:
        return None

    def clamps_elsewhere(self) -> tuple[ClampSet, ...]:
        return ()


class Thermometer:
    """Colder than planned."""

    def look(self, now_s: int) -> Around:
        del now_s
        return Around()

    def air(self) -> Conditions:
        return Conditions(14.0, 60.0)

    def clamps_elsewhere(self) -> tuple[ClampSet, ...]:
        return ()


def test_a_piece_made_again_is_cut_from_what_the_rack_has_now() -> None:
    bench, clock = bench_with(OneOffcut())
    for step in cutting_steps(bench.plan, "side_rail"):
        walk(bench, clock, step)
    assert not any(piece.from_rack for piece in bench.plan.stock)
    outcome = bench.do(c.SpoilPart(id=new_id(), part="side_rail", hand="left", unit=2))
    assert isinstance(outcome, Accepted)
    assert "R7" in {piece.id for piece in bench.plan.stock if piece.from_rack}


def test_a_measure_of_the_air_counts_as_noted_when_the_session_opens() -> None:
    bench, _ = bench_with(Thermometer())
    bench.catch_up()
    assert (bench.state.temperature_c, bench.state.humidity_percent) == (14.0, 60.0)
    assert bench.plan.conditions == Conditions(14.0, 60.0)
    version = bench.state.version
    bench.catch_up()
    assert bench.state.version == version


@pytest.mark.parametrize(
    ("minutes", "is_taken"), [(0, False), (-1, False), (-300, False), (300, True)]
)
def test_a_time_that_is_just_past_is_not_tomorrow(minutes: int, is_taken: bool) -> None:
    play = Play()
    zone = zone_of(play.plan.zone)
    said = f"{datetime.fromtimestamp(play.now_s + minutes * 60, zone):%H:%M}"
    outcome = play.ask(c.StayUntil(id=new_id(), clock=said))
    assert isinstance(outcome, tuple) is is_taken
    if isinstance(outcome, c.Refusal):
        assert outcome.text.startswith(f"{said} is past: it is ")


def test_a_time_still_to_come_today_is_never_called_past() -> None:
    """At 03:42, 21:00 is refused as too far ahead: it is not past, and it says so."""
    now = datetime(2026, 1, 5, 3, 42, tzinfo=zone_of("UTC"))
    now_s, hour_s = int(now.timestamp()), 3600
    ahead = why_not_tonight("21:00", int(now.replace(hour=21, minute=0).timestamp()), now_s, "UTC")
    assert ahead.startswith("21:00 is more than 12 hours ahead: it is 03:42.")
    past = why_not_tonight("03:00", now_s - 42 * 60 + 24 * hour_s, now_s, "UTC")
    assert past.startswith("03:00 is past: it is 03:42.")
