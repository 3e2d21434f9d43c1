"""The door of a running session: one card, one way in, several faces."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from shopstep.model.plan import (
    Conditions,
    Finding,
    Level,
    Plan,
    PlanRefused,
    PlanRequest,
    Shop,
    Where,
)
from shopstep.present.card import CardMode
from shopstep.session import commands as c
from shopstep.session import events as e
from shopstep.session.events import Moment
from shopstep.session.evolve import fold
from shopstep.storage.clock import FixedClock
from shopstep.storage.session_file import SessionFile
from shopstep.workbench import Accepted, Planner, VersionTaken, Workbench
from tests.sample_plan import BEGIN_S, make_plan
from tests.session_bench import (
    RIP,
    MemoryJournal,
    first_events,
    make_request,
    moment_at,
    new_id,
)

COLD = c.NoteConditions(id="air", temperature_c=8.0, humidity_percent=70.0)


def do(bench: Workbench, command: c.Command) -> Accepted:
    """Gives a command that must be accepted."""
    outcome = bench.do(command)
    assert isinstance(outcome, Accepted), outcome
    return outcome


class TwoHands:
    """A clock whose wall time and monotonic time are set apart."""

    def __init__(self, at_s: int) -> None:
        self.at_s = at_s
        self.monotonic_s = 50

    def now(self) -> Moment:
        """What both hands show."""
        return Moment(self.at_s, "UTC", "boot", self.monotonic_s * 1_000_000_000)


class FakePlanner:
    """A planner that gives what it is told to give, and writes down what it was asked."""

    def __init__(self, make: Callable[[], Plan]) -> None:
        self.make = make
        self.asked: list[tuple[Conditions, Mapping[str, tuple[int, int]], int]] = []

    def revise(
        self,
        request: PlanRequest,
        plan: Plan,
        finished: Mapping[str, tuple[int, int]],
        begin_s: int,
    ) -> Plan:
        """The plan that the test wants."""
        self.asked.append((request.conditions, finished, begin_s))
        return replace(self.make(), conditions=request.conditions)

    def retime(
        self, plan: Plan, shop: Shop, finished: Mapping[str, tuple[int, int]], begin_s: int
    ) -> Plan:
        """As it is: nobody asks."""
        del shop, finished, begin_s
        return plan


def open_bench(
    journal: MemoryJournal, planner: Planner | None = None, face: str = "bench"
) -> tuple[Workbench, FixedClock]:
    """A workbench whose clock stands at the beginning."""
    clock = FixedClock(BEGIN_S)
    return Workbench(journal, clock, face, planner), clock


def test_the_card_shows_the_first_step_and_its_caution() -> None:
    bench, _ = open_bench(MemoryJournal())
    card = bench.card()
    assert (card.step_id, card.mode, card.version) == (RIP, CardMode.CAUTION, 2)
    assert [step.id for step in bench.ready()] == [RIP]


def test_an_accepted_command_gives_the_new_card_and_what_was_stored() -> None:
    bench, _ = open_bench(MemoryJournal(), face="tablet")
    outcome = do(bench, c.AcknowledgeCaution(id="a"))
    (stored,) = outcome.envelopes
    assert stored.event == e.CautionAcknowledged(RIP, ("table_saw",))
    assert (stored.version, stored.face, stored.command_id) == (3, "tablet", "a")
    assert outcome.card == bench.card()
    assert outcome.card.mode is CardMode.STEP


def test_a_command_is_on_disk_before_it_is_confirmed(tmp_path: Path) -> None:
    path, plan = tmp_path / "floors.session", make_plan()
    first = first_events(plan)
    with SessionFile.create(path, make_request(), plan, first, moment_at(BEGIN_S), "bench") as file:
        bench = Workbench(file, FixedClock(BEGIN_S), "bench")
        outcome = do(bench, c.AcknowledgeCaution(id="a"))
        with SessionFile.open(path) as other:
            assert other.events_after(2) == outcome.envelopes
            assert Workbench(other, FixedClock(BEGIN_S), "do").card() == outcome.card


def test_a_refusal_leaves_nothing_behind() -> None:
    journal = MemoryJournal()
    bench, _ = open_bench(journal)
    before = bench.state
    outcome = bench.do(c.FinishStep(id="f"))
    assert isinstance(outcome, c.Refusal)
    assert outcome.rule == "caution_open"
    assert (bench.state, len(journal.stored)) == (before, 2)


def test_a_command_that_is_repeated_is_answered_and_not_decided_again() -> None:
    bench, clock = open_bench(MemoryJournal())
    do(bench, c.AcknowledgeCaution(id="a"))
    first = do(bench, c.FinishStep(id="f"))
    clock.at_s += 60
    again = do(bench, c.FinishStep(id="f"))
    assert again.envelopes == first.envelopes
    assert set(bench.state.finished) == {RIP}


def test_a_command_that_another_face_stored_is_known_too() -> None:
    journal = MemoryJournal()
    bench, _ = open_bench(journal)
    other, _ = open_bench(journal, face="tablet")
    stored = do(other, c.AcknowledgeCaution(id="a")).envelopes
    assert do(bench, c.AcknowledgeCaution(id="a")).envelopes == stored


def test_what_another_face_did_shows_on_the_card_and_in_the_changes() -> None:
    journal = MemoryJournal()
    bench, _ = open_bench(journal)
    other, _ = open_bench(journal, face="tablet")
    seen = bench.card().version
    do(other, c.AcknowledgeCaution(id="a"))
    do(other, c.FinishStep(id="f"))
    assert [one.face for one in bench.changes_since(seen)] == ["tablet"] * 3
    assert bench.card().step_id == "u1/fit/dry"
    assert bench.changes_since(bench.state.version) == ()
    assert bench.changes_since(0) == tuple(journal.stored)


class Interrupted(MemoryJournal):
    """A journal into which somebody else writes just before we do."""

    def __init__(self) -> None:
        super().__init__()
        self.interrupt: Callable[[], object] | None = None

    def append(
        self,
        expected_version: int,
        events: tuple[e.Event, ...],
        moment: e.Moment,
        face: str,
        command_id: str,
        plan: Plan | None = None,
    ) -> tuple[e.Envelope, ...]:
        """Lets the other go first, once."""
        interrupt, self.interrupt = getattr(self, "interrupt", None), None
        if interrupt is not None:
            interrupt()
        return super().append(expected_version, events, moment, face, command_id, plan)


def test_a_step_that_another_face_finished_first_is_not_finished_twice() -> None:
    journal = Interrupted()
    bench, _ = open_bench(journal)
    other, _ = open_bench(journal, face="tablet")
    do(bench, c.AcknowledgeCaution(id="a"))
    journal.interrupt = lambda: do(other, c.FinishStep(id="theirs", step=RIP))
    outcome = do(bench, c.FinishStep(id="ours", step=RIP))
    assert outcome.envelopes == ()
    assert outcome.card.step_id == "u1/fit/dry"
    assert [one.command_id for one in journal.stored if isinstance(one.event, e.StepFinished)] == [
        "theirs"
    ]


def test_a_command_is_decided_anew_on_what_another_face_wrote() -> None:
    journal = Interrupted()
    bench, _ = open_bench(journal)
    other, _ = open_bench(journal, face="tablet")
    journal.interrupt = lambda: do(other, c.HoldBatch(id="hold"))
    outcome = bench.do(c.AcknowledgeCaution(id="a"))
    assert isinstance(outcome, c.Refusal)
    assert outcome.rule == "held"


def test_a_face_that_is_always_too_late_gives_up_and_says_so() -> None:
    class Taken(MemoryJournal):
        def append(
            self,
            expected_version: int,
            events: tuple[e.Event, ...],
            moment: e.Moment,
            face: str,
            command_id: str,
            plan: Plan | None = None,
        ) -> tuple[e.Envelope, ...]:
            if command_id == "a":
                raise VersionTaken
            return super().append(expected_version, events, moment, face, command_id, plan)

    bench, _ = open_bench(Taken())
    outcome = bench.do(c.AcknowledgeCaution(id="a"))
    assert isinstance(outcome, c.Refusal)
    assert outcome.rule == "busy"


def test_now_is_never_before_the_latest_moment_of_the_session() -> None:
    clock = TwoHands(BEGIN_S - 999)
    bench = Workbench(MemoryJournal(), clock, "bench")
    assert bench.now_s() == BEGIN_S
    clock.at_s = BEGIN_S + 5
    assert bench.now_s() == BEGIN_S + 5
    assert "clock" not in bench.card().notice


def test_times_run_on_while_the_machines_clock_is_behind_and_the_card_says_so() -> None:
    clock = TwoHands(BEGIN_S - 86400)
    bench = Workbench(MemoryJournal(), clock, "bench")
    assert bench.now_s() == BEGIN_S
    clock.at_s += 30
    clock.monotonic_s += 30
    assert bench.now_s() == BEGIN_S + 30
    assert "clock is 1 day behind" in bench.card().notice


def test_a_whole_batch_can_be_worked_through_the_door() -> None:
    journal = MemoryJournal()
    bench, clock = open_bench(journal)
    for _ in range(200):
        clock.at_s += 60
        card = bench.card()
        if card.mode is CardMode.COMPLETE:
            break
        step = card.step_id or None
        if card.mode is CardMode.WAITING:
            clock.at_s += 14400
        elif card.mode is CardMode.CAUTION:
            do(bench, c.AcknowledgeCaution(id=new_id(), step=step))
        elif any(not check.measured and check.expected for check in card.checks):
            value = make_plan().kinds[4].checks[0].tolerance
            do(
                bench,
                c.TakeMeasure(id=new_id(), step=step, name=card.checks[0].name, value=value),
            )
        else:
            do(bench, c.FinishStep(id=new_id(), step=step, seen=card.version))
    assert bench.card().mode is CardMode.COMPLETE
    assert bench.state == fold(journal.stored)


# --- a new plan for other air ---------------------------------------------------------------


def _slower() -> Plan:
    plan = make_plan()
    steps = tuple(step for step in plan.steps if step.id != "u2/paint/coat2")
    waits = tuple(replace(wait, seconds=wait.seconds * 2) for wait in plan.waits)
    extra = replace(steps[0], id="all/rip/rail~2", needs=(RIP,))
    return replace(plan, steps=(*steps, extra), waits=waits)


def test_other_air_makes_a_new_plan_with_its_event() -> None:
    journal, planner = MemoryJournal(), FakePlanner(_slower)
    bench, clock = open_bench(journal, planner)
    do(bench, c.AcknowledgeCaution(id=new_id()))
    do(bench, c.FinishStep(id=new_id()))
    clock.at_s += 30
    outcome = do(bench, COLD)
    noted, revised = outcome.envelopes
    assert noted.event == e.ConditionsNoted(8.0, 70.0)
    assert isinstance(revised.event, e.PlanRevised)
    assert revised.event.based_on == noted.version == revised.version - 1
    assert (revised.event.voided, revised.event.added) == (("u2/paint/coat2",), ("all/rip/rail~2",))
    assert revised.event.reason == "the air is 8 °C (46 °F) and 70 %"
    ((air, finished, begin_s),) = planner.asked
    assert (air, begin_s) == (Conditions(8.0, 70.0), BEGIN_S + 30)
    assert finished == {RIP: (BEGIN_S, BEGIN_S)}
    colder = replace(_slower(), conditions=Conditions(8.0, 70.0))
    assert bench.plan == colder
    assert (outcome.card.plan_number, journal.plan(2)) == (2, colder)
    assert "8 °C" in outcome.card.notice


def test_the_same_air_makes_no_new_plan() -> None:
    journal, planner = MemoryJournal(), FakePlanner(_slower)
    bench, _ = open_bench(journal, planner)
    same = c.NoteConditions(id=new_id(), temperature_c=20.0, humidity_percent=50.0)
    assert len(do(bench, same).envelopes) == 1
    do(bench, COLD)
    assert len(do(bench, replace(COLD, id="again")).envelopes) == 1
    assert len(planner.asked) == 1


def test_a_session_opened_again_knows_for_which_air_its_plan_is() -> None:
    journal, planner = MemoryJournal(), FakePlanner(_slower)
    do(open_bench(journal, planner)[0], COLD)
    bench, _ = open_bench(journal, planner)
    assert bench.plan.conditions == Conditions(8.0, 70.0)
    do(bench, replace(COLD, id="again"))
    assert len(planner.asked) == 1
    do(bench, c.NoteConditions(id=new_id(), temperature_c=20.0, humidity_percent=50.0))
    assert [asked[0].temperature_c for asked in planner.asked] == [8.0, 20.0]


def test_a_repeated_note_of_the_air_stores_neither_fact_nor_plan_again() -> None:
    journal, planner = MemoryJournal(), FakePlanner(_slower)
    bench, _ = open_bench(journal, planner)
    do(bench, COLD)
    count = len(journal.stored)
    do(bench, COLD)
    assert len(journal.stored) == count


class SamePlanner(FakePlanner):
    """Gives a plan that says the same as before, air and all."""

    def revise(
        self,
        request: PlanRequest,
        plan: Plan,
        finished: Mapping[str, tuple[int, int]],
        begin_s: int,
    ) -> Plan:
        """The plan that is there."""
        return plan


def test_a_plan_that_says_the_same_is_not_stored_again() -> None:
    journal, planner = MemoryJournal(), SamePlanner(make_plan)
    bench, _ = open_bench(journal, planner)
    assert len(do(bench, COLD).envelopes) == 1
    assert bench.state.plan_number == 1


def test_without_a_planner_the_air_is_noted_and_the_plan_stays() -> None:
    bench, _ = open_bench(MemoryJournal())
    assert len(do(bench, COLD).envelopes) == 1
    assert bench.state.temperature_c == 8.0


def _refuse() -> Plan:
    findings = (
        Finding(Level.NOTE, "slow", "The paint dries slowly.", Where(), ""),
        Finding(Level.STOP, "too_cold", "8 °C is too cold for this glue.", Where(), "Heat first."),
    )
    raise PlanRefused(findings)


def test_air_for_which_there_is_no_plan_is_refused_and_still_noted() -> None:
    bench, _ = open_bench(MemoryJournal(), FakePlanner(_refuse))
    outcome = bench.do(COLD)
    assert outcome == c.Refusal("8 °C is too cold for this glue. Heat first.", "too_cold")
    assert (bench.state.temperature_c, bench.state.plan_number) == (8.0, 1)


def test_a_plan_based_on_an_older_version_is_dropped_and_made_anew() -> None:
    journal, planner = MemoryJournal(), FakePlanner(_slower)
    bench, _ = open_bench(journal, planner)
    other, _ = open_bench(journal, face="tablet")

    def make_while_another_works() -> Plan:
        if len(planner.asked) == 1:
            do(other, c.AcknowledgeCaution(id=new_id()))
            do(other, c.FinishStep(id=new_id()))
        return _slower()

    planner.make = make_while_another_works
    do(bench, COLD)
    assert [set(asked[1]) for asked in planner.asked] == [set(), {RIP}]
    revised = [one for one in journal.stored if isinstance(one.event, e.PlanRevised)]
    assert len(revised) == 1
    assert set(journal.plans) == {1, 2}


def test_a_plan_that_is_always_too_late_is_told() -> None:
    journal, planner = MemoryJournal(), FakePlanner(_slower)
    bench, _ = open_bench(journal, planner)
    other, _ = open_bench(journal, face="tablet")

    def make_while_another_works() -> Plan:
        do(other, c.TakeNote(id=new_id(), text="n"))
        return _slower()

    planner.make = make_while_another_works
    outcome = do(bench, COLD)
    assert "could not be made anew" in outcome.card.notice
    assert bench.state.plan_number == 1


# --- what a running session costs -------------------------------------------------------------


@pytest.mark.parametrize(
    ("module", "absent"),
    [
        ("shopstep.workbench", {"sqlite3", "textual", "rich", "pydantic", "pint", "ortools"}),
        ("shopstep.storage.session_file", {"textual", "rich", "pydantic", "pint", "numpy"}),
    ],
)
def test_a_running_session_loads_nothing_heavy(module: str, absent: set[str]) -> None:
    code = f"import sys, {module}; print(*sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=Path(__file__).parent.parent,
        capture_output=True,
        text=True,
        check=True,
    )
    assert absent & set(done.stdout.split()) == set()
