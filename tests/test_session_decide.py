"""What follows from a command that is carried out."""

from __future__ import annotations

from dataclasses import replace

from shopstep.session import commands as c
from shopstep.session import events as e
from shopstep.session.flow import step_at_bench
from shopstep.units import Length
from tests.sample_plan import BEGIN_S, make_plan
from tests.session_bench import RIP, Play, first_events, new_id

SQUARE = "u1/glue/square"


def _at(step: str) -> Play:
    play = Play()
    play.finish_until(step)
    return play


def test_a_batch_begins_with_its_first_step_at_the_bench() -> None:
    plan = make_plan()
    started, begun = first_events(plan)
    assert isinstance(started, e.SessionStarted)
    assert (started.title, begun) == ("Sample frame", e.StepBegun(RIP))


def test_finishing_stores_the_time_spent_and_brings_the_next_step() -> None:
    play = Play()
    play.do(c.AcknowledgeCaution(id=new_id()))
    play.now_s += 480
    events = play.do(c.FinishStep(id=new_id()))
    assert events == (e.StepFinished(RIP, 480), e.StepBegun("u1/fit/dry"))


def test_time_on_hold_is_not_time_at_the_bench() -> None:
    play = _at("u1/fit/dry")
    play.now_s += 100
    play.do(c.HoldBatch(id=new_id(), reason="supper"))
    play.now_s += 3600
    play.do(c.ResumeBatch(id=new_id()))
    play.now_s += 20
    events = play.do(c.FinishStep(id=new_id()))
    assert events[0] == e.StepFinished("u1/fit/dry", 120)


def test_finishing_a_finished_step_changes_nothing() -> None:
    play = Play()
    play.finish(RIP)
    assert play.do(c.FinishStep(id=new_id(), step=RIP)) == ()
    assert play.do(c.FinishStep(id=new_id(), step=RIP, seen=2)) == ()


def test_a_second_tap_on_an_old_card_cannot_finish_the_next_step() -> None:
    play = _at("u1/fit/dry")
    seen = play.state.version
    play.do(c.FinishStep(id=new_id(), seen=seen))
    assert play.refused(c.FinishStep(id=new_id(), seen=seen)).rule == "stale"
    assert play.state.at_bench == "u2/fit/dry"


def test_finishing_a_ready_step_out_of_order_leaves_the_bench_as_it_is() -> None:
    play = _at("u1/fit/dry")
    assert play.do(c.FinishStep(id=new_id(), step="u2/fit/dry")) == (
        e.StepFinished("u2/fit/dry", 0),
    )
    assert play.state.at_bench == "u1/fit/dry"


def test_glue_spread_out_of_order_brings_its_closing_to_the_bench() -> None:
    play = _at("u2/fit/dry")
    play.finish()
    play.do(c.TakeStep(id=new_id(), step="u1/glue/spread"))
    play.do(c.FinishStep(id=new_id(), step="u2/glue/spread"))
    assert play.state.at_bench == "u2/glue/close"


def test_the_last_step_completes_the_batch() -> None:
    play = _at("u2/paint/coat2")
    assert play.finish()[-1] == e.BatchCompleted()


def test_starting_to_spread_counts_open_time_from_now() -> None:
    play = _at("u1/glue/spread")
    play.now_s += 45
    events = play.do(c.StartSpreading(id=new_id()))
    assert events == (e.GlueSpread("u1/glue/spread", play.now_s, told=True),)
    assert play.do(c.StartSpreading(id=new_id())) == ()
    assert play.do(c.FinishStep(id=new_id()))[0] == e.StepFinished("u1/glue/spread", 45)


def test_starting_to_spread_at_another_unit_brings_that_step_to_the_bench() -> None:
    play = _at("u1/glue/spread")
    events = play.do(c.StartSpreading(id=new_id(), step="u2/glue/spread"))
    assert events[0] == e.StepBegun("u2/glue/spread")


def test_glue_that_was_spread_untold_counts_from_the_plans_time_for_spreading() -> None:
    play = _at("u1/glue/spread")
    play.now_s += 600
    glue = play.do(c.FinishStep(id=new_id()))[0]
    assert glue == e.GlueSpread("u1/glue/spread", play.now_s - 60, told=False)


def test_glue_cannot_have_been_spread_before_its_step_came_to_the_bench() -> None:
    play = _at("u1/glue/spread")
    begun_s = play.now_s
    play.now_s += 20
    glue = play.do(c.FinishStep(id=new_id()))[0]
    assert glue == e.GlueSpread("u1/glue/spread", begun_s, told=False)


def test_glue_of_a_step_that_never_came_to_the_bench_counts_from_when_it_could() -> None:
    play = _at("u1/glue/spread")
    ready_s = play.state.finished["u2/fit/dry"]
    play.now_s = ready_s + 25
    glue = play.do(c.FinishStep(id=new_id(), step="u2/glue/spread"))[0]
    assert glue == e.GlueSpread("u2/glue/spread", ready_s, told=False)


def test_a_joint_closed_in_the_last_second_of_its_open_time_is_in_time() -> None:
    play = _at("u1/glue/spread")
    play.do(c.StartSpreading(id=new_id()))
    play.do(c.FinishStep(id=new_id()))
    play.now_s += 300
    assert play.do(c.FinishStep(id=new_id()))[0] == e.StepFinished("u1/glue/close", 300)


def _late() -> Play:
    play = _at("u1/glue/spread")
    play.do(c.StartSpreading(id=new_id()))
    play.do(c.FinishStep(id=new_id()))
    play.now_s += 301
    assert play.refused(c.FinishStep(id=new_id())).rule == "glue_late"
    return play


def test_a_joint_that_was_closed_in_time_may_be_said_so_afterwards() -> None:
    play = _late()
    play.do(c.AcceptDeviation(id=new_id(), name="open_time", reason="closed, tapped late"))
    assert play.do(c.AcceptDeviation(id=new_id(), name="open_time")) == ()
    assert play.do(c.FinishStep(id=new_id()))[0] == e.StepFinished("u1/glue/close", 301)


def test_glue_that_is_scraped_off_and_spread_again_has_its_whole_open_time() -> None:
    play = _late()
    play.do(c.AcceptDeviation(id=new_id(), name="open_time"))
    assert play.do(c.GoBack(id=new_id())) == (e.StepReopened("u1/glue/spread"),)
    assert "u1/glue/spread" in play.state.spread
    play.do(c.StartSpreading(id=new_id()))
    play.do(c.FinishStep(id=new_id()))
    play.now_s += 301
    # What was accepted was about the old glue.
    assert play.refused(c.FinishStep(id=new_id())).rule == "glue_late"


def test_going_back_to_the_spreading_by_mistake_gives_the_glue_no_more_time() -> None:
    play = _at("u1/glue/close")
    since_s = play.state.spread["u1/glue/spread"]
    play.now_s += 100
    play.do(c.GoBack(id=new_id()))
    play.do(c.FinishStep(id=new_id()))
    assert play.state.spread == {"u1/glue/spread": since_s}
    play.now_s = since_s + 301
    assert play.refused(c.FinishStep(id=new_id())).rule == "glue_late"


def test_a_reopened_closing_counts_on_from_when_the_glue_was_spread() -> None:
    play = _at("u1/glue/close")
    spread_s = play.state.spread["u1/glue/spread"]
    play.finish()
    play.now_s += 400
    play.do(c.GoBack(id=new_id()))
    assert play.state.spread == {"u1/glue/spread": spread_s}
    assert play.refused(c.FinishStep(id=new_id())).rule == "glue_late"


def test_an_answered_caution_is_answered_once() -> None:
    play = Play()
    assert play.do(c.AcknowledgeCaution(id=new_id())) == (
        e.CautionAcknowledged(RIP, ("table_saw",)),
    )
    assert play.do(c.AcknowledgeCaution(id=new_id())) == ()
    play.do(c.FinishStep(id=new_id()))
    assert play.do(c.AcknowledgeCaution(id=new_id())) == ()  # a step without cautions


def test_a_caution_must_be_answered_again_after_going_back() -> None:
    play = Play()
    play.finish(RIP)
    play.do(c.GoBack(id=new_id()))
    assert play.refused(c.FinishStep(id=new_id())).rule == "caution_open"


def test_a_reading_inside_the_tolerance_lets_the_step_pass() -> None:
    play = _at(SQUARE)
    taken = play.measure(SQUARE, Length.inches("1/16"))
    assert taken == (e.MeasureTaken(SQUARE, "diagonals_differ", 1_587_500, within=True),)
    assert play.do(c.AcceptDeviation(id=new_id(), name="diagonals_differ")) == ()
    assert play.do(c.FinishStep(id=new_id()))


def test_a_reading_one_nanometre_too_far_does_not_pass() -> None:
    play = _at(SQUARE)
    play.measure(SQUARE, Length(Length.inches("1/16").nm + 1))
    assert play.refused(c.FinishStep(id=new_id())).rule == "out_of_tolerance"


def test_an_accepted_deviation_passes_until_it_is_measured_again() -> None:
    play = _at(SQUARE)
    play.measure(SQUARE, Length.inches("1/8"))
    play.do(c.AcceptDeviation(id=new_id(), name="diagonals_differ", reason="good enough"))
    play.measure(SQUARE, Length.inches("1/4"))
    assert play.refused(c.FinishStep(id=new_id())).rule == "out_of_tolerance"
    play.do(c.AcceptDeviation(id=new_id(), name="diagonals_differ"))
    assert play.do(c.FinishStep(id=new_id()))


def test_a_reading_from_before_the_joint_was_opened_again_does_not_count() -> None:
    play = _at(SQUARE)
    play.measure(SQUARE, Length.inches(0))
    play.do(c.GoBack(id=new_id()))
    play.finish("u1/glue/close")
    assert play.refused(c.FinishStep(id=new_id())).rule == "measure_open"


def test_going_back_opens_the_step_finished_last_and_not_the_last_in_the_plan() -> None:
    play = _at("u1/fit/dry")
    play.finish("u2/fit/dry")
    play.finish("u1/fit/dry")
    assert play.do(c.GoBack(id=new_id())) == (e.StepReopened("u1/fit/dry"),)
    assert play.do(c.GoBack(id=new_id())) == (e.StepReopened("u2/fit/dry"),)
    assert play.do(c.GoBack(id=new_id())) == (e.StepReopened(RIP),)
    assert play.refused(c.GoBack(id=new_id())).rule == "nothing_back"


def test_going_back_after_the_last_step_takes_the_completion_back() -> None:
    play = _at("u2/paint/coat2")
    play.finish()
    play.do(c.GoBack(id=new_id()))
    assert play.state.completed_s is None
    assert play.state.at_bench == "u2/paint/coat2"
    assert play.finish()[-1] == e.BatchCompleted()


def test_a_coat_taken_back_and_painted_anew_dries_anew() -> None:
    play = _at("u1/paint/coat2")
    while "u1/paint/coat1" in play.state.finished:
        play.do(c.GoBack(id=new_id()))
    play.finish("u1/paint/coat1")
    refusal = play.refused(c.FinishStep(id=new_id(), step="u1/paint/coat2"))
    assert refusal.rule == "waiting"


def test_holding_twice_and_resuming_twice_change_nothing() -> None:
    play = Play()
    assert play.do(c.ResumeBatch(id=new_id())) == ()
    assert play.do(c.HoldBatch(id=new_id(), reason="post")) == (e.BatchHeld("post"),)
    assert play.do(c.HoldBatch(id=new_id())) == ()
    assert play.do(c.ResumeBatch(id=new_id())) == (e.BatchResumed(),)


def test_resuming_brings_the_step_whose_wait_is_over() -> None:
    play = _at("u2/paint/coat1")
    play.finish()
    play.do(c.HoldBatch(id=new_id(), reason="night"))
    play.now_s += 12 * 3600
    events = play.do(c.ResumeBatch(id=new_id()))
    assert events == (e.BatchResumed(), e.StepBegun("u1/paint/coat2"))


def test_notes_conditions_and_the_kept_plan_are_stored_while_on_hold() -> None:
    play = Play()
    play.do(c.HoldBatch(id=new_id()))
    assert play.do(c.TakeNote(id=new_id(), text=" knot in rail 2 ")) == (
        e.NoteTaken(RIP, "knot in rail 2"),
    )
    assert play.do(c.TakeNote(id=new_id(), step="u1/fit/dry", text="n"))[0] == e.NoteTaken(
        "u1/fit/dry", "n"
    )
    assert play.do(c.NoteConditions(id=new_id(), temperature_c=8, humidity_percent=70)) == (
        e.ConditionsNoted(8.0, 70.0),
    )
    assert play.do(c.KeepPlan(id=new_id(), build_digest="d" * 64)) == (e.BuildChangeKept("d" * 64),)
    assert play.do(c.KeepPlan(id=new_id(), build_digest="d" * 64)) == ()


def test_a_note_after_the_last_step_belongs_to_none() -> None:
    play = _at("u2/paint/coat2")
    play.finish()
    assert play.do(c.TakeNote(id=new_id(), text="done at last")) == (
        e.NoteTaken("", "done at last"),
    )


def test_taking_another_ready_step_moves_the_bench() -> None:
    play = _at("u1/fit/dry")
    assert play.do(c.TakeStep(id=new_id(), step="u2/fit/dry")) == (e.StepBegun("u2/fit/dry"),)
    assert play.do(c.TakeStep(id=new_id(), step="u2/fit/dry")) == ()


def test_work_on_a_step_whose_wait_has_ended_brings_it_to_the_empty_bench() -> None:
    plan = make_plan()
    saw = next(kind for kind in plan.kinds if kind.id == "rip/rail").cautions
    kinds = tuple(
        replace(kind, cautions=saw) if kind.id == "paint/coat2" else kind for kind in plan.kinds
    )
    play = Play(plan=replace(plan, kinds=kinds))
    play.finish_until("u2/paint/coat1")
    play.finish()
    play.now_s += 86400
    events = play.do(c.AcknowledgeCaution(id=new_id()))
    assert events == (
        e.StepBegun("u1/paint/coat2"),
        e.CautionAcknowledged("u1/paint/coat2", ("table_saw",)),
    )


def test_a_clock_that_was_put_back_shortens_no_wait_and_no_time() -> None:
    play = _at("u1/paint/coat2")
    late_s = play.now_s
    play.now_s = BEGIN_S
    events = play.do(c.FinishStep(id=new_id()))
    assert events[0] == e.StepFinished("u1/paint/coat2", 0)
    assert play.state.finished["u1/paint/coat2"] == late_s


def test_a_bench_step_that_the_new_plan_left_out_gives_way_to_the_next() -> None:
    play = _at("u1/fit/dry")
    steps = tuple(step for step in play.plan.steps if step.unit != 1)
    play.plan = replace(play.plan, steps=steps)
    revised = e.PlanRevised(2, "h", play.state.version, "r", ("u1/fit/dry",), ())
    play.store((revised,), new_id())
    assert step_at_bench(play.state, play.plan) is None
    play.do(c.FinishStep(id=new_id()))
    assert "u2/fit/dry" in play.state.finished
