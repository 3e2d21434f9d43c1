"""A fact that was noted, and a plan that was not made any more: made at the next opening."""

from __future__ import annotations

from shopstep.model.plan import Conditions, PlanRefused
from shopstep.session import events as e
from tests.sample_plan import BEGIN_S, make_plan
from tests.session_bench import MemoryJournal, moment_at
from tests.test_workbench import FakePlanner, open_bench


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
