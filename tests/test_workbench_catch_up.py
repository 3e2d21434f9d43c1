"""A fact that was noted, and a plan that was not made any more: made at the next opening."""

from __future__ import annotations

from shopstep.model.plan import Conditions, Plan, PlanRefused
from shopstep.session import events as e
from shopstep.session.events import Envelope, Event, Moment
from shopstep.storage.file_problem import SessionFileError
from shopstep.workbench import Accepted
from tests.sample_plan import BEGIN_S, make_plan
from tests.session_bench import MemoryJournal, moment_at
from tests.test_workbench_plans import COLD, FakePlanner
from tests.workbench_door import open_bench


def cut_off() -> MemoryJournal:
    """A journal that ends with noted air and no plan for it."""
    journal = MemoryJournal()
    journal.append(
        len(journal.stored), (e.ConditionsNoted(8.0, 70.0),), moment_at(BEGIN_S), "do", "noted"
    )
    return journal


def test_the_plan_is_made_at_the_next_opening_and_only_once() -> None:
    journal, planner = cut_off(), FakePlanner(make_plan)
    bench, _ = open_bench(journal, planner)
    bench.catch_up()
    bench.catch_up()
    again, _ = open_bench(journal, planner)
    again.catch_up()
    assert len(planner.asked) == 1
    assert bench.plan.conditions == Conditions(8.0, 70.0)
    assert len(bench.changes_since(0)) == len(again.changes_since(0))


def test_where_no_plan_fits_the_session_still_opens() -> None:
    def refuse() -> None:
        raise PlanRefused(())

    bench, _ = open_bench(cut_off(), FakePlanner(refuse))  # type: ignore[arg-type]
    bench.catch_up()
    assert bench.card().headline
    assert bench.plan.conditions == make_plan().conditions


def test_with_the_air_as_planned_nothing_is_asked() -> None:
    planner = FakePlanner(make_plan)
    bench, _ = open_bench(MemoryJournal(), planner)
    bench.catch_up()
    assert planner.asked == []


class Full(MemoryJournal):
    """A disk with room for a fact, and with none for a plan."""

    is_full = True

    def append(
        self,
        expected_version: int,
        events: tuple[Event, ...],
        moment: Moment,
        face: str,
        command_id: str,
        plan: Plan | None = None,
    ) -> tuple[Envelope, ...]:
        """As ever, but for a plan."""
        if plan is not None and self.is_full:
            raise SessionFileError("the.session could not be written: the disk is full.")
        return super().append(expected_version, events, moment, face, command_id, plan)


def test_a_fact_that_is_kept_is_not_told_as_lost_where_its_plan_has_no_room() -> None:
    journal, planner = Full(), FakePlanner(make_plan)
    bench, _ = open_bench(journal, planner)
    told = bench.do(COLD)
    assert isinstance(told, Accepted)
    assert [one.event for one in told.envelopes] == [e.ConditionsNoted(8.0, 70.0)]
    assert told.card.notice == (
        "This is kept, but the plan that follows it is not: the.session could not be written:"
        " the disk is full. It is made when you open the session next."
    )
    again, _ = open_bench(journal, planner)
    again.catch_up()
    assert again.plan.conditions == make_plan().conditions, "it opens all the same"
    journal.is_full = False
    last, _ = open_bench(journal, planner)
    last.catch_up()
    assert last.plan.conditions == Conditions(8.0, 70.0)
