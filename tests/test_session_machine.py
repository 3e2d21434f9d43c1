"""Random batches: the session against a small model of its own, and against its own record."""

from __future__ import annotations

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from shopstep.session import commands as c
from shopstep.session import events as e
from shopstep.session.flow import current_step
from shopstep.units import Length
from tests.put_off_sample import with_limits
from tests.sample_plan import BEGIN_S, plan_with_rails
from tests.session_bench import RIP, Play, new_id
from tests.session_model import Model
from tests.session_record import check_record
from tests.trial_sample import GAP, trial_plan

PLAN = with_limits(trial_plan(GAP, plan=plan_with_rails()))
COATS = ("u1/paint/coat1", "u2/paint/coat1")
JOINING = ("glue/spread", "glue/close", "glue/tack", "screw/screws")
STEPS = st.sampled_from([step.id for step in PLAN.steps])
SQUARES = ("u1/glue/square", "u2/glue/square")
RAILS_UNIT = next(part.count_unit for part in PLAN.parts if part.name == "rail")
CLOSINGS = ("u1/glue/close", "u2/glue/close")
SPREADS = ("u1/glue/spread", "u2/glue/spread")
PASSES = st.sampled_from([0, 20, 61, 290, 301, 2700, 14400])


class Bench(RuleBasedStateMachine):
    """Random hands at the bench."""

    def __init__(self) -> None:
        super().__init__()
        self.play = Play(plan=PLAN)
        self.model = Model(PLAN, BEGIN_S)
        self.model.bench = str(self.play.state.at_bench), BEGIN_S
        self.clock_s = BEGIN_S

    def ask(self, command: c.Command) -> tuple[e.Event, ...] | c.Refusal:
        """Gives a command at what the clock says; a refusal must leave nothing behind."""
        before = self.play.state
        verdict = self.play.ask(command, at_s=self.clock_s)
        if isinstance(verdict, c.Refusal):
            assert self.play.state == before
            assert verdict.text
            return verdict
        for event in verdict:
            if isinstance(event, e.StepBegun | e.StepReopened):
                self.model.bench = event.step, self.model.now_s
        bench = self.play.state.at_bench
        assert bench is None or (self.model.bench is not None and bench == self.model.bench[0])
        self.model.bench = self.model.bench if bench is not None else None
        return verdict

    @rule(seconds=PASSES)
    def time_passes(self, seconds: int) -> None:
        self.clock_s += seconds
        self.model.now_s = max(self.model.now_s, self.clock_s)

    @rule(seconds=st.sampled_from([1, 400, 90000]))
    def somebody_puts_the_clock_back(self, seconds: int) -> None:
        # The program cannot know the true time then: the latest stored moment counts.
        self.clock_s -= seconds
        self.model.now_s = max(self.play.state.last_s, self.clock_s)

    @rule(step=STEPS)
    def finish(self, step: str) -> None:
        may_finish = self.model.may_finish(step)
        verdict = self.ask(c.FinishStep(id=new_id(), step=step))
        if step in self.model.done and not self.model.held:
            assert verdict == ()
        elif may_finish:
            self.note_finish(step, verdict)
        else:
            assert isinstance(verdict, c.Refusal)

    def note_finish(self, step: str, verdict: tuple[e.Event, ...] | c.Refusal) -> None:
        """The model's side of a tick that had to go through."""
        assert not isinstance(verdict, c.Refusal), verdict
        glue = [event for event in verdict if isinstance(event, e.GlueSpread)]
        assert bool(glue) == (step in SPREADS and step not in self.model.glue)
        for event in glue:
            assert self.model.now_s - 60 <= event.since_s <= self.model.now_s
            self.model.glue[step] = event.since_s
        finished = [event.step for event in verdict if isinstance(event, e.StepFinished)]
        assert finished == [step]
        self.model.done[step] = self.model.now_s
        self.model.aside.discard(step)
        completed = e.BatchCompleted() in verdict
        assert completed == (len(self.model.done) == len(PLAN.steps))

    @initialize(steps=st.integers(0, len(PLAN.steps)))
    def somebody_has_worked_already(self, steps: int) -> None:
        for _ in range(steps):
            self.go_on_as_the_card_says(61)

    @precondition(lambda self: not self.model.held)
    @rule(seconds=PASSES)
    def go_on_as_the_card_says(self, seconds: int) -> None:
        self.time_passes(seconds)
        step = current_step(self.play.state, PLAN, self.model.now_s)
        if step is None:
            self.time_passes(14400)
            return
        self.answer(step.id)
        if step.id in SQUARES:
            self.measure(step.id, 0, "")
        if step.id == RIP:
            self.try_in_scrap(0, "")
        self.finish(step.id)

    @precondition(lambda self: not self.model.held)
    @rule(count=st.integers(2, 6))
    def work_on_quickly(self, count: int) -> None:
        for _ in range(count):
            self.go_on_as_the_card_says(20)

    @rule()
    def tap_done_twice_on_one_card(self) -> None:
        seen = self.play.state.version
        possible = [step.id for step in PLAN.steps if self.model.may_finish(step.id)]
        first = self.ask(c.FinishStep(id=new_id(), seen=seen))
        after = self.play.state
        second = self.ask(c.FinishStep(id=new_id(), seen=seen))
        assert self.play.state == after
        if not isinstance(first, c.Refusal):
            step = next(event.step for event in first if isinstance(event, e.StepFinished))
            assert step in possible
            self.note_finish(step, first)
            assert isinstance(second, c.Refusal)

    @rule(step=STEPS)
    def answer(self, step: str) -> None:
        verdict = self.ask(c.AcknowledgeCaution(id=new_id(), step=step))
        asks = any(caution.must_ack for caution in self.model.kind(step).cautions)
        if self.model.held:
            assert isinstance(verdict, c.Refusal)
        elif not asks or step in self.model.answered or step in self.model.done:
            assert verdict == ()
        elif self.model.is_ready(step):
            assert not isinstance(verdict, c.Refusal)
            self.model.answered.add(step)
        else:
            assert isinstance(verdict, c.Refusal)

    @rule(step=st.sampled_from(SPREADS))
    def spread(self, step: str) -> None:
        verdict = self.ask(c.StartSpreading(id=new_id(), step=step))
        if self.model.held:
            assert isinstance(verdict, c.Refusal)
        elif step in self.model.done or (
            step in self.model.glue and step not in self.model.reopened
        ):
            assert verdict == ()
        elif self.model.may_spread(step):
            assert not isinstance(verdict, c.Refusal)
            assert verdict[-1] == e.GlueSpread(step, self.model.now_s, told=True)
            self.model.glue[step] = self.model.now_s
            self.model.reopened.discard(step)
            self.model.late_agreed &= set(self.model.done)
        else:
            assert isinstance(verdict, c.Refusal)

    @rule(
        step=st.sampled_from(SQUARES),
        sixteenths=st.integers(0, 3),
        where=st.sampled_from(["", "", "toe"]),
    )
    def measure(self, step: str, sixteenths: int, where: str) -> None:
        value = Length.inches("1/16").times(sixteenths)
        command = c.TakeMeasure(
            id=new_id(), step=step, name="diagonals_differ", value=value, where=where
        )
        self.note_reading(command, step, sixteenths <= 1)

    @rule(marks=st.integers(0, 4), where=st.sampled_from(["", "toe", "heel", "even", "left"]))
    def try_in_scrap(self, marks: int, where: str) -> None:
        value = Length.inches("1/64").times(marks)
        command = c.TakeMeasure(id=new_id(), step=RIP, name="gap_bevel", value=value, where=where)
        self.note_reading(command, RIP, marks <= 1)

    def note_reading(self, command: c.TakeMeasure, step: str, is_within: bool) -> None:
        """The model's side of a number that was read."""
        verdict = self.ask(command)
        if not self.model.may_read(step, is_within, command.where):
            assert isinstance(verdict, c.Refusal)
            return
        assert not isinstance(verdict, c.Refusal)
        self.model.read(step, is_within, command.where if command.value else "")

    @rule(step=st.sampled_from([RIP, *SQUARES]))
    def keep_the_reading(self, step: str) -> None:
        name = "gap_bevel" if step == RIP else "diagonals_differ"
        verdict = self.ask(c.AcceptDeviation(id=new_id(), step=step, name=name))
        reading = self.model.readings.get(step)
        if self.model.held or step in self.model.done or reading is None:
            assert isinstance(verdict, c.Refusal)
        else:
            assert bool(verdict) == (not reading.passes)
            reading.passes = True

    @rule(step=st.sampled_from(CLOSINGS))
    def say_it_was_closed_in_time(self, step: str) -> None:
        verdict = self.ask(c.AcceptDeviation(id=new_id(), step=step, name="open_time"))
        if self.model.held or step in self.model.done:
            assert isinstance(verdict, c.Refusal)
        elif step in self.model.late_agreed:
            assert verdict == ()
        elif self.model.is_late(step):
            assert verdict == (e.DeviationAccepted(step, "open_time", ""),)
            self.model.late_agreed.add(step)
        else:
            assert isinstance(verdict, c.Refusal)

    @rule(step=st.sampled_from(COATS))
    def do_it_though_it_was_put_off(self, step: str) -> None:
        verdict = self.ask(
            c.AcceptDeviation(id=new_id(), step=step, name="within", reason="sanded")
        )
        if self.model.held or step in self.model.done:
            assert isinstance(verdict, c.Refusal)
        elif step in self.model.put_off_agreed:
            assert verdict == ()
        elif self.model.is_put_off(step):
            assert verdict == (e.DeviationAccepted(step, "within", "sanded"),)
            self.model.put_off_agreed.add(step)
        else:
            assert isinstance(verdict, c.Refusal)

    @rule()
    def go_back(self) -> None:
        verdict = self.ask(c.GoBack(id=new_id()))
        if self.model.held or not self.model.done:
            assert isinstance(verdict, c.Refusal)
        else:
            assert verdict == (e.StepReopened(self.model.reopen()),)

    @rule(step=STEPS)
    def take(self, step: str) -> None:
        at_bench = self.play.state.at_bench
        verdict = self.ask(c.TakeStep(id=new_id(), step=step))
        allowed = self.model.is_ready(step) and self.model.helps(step)
        if self.model.held or step in self.model.done:
            assert isinstance(verdict, c.Refusal)
        elif step == at_bench:
            assert verdict == ()
        else:
            assert isinstance(verdict, c.Refusal) == (not allowed)

    @rule(step=STEPS)
    def set_aside(self, step: str) -> None:
        at_bench = self.play.state.at_bench
        verdict = self.ask(c.SetAside(id=new_id(), step=step, reason="no brads"))
        if self.model.held or step in self.model.done:
            assert isinstance(verdict, c.Refusal)
        elif step in self.model.aside and step != at_bench:
            assert verdict == ()
        elif self.model.may_set_aside(step):
            assert not isinstance(verdict, c.Refusal)
            assert verdict[0] == e.StepSetAside(step, "no brads")
            self.model.aside.add(step)
        else:
            assert isinstance(verdict, c.Refusal)

    @rule()
    def scrape_the_glue_off(self) -> None:
        verdict = self.ask(c.SpreadAgain(id=new_id()))
        if self.model.held or not self.model.closings():
            assert isinstance(verdict, c.Refusal)
        else:
            assert not isinstance(verdict, c.Refusal)
            scraped = verdict[0]
            assert isinstance(scraped, e.GlueScraped)
            assert scraped.step == self.model.scrape()

    @rule(unit=st.integers(1, 2), sure=st.booleans())
    def a_rail_is_spoiled(self, unit: int, sure: bool) -> None:
        verdict = self.ask(c.SpoilPart(id=new_id(), part="rail", unit=unit, sure=sure))
        lost = [step for step in self.model.done if step.startswith(f"u{unit}/")]
        joined = any(step.split("/", 1)[1] in JOINING for step in lost)
        is_open = bool(self.model.closings())
        if (
            self.model.held
            or "all/rip/rail" not in self.model.done
            or self.model.spoiled.get(unit, 0) >= RAILS_UNIT
            or (joined and (is_open or not sure))
        ):
            assert isinstance(verdict, c.Refusal)
        elif not joined:
            assert not isinstance(verdict, c.Refusal)
            assert [type(event) for event in verdict] == [e.PartSpoiled]
            self.model.spoiled[unit] = self.model.spoiled.get(unit, 0) + 1
        else:
            assert not isinstance(verdict, c.Refusal)
            voided = verdict[-1]
            assert isinstance(voided, e.StepsVoided)
            assert set(voided.steps) == set(lost)
            self.model.void(set(lost))
            self.model.spoiled[unit] = RAILS_UNIT

    @precondition(lambda self: self.model.now_s % 3 == 0)
    @rule()
    def hold(self) -> None:
        verdict = self.ask(c.HoldBatch(id=new_id()))
        if self.model.held:
            assert verdict == ()
        elif len(self.model.done) == len(PLAN.steps):
            assert isinstance(verdict, c.Refusal)
        else:
            assert verdict == (e.BatchHeld(""),)
            self.model.hold()

    @precondition(lambda self: self.model.held or not self.model.done)
    @rule()
    def resume(self) -> None:
        verdict = self.ask(c.ResumeBatch(id=new_id()))
        assert bool(verdict) == self.model.held
        if self.model.held:
            self.model.resume()

    @rule(seconds=PASSES)
    def pause(self, seconds: int) -> None:
        self.hold()
        self.time_passes(seconds)
        self.resume()

    @rule()
    def note(self) -> None:
        assert not isinstance(self.ask(c.TakeNote(id=new_id(), text="n")), c.Refusal)

    @invariant()
    def the_model_and_the_session_agree(self) -> None:
        state = self.play.state
        assert list(state.finished.items()) == list(self.model.done.items())
        assert dict(state.spread) == self.model.glue
        assert (state.held_since is not None) == self.model.held
        assert set(state.aside) == self.model.aside
        assert {step: (r.where, r.tries) for (step, _), r in state.readings.items()} == {
            step: (r.where, r.tries) for step, r in self.model.readings.items()
        }
        assert state.at_bench is None or state.at_bench not in state.finished

    def teardown(self) -> None:
        """The stored events alone give the same state, and break no rule."""
        assert self.play.refold() == self.play.state
        check_record(self.play.envelopes, PLAN)


TestBench = Bench.TestCase
TestBench.settings = settings(max_examples=300, stateful_step_count=40, deadline=None)
