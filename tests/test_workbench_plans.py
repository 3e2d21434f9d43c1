"""A plan made anew at the door of a running session: for other air, once, and on what is newest."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

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
from shopstep.session import commands as c
from shopstep.session import events as e
from tests.sample_plan import BEGIN_S, make_plan
from tests.session_bench import (
    RIP,
    MemoryJournal,
    new_id,
)
from tests.workbench_door import do, open_bench

COLD = c.NoteConditions(id="air", temperature_c=8.0, humidity_percent=70.0)


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
