"""A better plan at the bench: taken once, told once, dropped where the session moved on."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from shopstep.model.better import Better, Gain
from shopstep.model.plan import Plan
from shopstep.present.card import CardMode, StepCard
from shopstep.session import commands as c
from shopstep.session import events as e
from shopstep.session.flow import open_joints
from shopstep.storage.clock import FixedClock
from shopstep.wiring.late_planner import LatePlanner
from shopstep.workbench import Accepted, BetterAsked, BetteringBench
from shopstep.workbench.bettering import TRIES
from tests.fake_bench import STEP, FakeBench
from tests.floor import BEGIN_S, floor_plan, floor_request
from tests.session_bench import MemoryJournal, first_events, new_id
from tests.test_following import finish
from tests.tui_pilot import sight_of


class FakeImprover:
    """Writes down what it is asked, and answers when the test says so."""

    def __init__(self) -> None:
        self.asked: list[BetterAsked] = []
        self.is_busy = False
        self.found: Better | None = None
        self.stops = 0

    def ask(self, asked: BetterAsked) -> None:
        """Begins; an answer to another question is gone."""
        self.asked.append(asked)
        self.is_busy, self.found = True, None

    def answer(self) -> Better | None:
        """What the test put there, once."""
        found, self.found = self.found, None
        return found

    def stop(self) -> None:
        """Gives up."""
        self.is_busy, self.found = False, None
        self.stops += 1

    def finish(self, found: Better | None) -> None:
        """The search is over."""
        self.is_busy, self.found = False, found


class Table:
    """A session of one floor in memory, with an improver that does as it is told."""

    def __init__(self) -> None:
        plan, request = floor_plan(units=1), floor_request(units=1)
        self.journal = MemoryJournal.__new__(MemoryJournal)
        self.journal.plans, self.journal.stored = {1: plan}, []
        self.journal._request = request  # noqa: SLF001
        self.clock = FixedClock(BEGIN_S)
        self.journal.append(0, first_events(plan, BEGIN_S), self.clock.now(), "bench", "begin")
        self.improver = FakeImprover()
        self.bench = self.open()

    def open(self, improver: FakeImprover | None = None) -> BetteringBench:
        """Another face at the same session."""
        chosen = improver or self.improver
        return BetteringBench(self.journal, self.clock, "bench", LatePlanner(), None, chosen)

    def do(self, command: c.Command) -> Accepted:
        """A command that must be carried out."""
        outcome = self.bench.do(command)
        assert isinstance(outcome, Accepted), outcome
        return outcome

    def cool(self, celsius: float = 12.0) -> Accepted:
        """Other air makes another plan."""
        return self.do(c.NoteConditions(id=new_id(), temperature_c=celsius, humidity_percent=50.0))

    def revisions(self) -> list[e.PlanRevised]:
        """All new plans that are stored."""
        return [v.event for v in self.journal.stored if isinstance(v.event, e.PlanRevised)]


def sooner(plan: Plan, by_s: int = 86400) -> Better:
    """The same order with the last step earlier, as if an evening were saved."""
    last = plan.steps[-1]
    early = replace(last, start_s=last.start_s - 60, end_s=last.end_s - 60)
    return Better((*plan.steps[:-1], early), Gain(evenings=1, openings=1, end_s=by_s))


def work_until(table: Table, is_there: Callable[[], bool]) -> None:
    """Work on, as planned, until something is so."""
    for _ in range(400):
        if is_there():
            return
        card = table.bench.card()
        table.clock.at_s += 30
        if card.step_id:
            finish(table.bench, card.step_id)
        else:
            table.clock.at_s += 1800
    raise AssertionError("it never came to that")


def test_a_new_plan_is_asked_about_after_its_card_stands_and_the_better_one_is_told_once() -> None:
    table = Table()
    assert table.bench.better() is None
    assert table.improver.asked == []
    table.cool()
    assert table.improver.asked == []  # the card came first
    assert table.bench.better() is None
    (asked,) = table.improver.asked
    before = table.bench.card()
    assert (asked.plan, asked.at_bench) == (table.bench.plan, before.step_id)
    assert table.bench.better() is None  # still busy
    found = sooner(asked.plan)
    table.improver.finish(found)
    card = table.bench.better()
    assert card is not None
    assert card.notice.startswith("The plan is better by an evening now: done ")
    assert (card.step_id, card.mode, card.cautions) == (
        before.step_id,
        before.mode,
        before.cautions,
    )
    revised = table.revisions()[-1]
    assert revised.only_times
    assert (revised.voided, revised.added, revised.returned) == ((), (), ())
    assert revised.based_on == before.version
    assert f"T{revised.reason[1:]}." == card.notice
    assert table.journal.plan(revised.number) == table.bench.plan
    assert table.bench.plan.steps == found.steps
    stored = len(table.journal.stored)
    assert [table.bench.better() for _ in range(5)] == [None] * 5
    assert (len(table.improver.asked), len(table.journal.stored)) == (1, stored)
    assert table.bench.card().notice == ""


def test_nothing_better_changes_nothing_and_is_not_asked_again() -> None:
    table = Table()
    table.cool()
    table.bench.better()
    stored = len(table.journal.stored)
    table.improver.finish(None)
    assert [table.bench.better() for _ in range(4)] == [None] * 4
    assert (len(table.improver.asked), len(table.journal.stored)) == (1, stored)


def test_an_answer_to_a_session_that_moved_on_is_dropped_and_asked_anew() -> None:
    table = Table()
    table.cool()
    for tried in range(1, TRIES + 1):
        table.bench.better()
        assert len(table.improver.asked) == tried
        table.do(c.TakeNote(id=new_id(), text="the cat was here"))
        table.improver.finish(sooner(table.bench.plan))
        assert table.bench.better() is None
    assert [table.bench.better() for _ in range(4)] == [None] * 4
    assert len(table.improver.asked) == TRIES
    assert len(table.revisions()) == 1


def test_an_answer_about_a_plan_that_is_gone_is_dropped() -> None:
    table = Table()
    table.cool()
    table.bench.better()
    table.improver.finish(sooner(table.bench.plan))
    table.cool(11.0)
    assert [table.bench.better() for _ in range(3)] == [None] * 3
    assert len(table.revisions()) == 2
    assert table.improver.asked[-1].plan.conditions.temperature_c == 11.0


def test_another_face_that_wrote_first_is_not_overwritten() -> None:
    table = Table()
    other = table.open(FakeImprover())
    table.cool()
    table.bench.better()
    table.improver.finish(sooner(table.bench.plan))
    assert isinstance(other.do(c.TakeNote(id=new_id(), text="me first")), Accepted)
    assert table.bench.better() is None
    assert len(table.revisions()) == 1
    assert other.better() is None  # it made no plan, so it asks for none
    assert table.bench.plan == other.plan


def other_first(table: Table) -> Better:
    """The plan with another ready step in front of the one that the card shows."""
    plan, shown = table.bench.plan, table.bench.card().step_id
    other = next(step for step in table.bench.ready() if step.id != shown)
    return Better((other, *(step for step in plan.steps if step.id != other.id)), Gain(evenings=1))


def test_the_step_at_the_bench_stays_whatever_the_better_plan_has_first() -> None:
    table = Table()
    table.cool()
    table.bench.better()
    shown = table.bench.card().step_id
    table.improver.finish(other_first(table))
    card = table.bench.better()
    assert card is not None
    assert card.step_id == shown == table.bench.state.at_bench


def test_a_plan_that_one_command_made_is_looked_at_by_the_face_that_stays() -> None:
    table = Table()
    assert table.bench.better() is None
    passing = BetteringBench(table.journal, table.clock, "do", LatePlanner())
    cold = c.NoteConditions(id=new_id(), temperature_c=12.0, humidity_percent=50.0)
    assert isinstance(passing.do(cold), Accepted)
    assert passing.better() is None
    assert table.bench.better() is None
    (asked,) = table.improver.asked
    assert asked.plan == passing.plan
    table.improver.finish(sooner(asked.plan))
    assert table.bench.better() is not None
    assert len(table.revisions()) == 2


def test_a_plan_that_would_put_another_card_there_is_dropped() -> None:
    table = Table()
    work_until(table, lambda: not table.bench.card().step_id)
    table.clock.at_s += 86400  # all waits are over: the card shows a step that nobody took yet
    table.cool()
    table.bench.better()
    assert table.bench.state.at_bench is None
    table.improver.finish(other_first(table))
    revisions = len(table.revisions())
    assert table.bench.better() is None
    assert len(table.revisions()) == revisions


def test_steps_that_are_not_those_of_the_plan_are_dropped() -> None:
    table = Table()
    table.cool()
    table.bench.better()
    found = sooner(table.bench.plan)
    table.improver.finish(replace(found, steps=found.steps[:-1]))
    assert table.bench.better() is None
    assert len(table.revisions()) == 1


def test_a_caution_that_was_answered_is_not_asked_again() -> None:
    table = Table()
    work_until(table, lambda: table.bench.card().mode is CardMode.CAUTION)
    table.cool()
    card = table.bench.card()
    assert card.mode is CardMode.CAUTION
    table.do(c.AcknowledgeCaution(id=new_id(), step=card.step_id, seen=card.version))
    table.bench.better()
    table.improver.finish(sooner(table.bench.plan))
    better = table.bench.better()
    assert better is not None
    assert (better.mode, better.step_id) == (CardMode.STEP, card.step_id)


def test_while_glue_is_open_nothing_is_looked_for() -> None:
    table = Table()
    work_until(table, lambda: bool(open_joints(table.bench.state, table.bench.plan)))
    table.cool()
    asked = len(table.improver.asked)
    assert [table.bench.better() for _ in range(3)] == [None] * 3
    assert len(table.improver.asked) == asked


def test_leaving_ends_what_is_looked_for() -> None:
    table = Table()
    table.cool()
    table.bench.better()
    table.bench.stop_bettering()
    assert (table.improver.is_busy, table.improver.stops) == (False, 1)
    assert table.bench.better() is None
    assert len(table.improver.asked) == 1


async def test_the_screen_tells_it_and_the_step_stays() -> None:
    bench = FakeBench()
    async with sight_of(bench) as sight:
        focused = sight.focused
        said = "The plan is better by an evening now: done Thu 8 Jan 2026."
        bench.better_card = replace(STEP, version=8, plan_number=2, notice=said)
        sight.screen.poll()
        await sight.pilot.pause()
        assert said in sight.words()
        assert (sight.screen.card.version, sight.focused) == (8, focused)
        bench.shown = replace(bench.shown, notice="")
        sight.screen.hand.refresh()
        sight.screen.show()
        await sight.pilot.pause()
        assert said in sight.words()  # a minute that goes by does not take it away
        await sight.press("d")
        assert said not in sight.words()
        assert bench.commands[-1].seen == 8


async def test_a_key_right_after_it_counts_and_is_no_bounce() -> None:
    bench = FakeBench()
    async with sight_of(bench) as sight:
        bench.better_card = replace(STEP, version=8, notice="The plan is better now.")
        sight.screen.poll()
        assert sight.screen.hand.choose("done")
        assert len(bench.commands) == 1


async def test_a_page_that_is_open_is_not_closed_for_it() -> None:
    bench = FakeBench()
    async with sight_of(bench) as sight:
        await sight.press("question_mark")
        page = sight.open_page()
        assert page is not None
        bench.better_card = replace(STEP, version=8, notice="The plan is better now.")
        sight.screen.poll()
        await sight.pilot.pause()
        assert (sight.open_page(), sight.screen.card.version) == (page, 7)


async def test_a_notice_that_stands_is_not_lost() -> None:
    made = "The plan was made anew: the air is 8 °C and 70 %."
    bench = FakeBench(replace(STEP, notice=made))
    async with sight_of(bench) as sight:
        bench.better_card = replace(STEP, version=8, notice="The plan ends earlier now.")
        sight.screen.poll()
        assert sight.screen.hand.notice == f"{made} The plan ends earlier now."


class BrokenBench(FakeBench):
    """A bench beside which nothing can be looked for."""

    def better(self) -> StepCard | None:
        """Fails."""
        raise OSError("no more processes")


async def test_trouble_with_the_search_is_no_trouble_at_the_bench() -> None:
    async with sight_of(BrokenBench()) as sight:
        sight.screen.poll()
        assert sight.screen.hand.notice == ""
