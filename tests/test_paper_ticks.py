"""Ticks made on paper: entered in one go they are the same as ticked one by one, or nothing is."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopstep.cli.main import run
from shopstep.cli.paper_entry import Stopped, ask_the_rest
from shopstep.model.step import WaitKind
from shopstep.present.log import log_lines
from shopstep.present.record import record
from shopstep.session import commands as c
from shopstep.session.events import StepFinished
from shopstep.session.flow import index_plan, ready_steps
from shopstep.session.paper_ticks import Asked, asked_until, find_until
from shopstep.session.paper_times import LONGEST_AGO_S, moment_in
from shopstep.session.situation import Situation
from shopstep.session.state import State
from shopstep.session.timers import running_timers
from shopstep.storage.session_file import SessionFile
from shopstep.units import Length
from tests.floor import BEGIN_S, floor_plan
from tests.paper_batch import as_planned, worked, written
from tests.rack_bench import RackBench
from tests.session_bench import Play, new_id

CLOSE = "u1/glue/close_right"
SPREAD = "u1/glue/spread_right"
LEFT = "u1/glue/close_left"


def asked_at(play: Play, until: str) -> Asked:
    """What is asked with the ticks up to a step."""
    situation = Situation(play.state, play.plan, play.now_s)
    step = find_until(situation, until)
    assert not isinstance(step, c.Refusal)
    asked = asked_until(situation, step)
    assert not isinstance(asked, c.Refusal)
    return asked


def command(
    asked: Asked, until: str, times: dict[str, str], *, cautions_read: bool = True
) -> c.EnterTicks:
    """All that is asked, with every number as planned."""
    return replace(as_planned(until, asked, times), cautions_read=cautions_read)


def times_of(play: Play, asked: Asked, seed: int) -> dict[str, str]:
    """When joints and coats were done, by somebody who keeps all waits."""
    return worked(Situation(play.state, play.plan, play.now_s), asked, Random(seed))


def entered(until: str, seed: int = 1) -> tuple[Play, c.EnterTicks]:
    """A batch of two floors whose ticks up to a step were entered from paper."""
    play = Play(floor_plan(), BEGIN_S)
    play.now_s = BEGIN_S + 30 * 86400
    asked = asked_at(play, until)
    told = command(asked, until, times_of(play, asked, seed))
    play.do(told)
    return play, told


def ticked_one_by_one(paper: Play) -> Play:
    """Another batch, whose steps are finished at the bench at the same moments."""
    bench = Play(paper.plan, BEGIN_S)
    index = index_plan(paper.plan)
    for step_id, at_s in paper.state.finished.items():
        bench.now_s = at_s
        since_s = paper.state.spread.get(step_id)
        bench.do(c.AcknowledgeCaution(id=new_id(), step=step_id))
        if since_s is not None:
            bench.now_s = since_s
            bench.do(c.StartSpreading(id=new_id(), step=step_id))
            bench.now_s = at_s
        for check in index.kind_of(index.steps[step_id]).checks:
            if check.value is not None:
                reading = c.TakeMeasure(
                    id=new_id(), step=step_id, name=check.name, value=check.value
                )
                bench.do(reading)
        bench.do(c.FinishStep(id=new_id(), step=step_id))
    bench.now_s = paper.now_s
    return bench


def what_counts(state: State) -> dict[str, object]:
    """All that later work follows from; when a number was typed and who saw it begun is not."""
    return {
        "finished": list(state.finished.items()),
        "spread": dict(state.spread),
        "acknowledged": state.acknowledged,
        "readings": {key: replace(read, at_s=0) for key, read in state.readings.items()},
        "accepted": dict(state.accepted),
        "aside": dict(state.aside),
        "held": state.held_since,
        "complete": state.completed_s is not None,
    }


@settings(max_examples=12, deadline=None)
@given(stop=st.integers(0, len(floor_plan().steps) - 1), seed=st.integers(0, 1000))
def test_entered_in_one_go_is_the_same_as_ticked_one_by_one(stop: int, seed: int) -> None:
    until = floor_plan().steps[stop].id
    paper, told = entered(until, seed)
    assert until in paper.state.finished
    bench = ticked_one_by_one(paper)
    assert what_counts(paper.state) == what_counts(bench.state)
    for step, clock in ((each.step, each.clock) for each in told.times):
        assert written(paper.state.finished[step]) == clock
    bare, wanted = (replace(each.state, begun={}, at_bench=None) for each in (paper, bench))
    assert running_timers(bare, paper.plan) == running_timers(wanted, paper.plan)
    ready = ready_steps(bare, paper.plan, paper.now_s)
    assert ready == ready_steps(wanted, paper.plan, paper.now_s)
    assert paper.state.at_bench in (None, *(step.id for step in ready))
    assert paper.refold() == paper.state


def test_waits_count_from_what_was_written_and_not_from_the_entry() -> None:
    play, told = entered(CLOSE)
    written_down = {each.step: each.clock for each in told.times}
    (clamp,) = (
        wait for wait in play.plan.waits if wait.after == CLOSE and wait.kind is WaitKind.CLAMP
    )
    assert written(play.state.finished[CLOSE]) == written_down[CLOSE]
    assert play.state.finished[CLOSE] + clamp.seconds < play.now_s


def paper_until(until: str = CLOSE) -> tuple[Play, Asked, dict[str, str]]:
    """A batch of which nothing is entered yet, at 21:00 of its third evening."""
    play = Play(floor_plan(), BEGIN_S)
    play.now_s = BEGIN_S + 2 * 86400 + 3 * 3600
    asked = asked_at(play, until)
    return play, asked, times_of(play, asked, 3)


WRONG_TIMES = [
    ("23:10", "still to come"),
    ("2026-01-19 10:00", "still to come"),
    ("2026-01-15 17:59", "before the session began"),
    ("2026-01-15 18:05", "times are out of order"),
    ("7 pm", "is no time"),
    ("2026-02-30 10:00", "is no time"),
    ("25:00", "is no time"),
    ("99999-01-01 10:00", "is no time"),
]


@pytest.mark.parametrize(("clock", "words"), WRONG_TIMES)
def test_a_time_that_cannot_be_is_refused_and_nothing_is_entered(clock: str, words: str) -> None:
    play, asked, times = paper_until()
    refusal = play.refused(command(asked, CLOSE, times | {CLOSE: clock}))
    assert words in refusal.text
    assert "Nothing was entered" in refusal.text


def test_a_wait_that_was_cut_short_is_refused() -> None:
    until = "u1/glue/unclamp_frame"
    play, asked, times = paper_until(until)
    last = max(times.values())
    runner = "u1/bearers/close_runners"
    asked = asked_at(play, runner)
    refusal = play.refused(command(asked, runner, times | {runner: last}))
    assert "times are out of order or a wait was cut short" in refusal.text


def test_what_cannot_be_done_yet_is_not_entered() -> None:
    play, asked, times = paper_until()
    play.now_s = int(datetime.fromisoformat(f"{times[CLOSE]}+00:00").timestamp()) + 600
    asked = asked_at(play, "u1/glue/unclamp_frame")
    times = {each.step: times.get(each.step, written(play.now_s)) for each in asked.times}
    refusal = play.refused(command(asked, "u1/glue/unclamp_frame", times))
    assert "still to come" in refusal.text or "out of order" in refusal.text


def test_no_caution_is_passed_unanswered_and_nothing_missing_is_made_up() -> None:
    play, asked, times = paper_until()
    whole = command(asked, CLOSE, times)
    rows = {caution.id for caution in asked.cautions}
    index = index_plan(play.plan)
    assert rows == {
        row.id for step in asked.steps for row in index.kind_of(step).cautions if row.must_ack
    }
    assert len(rows) == len(asked.cautions)
    for part, words in (
        (replace(whole, cautions_read=False), "saw_guard_off"),
        (replace(whole, readings=whole.readings[1:]), asked.numbers[0].label),
        (replace(whole, times=whole.times[1:]), asked.times[0].label),
    ):
        refusal = play.refused(part)
        assert refusal.rule == "missing"
        assert words in refusal.text
    play.do(whole)
    assert CLOSE in play.state.finished


def test_what_is_not_asked_for_is_not_taken() -> None:
    play, asked, times = paper_until()
    whole = command(asked, CLOSE, times)
    odd = c.ToldTime("all/edge/board", "18:30")
    twice = whole.times[0]
    read = c.ToldReading("all/edge/board", "width", Length.inches(1))
    for wrong in (
        replace(whole, times=(*whole.times, odd)),
        replace(whole, times=(*whole.times, twice)),
        replace(whole, readings=(*whole.readings, read)),
    ):
        assert play.refused(wrong).rule == "bad_value"


def test_glue_that_was_open_too_long_leads_to_the_same_answers_as_at_the_bench() -> None:
    play, asked, times = paper_until()
    closed_s = int(datetime.fromisoformat(f"{times[CLOSE]}+00:00").timestamp())
    late = c.ToldTime(CLOSE, written(closed_s + 12 * 60), times[CLOSE])
    whole = command(asked, CLOSE, times)
    told = (*(each for each in whole.times if each.step != CLOSE), late)
    refusal = play.refused(replace(whole, times=told))
    assert refusal.rule == "glue_late"
    assert f"done-until {SPREAD}" in refusal.text

    asked = asked_at(play, SPREAD)
    play.do(command(asked, SPREAD, {k: v for k, v in times.items() if k != CLOSE}))
    assert play.state.at_bench == CLOSE
    assert play.refused(c.FinishStep(id=new_id(), step=CLOSE)).rule == "glue_late"
    play.do(c.SpreadAgain(id=new_id(), step=CLOSE))
    assert SPREAD not in play.state.finished


def test_a_number_outside_its_tolerance_stops_it_there() -> None:
    until = "u1/glue/square_frame"
    play, asked, times = paper_until(until)
    whole = command(asked, until, times)
    wrong = tuple(
        replace(each, value=Length.inches(1)) if each.name == "diagonals_differ" else each
        for each in whole.readings
    )
    refusal = play.refused(replace(whole, readings=wrong))
    assert refusal.rule == "out_of_tolerance"
    (before,) = re.findall("`done-until ([^`]+)`", refusal.text)
    until_then = {each.step: times[each.step] for each in asked_at(play, before).times}
    play.do(command(asked_at(play, before), before, until_then))
    assert play.state.at_bench is not None
    assert play.state.at_bench.endswith("glue/square_frame")


def test_paper_goes_on_from_a_hold_and_from_what_was_ticked_at_the_bench() -> None:
    play = Play(floor_plan(), BEGIN_S)
    play.now_s += 900
    play.finish()
    play.do(c.HoldBatch(id=new_id(), reason="battery"))
    ticked = dict(play.state.finished)
    play.now_s += 6 * 3600
    asked = asked_at(play, "all/slice/runner")
    play.do(command(asked, "all/slice/runner", {}))
    assert play.state.held_since is None
    assert {step: play.state.finished[step] for step in ticked} == ticked
    moments = list(play.state.finished.values())
    assert moments == sorted(moments)
    assert moments[-1] <= play.now_s
    again = play.do(command(asked_at(play, "all/slice/runner"), "all/slice/runner", {}))
    assert again == ()


def test_what_was_set_aside_stays_aside_unless_the_last_tick_builds_on_it() -> None:
    play = Play(floor_plan(), BEGIN_S)
    play.finish()
    step = play.state.at_bench
    assert step is not None
    play.do(c.SetAside(id=new_id(), step=step, reason="no battery"))
    names = [each.id for each in asked_at(play, "all/jig/spacers").steps]
    assert step not in names
    assert step in [each.id for each in asked_at(play, CLOSE).steps]


def test_a_kind_as_it_stands_on_paper_means_its_last_unit() -> None:
    play = Play(floor_plan(), BEGIN_S)
    found = find_until(Situation(play.state, play.plan, play.now_s), "glue/close_right")
    assert not isinstance(found, c.Refusal)
    ids = [step.id for step in play.plan.steps if step.kind == "glue/close_right"]
    assert found.id == ids[-1]
    wrong = find_until(Situation(play.state, play.plan, play.now_s), "u1/glue/close_rihgt")
    assert isinstance(wrong, c.Refusal)
    assert "Did you mean 'u1/glue/close_right'?" in wrong.text


def test_a_time_of_day_is_of_today_or_of_last_night() -> None:
    now_s = BEGIN_S + 6 * 3600 + 1800  # half past midnight
    assert moment_in("23:50", now_s, "UTC") == BEGIN_S + 5 * 3600 + 3000
    assert moment_in("0:10", now_s, "UTC") == BEGIN_S + 6 * 3600 + 600
    later = moment_in("1:00", now_s, "UTC")
    assert later is not None
    assert later > now_s
    assert LONGEST_AGO_S < 86400 - 3600
    # on 29 March 2026 the clocks of Berlin go from 2:00 to 3:00 (IANA time zone database)
    spring_s = int(datetime(2026, 3, 29, 20, 0, tzinfo=UTC).timestamp())
    early = moment_in("2026-03-29 1:30", spring_s, "Europe/Berlin")
    late = moment_in("2026-03-29 3:30", spring_s, "Europe/Berlin")
    assert early is not None
    assert late is not None
    assert late - early == 3600


def test_paper_ticks_teach_no_times_and_stand_in_the_log_with_theirs() -> None:
    play, _ = entered(CLOSE)
    kept = record(play.envelopes, play.plan)
    assert {step.spent_s for step in kept.steps} == {None}
    assert kept.steps[-1].finished_s == play.state.finished[CLOSE]
    assert any("ticked on paper" in line for line in log_lines(play.envelopes, play.plan))


def test_the_real_file_holds_all_of_it_or_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "floor.session"
    RackBench(path, 2, uses_rack=False).close()
    now = ["--now", "2026-01-16T21:00:00+00:00"]
    asked = ["do", str(path), "done-until", "all/slice/side_strip", *now]
    assert run(asked) == 1
    said = capsys.readouterr().err
    assert "--cautions-read" in said
    assert "saw_slice" in said
    with SessionFile.open(path) as kept:
        before = kept.events_after(0)
    assert run([*asked, "--cautions-read"]) == 0
    assert "Slice off" in capsys.readouterr().out
    with SessionFile.open(path) as kept:
        made = kept.events_after(len(before))
    assert len({envelope.command_id for envelope in made}) == 1
    finished = [each.event for each in made if isinstance(each.event, StepFinished)]
    assert [event.step for event in finished][-1] == "all/slice/side_strip"
    assert run(["do", str(path), "done", "--cautions-read", *now]) == 2
    assert "goes with 'done-until' only" in capsys.readouterr().err
    wrong = ["do", str(path), "done-until", "glue/close_right", *now, "--closed", "lid glue=19:42"]
    assert run(wrong) == 2
    assert "is not asked for here" in capsys.readouterr().err


def test_at_a_terminal_each_thing_is_asked_line_by_line() -> None:
    play, asked, times = paper_until()
    start = c.EnterTicks(id=new_id(), step=CLOSE)
    answers = ["seven", "2026-01-15 17:00", "2031-01-01 10:00"]
    answers += [times[each.step] for each in asked.times[:-1]]
    answers += ["2026-01-15 18:30", times[asked.times[-1].step]]
    answers += ["17 furlongs"]
    answers += [f"{float(each.expected.nm) / 25_400_000:.6f} in" for each in asked.numbers]
    answers += ["perhaps", *("yes" for _ in asked.cautions), "y"]
    lines: list[str] = []
    left = iter(answers)
    situation = Situation(play.state, play.plan, play.now_s)
    told = ask_the_rest(start, asked, situation, lambda: next(left), lines.append)
    assert list(left) == []
    said = " ".join(" ".join(lines).split())
    assert all(each.label in said for each in asked.times)
    assert all(each.label in said for each in asked.numbers)
    assert all(row.harm in said for row in asked.cautions)
    assert "'seven' is no time" in said
    assert "before the session began" in said
    assert "still to come" in said
    assert "times are out of order" in said
    assert "Nothing was entered" not in said
    play.do(told)
    assert CLOSE in play.state.finished
    with pytest.raises(Stopped):
        ask_the_rest(start, asked, situation, lambda: None, lines.append)
