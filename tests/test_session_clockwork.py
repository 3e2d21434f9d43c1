"""Clocks that go back, leap, are put right or stand still: no cure shorter, no open time longer."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopstep.session import commands as c
from shopstep.session import events as e
from shopstep.session.clockwork import HAIR_S, LEAP_S, tell_time
from shopstep.session.events import Moment
from shopstep.session.evolve import evolve
from shopstep.session.state import State
from shopstep.workbench import Accepted, Workbench
from tests.sample_plan import BEGIN_S
from tests.session_bench import MemoryJournal, new_id

NS = 1_000_000_000
DAY = 86400


class Machine:
    """A machine with a steady clock that is true, and one on the wall that may be wrong."""

    def __init__(self, true_s: int = BEGIN_S) -> None:
        self.true_s = true_s
        self.wrong_s = 0
        self.start = "start-1"
        self._started_s = true_s - 1000

    def now(self) -> Moment:
        """What both clocks say."""
        steady = (self.true_s - self._started_s) * NS
        return Moment(self.true_s + self.wrong_s, "UTC", self.start, steady)

    def restart(self) -> None:
        """Switched off and on again: the steady clock begins anew."""
        self.start, self._started_s = f"{self.start}+", self.true_s


def bench_of(machine: Machine, journal: MemoryJournal) -> Workbench:
    """A bench on a machine, with a first entry of its own."""
    return Workbench(journal, machine, "bench")


def do(bench: Workbench, command: c.Command) -> Accepted:
    """A command that must be carried out."""
    outcome = bench.do(command)
    assert isinstance(outcome, Accepted), outcome
    return outcome


def note() -> c.TakeNote:
    """Any entry."""
    return c.TakeNote(id=new_id(), text="n")


def begun() -> tuple[Machine, MemoryJournal, Workbench]:
    """A session whose latest entry was written by this machine, with right clocks."""
    machine, journal = Machine(), MemoryJournal()
    bench = bench_of(machine, journal)
    do(bench, note())
    return machine, journal, bench


@pytest.mark.parametrize("wrong_s", [-DAY, -3600, -61, 61, 3600, 10 * 365 * DAY])
def test_a_clock_that_is_moved_while_the_machine_runs_moves_no_wait(wrong_s: int) -> None:
    machine, _, bench = begun()
    machine.wrong_s = wrong_s
    machine.true_s += 600
    assert bench.now_s() == BEGIN_S + 600
    assert ("ahead" if wrong_s > 0 else "behind") in bench.card().notice
    outcome = do(bench, note())
    assert outcome.envelopes[0].event == e.ClockNoticed(-wrong_s)
    assert outcome.envelopes[-1].moment.at_s == BEGIN_S + 600


def test_a_hair_is_not_spoken_of() -> None:
    machine, _, bench = begun()
    machine.wrong_s = HAIR_S
    machine.true_s += 600
    assert bench.card().notice == ""
    assert [x.event.kind for x in do(bench, note()).envelopes] == ["note_taken"]


def test_what_was_found_holds_after_the_machine_was_switched_off() -> None:
    machine, journal, bench = begun()
    machine.wrong_s = 3600
    machine.true_s += 600
    do(bench, note())
    machine.true_s += 1800
    machine.restart()
    assert bench_of(machine, journal).now_s() == BEGIN_S + 2400


def test_a_clock_behind_after_a_restart_runs_on_from_the_last_entry() -> None:
    machine, journal, _ = begun()
    machine.wrong_s = -20 * 365 * DAY
    machine.restart()
    bench = bench_of(machine, journal)
    assert bench.now_s() == BEGIN_S
    machine.true_s += 120
    assert bench.now_s() == BEGIN_S + 120
    assert "behind the session" in bench.card().notice


def leapt() -> tuple[Machine, MemoryJournal, Workbench]:
    """Switched off, and the clock ten years ahead when it is on again."""
    machine, journal, _ = begun()
    machine.wrong_s = 10 * 365 * DAY
    machine.true_s += 60
    machine.restart()
    return machine, journal, bench_of(machine, journal)


def test_a_leap_of_ten_years_is_asked_about_and_nothing_is_done_before() -> None:
    machine, journal, bench = leapt()
    machine.true_s += 60
    assert bench.now_s() <= BEGIN_S + 120
    card = bench.card()
    assert card.clock_doubt
    assert "Is the clock right?" in card.notice
    stored = len(journal.stored)
    refusal = bench.do(c.FinishStep(id=new_id()))
    assert "clock right" in getattr(refusal, "in_words", "")
    assert len(journal.stored) == stored


def test_a_wrong_clock_stays_wrong_and_times_run_on() -> None:
    machine, journal, bench = leapt()
    machine.true_s += 60
    do(bench, c.AnswerClock(id=new_id(), right=False))
    assert not bench.card().clock_doubt
    assert bench.now_s() <= BEGIN_S + 120
    machine.restart()
    machine.true_s += 600
    assert bench_of(machine, journal).now_s() <= BEGIN_S + 720


def test_a_right_clock_is_believed_and_a_season_is_over() -> None:
    machine, journal, bench = leapt()
    do(bench, c.AnswerClock(id=new_id(), right=True))
    assert bench.now_s() == machine.now().at_s
    assert not bench.card().clock_doubt
    assert bench_of(machine, journal).now_s() == machine.now().at_s


def test_a_week_s_pause_is_no_leap() -> None:
    machine, journal, _ = begun()
    machine.true_s += 7 * DAY
    machine.restart()
    bench = bench_of(machine, journal)
    assert bench.now_s() == BEGIN_S + 7 * DAY
    assert not bench.card().clock_doubt


def test_nobody_is_asked_without_a_doubt() -> None:
    _, _, bench = begun()
    assert not isinstance(bench.do(c.AnswerClock(id=new_id(), right=True)), Accepted)


STEPS = st.lists(
    st.one_of(
        st.tuples(st.just("pass"), st.integers(0, 5 * DAY)),
        st.tuples(st.just("move"), st.integers(-400 * DAY, 400 * DAY)),
        st.tuples(st.just("right"), st.just(0)),
        st.tuples(st.just("restart"), st.just(0)),
        st.tuples(st.just("note"), st.just(0)),
    ),
    max_size=25,
)


@given(STEPS)
def test_whatever_is_done_to_the_clock_while_it_runs_no_time_is_made_up(
    steps: list[tuple[str, int]],
) -> None:
    """Session time never runs ahead of the true time by more than the hairs that were let pass.

    A clock that is moved while the machine is off cannot be told from the truth within a season;
    so before each restart it is put right here.
    """
    machine, journal, bench = begun()
    latest, hairs = bench.now_s(), 0
    for what, amount in steps:
        if what == "pass":
            machine.true_s += amount
        elif what == "move":
            machine.wrong_s = amount
        elif what == "right":
            machine.wrong_s = 0
        elif what == "restart":
            machine.wrong_s = -bench.state.offset_s
            machine.restart()
            bench = bench_of(machine, journal)
        elif not bench.card().clock_doubt:
            do(bench, note())
        hairs += HAIR_S
        now_s = bench.now_s()
        assert now_s >= latest - HAIR_S
        assert now_s >= bench.state.last_s
        assert now_s <= machine.true_s + hairs
        latest = now_s


@given(st.integers(0, 3 * LEAP_S), st.integers(-LEAP_S, 3 * LEAP_S))
def test_the_session_s_time_is_never_before_its_last_entry(steady_s: int, wall_s: int) -> None:
    first = Moment(BEGIN_S, "UTC", "a", 0)
    state = evolve(State(), e.Envelope(1, e.BatchResumed(), first, "bench", "x"))
    for start in ("a", "b"):
        now = Moment(BEGIN_S + wall_s, "UTC", start, steady_s * NS)
        told = tell_time(state, now, None)
        assert told.at_s >= BEGIN_S
        again = tell_time(state, replace(now, monotonic_ns=now.monotonic_ns + NS), told.anchor)
        assert again.at_s >= told.at_s
