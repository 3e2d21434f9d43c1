"""Reminders for a calendar, read back by a library that did not write them."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
import vobject  # type: ignore[import-untyped]

from shopstep.cli.main import run
from shopstep.model.step import WaitKind
from shopstep.paper.calendar_file import calendar_text
from shopstep.paper.reminders import Reminder, make_reminders
from shopstep.session.timers import running_timers
from shopstep.storage.clock import FixedClock
from shopstep.workbench import Workbench
from tests.floor import BEGIN_S, SHOP, floor_request
from tests.test_following import open_bench, walk

BERLIN = "Europe/Berlin"
SPRING_S = int(datetime(2026, 3, 28, 19, tzinfo=ZoneInfo(BERLIN)).timestamp())
"""The evening before clocks go forward, at 2:00 on 29 March 2026."""


def _floor_at(begin_s: int, zone: str) -> tuple[Workbench, FixedClock]:
    shop = replace(SHOP, calendar=replace(SHOP.calendar, zone=zone))
    request = replace(floor_request(units=2, shop=shop), begin_s=begin_s)
    return open_bench(request)


@pytest.fixture(scope="module")
def glued() -> tuple[Workbench, FixedClock]:
    """Two floors, the frame of the first one in its clamps."""
    bench, clock = open_bench(floor_request(units=2))
    walk(bench, clock, "u1/glue/tack_frame")
    bench.card()
    return bench, clock


def reminders_of(bench: Workbench, *, all_evenings: bool = False) -> tuple[Reminder, ...]:
    plan = bench.ahead()
    return make_reminders("s", bench.state, plan, bench.now_s(), all_evenings=all_evenings)


def test_every_wait_that_runs_is_an_entry_at_its_moment(
    glued: tuple[Workbench, FixedClock],
) -> None:
    bench, _ = glued
    waits = [
        timer
        for timer in running_timers(bench.state, bench.plan)
        if timer.wait.kind is not WaitKind.OPEN and timer.due_s > bench.now_s()
    ]
    assert waits
    told = {each.start_s: each.title for each in reminders_of(bench)}
    assert {timer.due_s for timer in waits} <= set(told)
    assert all(timer.wait.title in told[timer.due_s] for timer in waits)


def test_the_next_evening_is_one_entry_and_all_are_as_many_as_the_plan_has(
    glued: tuple[Workbench, FixedClock],
) -> None:
    bench, _ = glued
    plan, now_s = bench.ahead(), bench.now_s()
    days = {
        datetime.fromtimestamp(step.start_s, UTC).date()
        for step in plan.steps
        if step.id not in bench.state.finished
    }
    today = datetime.fromtimestamp(now_s, UTC).date()
    to_come = sorted(day for day in days if day > today)
    entries = [each for each in reminders_of(bench, all_evenings=True) if each.alarm_s]
    assert [datetime.fromtimestamp(e.start_s, UTC).date() for e in entries] == to_come
    one = [each for each in reminders_of(bench) if each.alarm_s]
    assert one == entries[:1]


def test_another_program_reads_the_file(glued: tuple[Workbench, FixedClock]) -> None:
    bench, _ = glued
    reminders = reminders_of(bench, all_evenings=True)
    text = calendar_text(reminders, bench.state.version, bench.now_s())
    assert text == calendar_text(reminders, bench.state.version, bench.now_s())
    assert all(len(line) <= 75 for line in text.split(b"\r\n")), "RFC 5545, section 3.1"
    read = vobject.readOne(text.decode())
    events = {event.uid.value: event for event in read.vevent_list}
    assert len(events) == len(reminders)
    for reminder in reminders:
        event = events[str(reminder.id)]
        assert event.summary.value == reminder.title
        assert event.description.value == reminder.text
        assert event.dtstart.value.timestamp() == reminder.start_s
        assert event.dtend.value.timestamp() == reminder.end_s
        assert int(event.sequence.value) == bench.state.version
        assert event.valarm.trigger.value == timedelta(seconds=-reminder.alarm_s)
        assert event.valarm.action.value == "DISPLAY"


def test_a_second_import_moves_the_entries_of_the_first() -> None:
    bench, clock = open_bench(floor_request(units=1))
    walk(bench, clock, "u1/glue/tack_frame")
    before = {each.id: each for each in reminders_of(bench)}
    version = bench.state.version
    walk(bench, clock, "u1/bearers/screw")
    after = {each.id: each for each in reminders_of(bench)}
    assert bench.state.version > version
    assert set(before) & set(after), "the same waits keep their identity"
    other = {each.id for each in make_reminders("t", bench.state, bench.ahead(), bench.now_s())}
    assert not other & set(after), "another session's entries are its own"


def test_an_hour_that_the_clock_jumps_over_is_not_lost() -> None:
    """European Union, Directive 2000/84/EC: forward at 01:00 UTC on the last Sunday of March."""
    bench, clock = _floor_at(SPRING_S, BERLIN)
    walk(bench, clock, "u1/glue/tack_frame")
    cure = next(
        timer
        for timer in running_timers(bench.state, bench.plan)
        if timer.due_s > SPRING_S + 12 * 3600
    )
    [event] = [
        event
        for event in vobject.readOne(
            calendar_text(reminders_of(bench), 1, bench.now_s()).decode()
        ).vevent_list
        if event.dtstart.value.timestamp() == cure.due_s
    ]
    began = datetime.fromtimestamp(cure.started_s, ZoneInfo(BERLIN))
    ends = event.dtstart.value.astimezone(ZoneInfo(BERLIN))
    assert began.utcoffset() == timedelta(hours=1)
    assert ends.utcoffset() == timedelta(hours=2)
    on_the_wall = ends.replace(tzinfo=None) - began.replace(tzinfo=None)
    assert on_the_wall == timedelta(seconds=cure.wait.seconds) + timedelta(hours=1)


def test_the_command_writes_the_file_and_says_what_is_in_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    session, target = str(tmp_path / "floor.session"), tmp_path / "floor.ics"
    begun = ["--now", datetime.fromtimestamp(BEGIN_S, UTC).isoformat()]
    where = ["--session", session, "--plain", "--temperature", "18 C"]
    assert run(["start", "screened-floor", *where, *begun]) == 0
    capsys.readouterr()
    assert run(["remind", session, "--to", str(target), *begun]) == 0
    said = capsys.readouterr().out
    event = vobject.readOne(target.read_text()).vevent
    assert event.summary.value in said
    assert "at the bench" in event.summary.value
    assert str(target) in said
    assert run(["remind", session, "--to", str(tmp_path), *begun]) == 4
    assert str(tmp_path) in capsys.readouterr().err
