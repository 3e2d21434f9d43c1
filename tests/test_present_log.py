"""The log and the record: what happened, in words, and what it adds up to."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from shopstep.present.card import CardMode
from shopstep.present.log import (
    log_document,
    log_lines,
    log_rows,
    record,
    record_document,
    record_lines,
)
from shopstep.session import commands as c
from shopstep.session import events as e
from shopstep.units import Length
from tests.present_sample import MemoryBench
from tests.sample_plan import BEGIN_S, make_plan


def envelopes(*events: e.Event, every_s: int = 60) -> tuple[e.Envelope, ...]:
    return tuple(
        e.Envelope(n, event, e.Moment(BEGIN_S + n * every_s, "UTC", "boot", n), "do", f"c{n}")
        for n, event in enumerate(events, 1)
    )


def complete_bench() -> MemoryBench:
    bench = MemoryBench()
    while bench.card().mode is not CardMode.COMPLETE:
        bench.follow(bench.card())
    return bench


ALL_EVENTS = (
    (e.SessionStarted("Sample frame", "h", "d"), "began Sample frame"),
    (e.StepBegun("u1/fit/dry"), "came to the bench"),
    (e.CautionAcknowledged("all/rip/rail", ("table_saw",)), "caution answered: table_saw"),
    (e.GlueSpread("u1/glue/spread", BEGIN_S, True), "glue open since 18:00"),
    (
        e.GlueSpread("u1/glue/spread", BEGIN_S, False),
        "glue open since 18:00, taken from the plan",
    ),
    (e.StepFinished("u1/fit/dry", 125), "done in 2 min 5 s"),
    (e.StepFinished("u1/fit/dry", 0), "done"),
    (e.StepReopened("u1/fit/dry"), "open again"),
    (e.BatchHeld("supper"), "on hold: supper"),
    (e.BatchHeld(""), "on hold"),
    (e.BatchResumed(), "taken up again"),
    (e.StepSetAside("u1/fit/dry", "no brads"), "set aside: no brads"),
    (e.StepSetAside("u1/fit/dry", ""), "set aside"),
    (e.GlueScraped("u1/glue/spread", ()), "glue scraped off, to be spread anew"),
    (e.BuildMoved("d", (("a.yaml", ""),)), "moved over to the changed build file"),
    (e.HoursTold(1_764_106_200), "stays until 21:30"),
    (e.ClampsCounted(6), "counted 6 clamps"),
    (e.LabelRead("wood_glue", 480), "label of the wood glue: open 8 min"),
    (e.LabelRead("wood_glue", 0), "the label of the wood glue gives no open time"),
    (e.StepsVoided(("u1/glue/spread", "u1/glue/close")), "2 steps are to be done again"),
    (
        e.PartSpoiled("side_rail", "left", 2, 2, "split"),
        "left side rail of unit 2 is made again: split",
    ),
    (e.ClockNoticed(-3600), "the clock was moved; -3600 s are added to it"),
    (e.ClockAnswered(True), "the clock is right"),
    (e.ClockAnswered(False), "the clock is wrong"),
    (e.BatchStopped("moved house"), "stopped for good: moved house"),
    (e.NoteTaken("", "more brads", "to_get"), "to get: more brads"),
    (e.NoteTaken("", "cut longer", "next_time"), "for next time: cut longer"),
    (
        e.MeasureTaken("u1/glue/square", "diagonals_differ", 1_587_500, True),
        "measured diagonals_differ 1/16 in, good",
    ),
    (
        e.MeasureTaken("u1/glue/square", "diagonals_differ", 3_175_000, False),
        "measured diagonals_differ 1/8 in, outside the tolerance",
    ),
    (
        e.DeviationAccepted("u1/glue/square", "diagonals_differ", "planed"),
        "kept diagonals_differ as it is: planed",
    ),
    (e.DeviationAccepted("u1/glue/close", "open_time", ""), "said to be closed in time"),
    (e.NoteTaken("", "knot"), "note: knot"),
    (e.ConditionsNoted(8.5, 60.0), "air 8.5 °C (47 °F), 60 %"),
    (
        e.PlanRevised(2, "h", 9, "colder", ("u1/a/b",), ("u1/a/c", "u1/a/d")),
        "plan 2 took over (2 steps more, 1 fewer): colder",
    ),
    (e.BuildChangeKept("d"), "build file changed, plan kept"),
    (e.BatchCompleted(), "complete"),
)


@pytest.mark.parametrize(("event", "words"), ALL_EVENTS)
def test_each_event_is_told_in_words(event: e.Event, words: str) -> None:
    (row,) = log_rows(envelopes(event), make_plan())
    assert row.what == words


def test_no_kind_of_event_is_left_without_words() -> None:
    told = {event.kind for event, _ in ALL_EVENTS}
    assert told == {kind.kind for kind in e.Event.__subclasses__() if kind.__module__ == e.__name__}


def test_a_row_names_step_unit_day_time_and_face() -> None:
    (row,) = log_rows(envelopes(e.StepFinished("u2/glue/close", 90)), make_plan())
    assert (row.headline, row.unit, row.step) == (
        "Close the joint (unit 2)",
        2,
        "u2/glue/close",
    )
    assert (row.day, row.clock, row.face) == ("Tue 25 Nov 2025", "18:01", "do")
    assert (row.spent_s, row.value, row.version) == (90, None, 1)


def test_a_step_that_the_plan_no_longer_has_goes_by_its_id() -> None:
    (row,) = log_rows(envelopes(e.StepFinished("u9/glue/gone", 90)), make_plan())
    assert (row.headline, row.unit) == ("u9/glue/gone", None)


def test_times_are_the_shops_own() -> None:
    plan = replace(make_plan(), zone="Pacific/Auckland")
    (row,) = log_rows(envelopes(e.BatchCompleted()), plan)
    assert (row.day, row.clock) == ("Wed 26 Nov 2025", "07:01")  # UTC+13 in November


def test_lines_name_each_day_once() -> None:
    events = envelopes(e.StepBegun("u1/fit/dry"), e.BatchHeld(""), every_s=20 * 3600)
    assert log_lines(events, make_plan()) == [
        "Wed 26 Nov 2025",
        "14:00 Dry fit (unit 1): came to the bench [do]",
        "Thu 27 Nov 2025",
        "10:00 after an interruption of 20 h: no entry was made",
        "10:00 on hold [do]",
    ]


def test_the_document_holds_each_event_with_exact_values() -> None:
    events = envelopes(
        e.MeasureTaken("u1/glue/square", "diagonals_differ", 1_587_500, True), e.BatchHeld("")
    )
    document = log_document(events, make_plan())
    assert json.loads(json.dumps(document)) == document
    assert document["entries"] == [
        {
            "version": 1,
            "at": "2025-11-25T18:01:00Z",
            "local": "2025-11-25 18:01",
            "face": "do",
            "kind": "measure_taken",
            "step": "u1/glue/square",
            "unit": 1,
            "headline": "Square it (unit 1)",
            "what": "measured diagonals_differ 1/16 in, good",
            "spent_s": None,
            "value": {"nm": 1_587_500, "text": "1/16 in"},
            "pause": None,
        },
        {
            "version": 2,
            "at": "2025-11-25T18:02:00Z",
            "local": "2025-11-25 18:02",
            "face": "do",
            "kind": "batch_held",
            "step": None,
            "unit": None,
            "headline": None,
            "what": "on hold",
            "spent_s": None,
            "value": None,
            "pause": None,
        },
    ]


def test_the_record_of_a_batch_adds_up_to_what_the_session_knows() -> None:
    bench = complete_bench()
    book = record(bench.log, bench.plan)
    timed = {step.step: step.spent_s for step in book.steps if step.spent_s is not None}
    assert timed == {step: spent for step, spent in bench.state.spent.items() if step in timed}
    assert [step.step for step in book.steps] == list(bench.state.finished)
    assert book.total.spent_s == sum(timed.values())
    assert book.total.known + book.total.unknown == len(bench.plan.steps)
    assert book.completed_s == bench.state.completed_s
    assert [times.stage for times in book.stages] == ["rip", "fit", "glue", "screw", "paint"]
    assert sum(times.spent_s for times in book.stages) == book.total.spent_s
    assert [measure.value for measure in book.measures] == [Length.inches("1/32")] * 2


def test_a_step_that_nobody_saw_come_to_the_bench_has_no_time() -> None:
    events = envelopes(
        e.StepBegun("u1/fit/dry"),
        e.StepFinished("u2/fit/dry", 0),
        e.StepFinished("u1/fit/dry", 90),
    )
    book = record(events, make_plan())
    assert [(step.step, step.spent_s) for step in book.steps] == [
        ("u2/fit/dry", None),
        ("u1/fit/dry", 90),
    ]
    assert (book.total.planned_s, book.total.spent_s) == (120, 90)
    assert (book.total.known, book.total.unknown) == (1, 1)


@pytest.mark.parametrize(("hours", "spent"), [(2, 2 * 3600), (26, None)])
def test_a_step_over_which_the_lid_was_closed_has_no_time(hours: int, spent: int | None) -> None:
    begun, done = envelopes(e.StepBegun("u1/fit/dry"), e.StepFinished("u1/fit/dry", hours * 3600))
    later = replace(done, moment=replace(done.moment, at_s=begun.moment.at_s + hours * 3600))
    book = record((begun, later), make_plan())
    assert [step.spent_s for step in book.steps] == [spent]
    assert book.total.unknown == (spent is None)


def test_work_that_was_done_again_counts_each_time() -> None:
    events = envelopes(
        e.StepBegun("u1/fit/dry"),
        e.StepFinished("u1/fit/dry", 100),
        e.StepReopened("u1/fit/dry"),
        e.StepFinished("u1/fit/dry", 50),
    )
    (step,) = record(events, make_plan()).steps
    assert (step.spent_s, step.times) == (150, 2)
    assert "Dry fit: 2 min 30 s, planned 2 min (30 s more); done again" in " ".join(
        record_lines(record(events, make_plan()))
    )


def test_a_reopened_step_is_not_in_the_record_until_it_is_done_again() -> None:
    events = envelopes(e.StepFinished("u1/fit/dry", 100), e.StepReopened("u1/fit/dry"))
    book = record(events, make_plan())
    assert book.steps == ()
    assert record_lines(book)[-1] == "No step is finished yet"


def test_the_record_says_which_reading_was_kept_and_why() -> None:
    events = envelopes(
        e.MeasureTaken("u1/glue/square", "diagonals_differ", 6_350_000, False),
        e.MeasureTaken("u1/glue/square", "diagonals_differ", 3_175_000, False),
        e.DeviationAccepted("u1/glue/square", "diagonals_differ", "planed"),
    )
    first, second = record(events, make_plan()).measures
    assert (first.accepted, second.accepted) == (None, "planed")
    assert second.text == "difference of the diagonals"
    lines = " ".join(record_lines(record(events, make_plan()), 200))
    assert "difference of the diagonals 1/4 in, planned 0 in, outside" in lines
    assert "difference of the diagonals 1/8 in, planned 0 in, outside, kept: planed" in lines


def test_holds_notes_and_late_joints_stand_in_the_record() -> None:
    bench = MemoryBench()
    bench.finish_until("u1/glue/close")
    bench.do(c.TakeNote(id="n", text="knot in the rail"))
    bench.at_s += 400
    bench.do(c.AcceptDeviation(id="a", step="u1/glue/close", name="open_time"))
    bench.do(c.FinishStep(id="f", step="u1/glue/close"))
    bench.do(c.HoldBatch(id="h"))
    bench.at_s += 600
    bench.do(c.ResumeBatch(id="r"))
    book = record(bench.log, bench.plan)
    assert book.held_s == 600
    assert book.late_joints == ("Close the joint (unit 1)",)
    assert [(note.headline, note.text) for note in book.notes] == [
        ("Close the joint (unit 1)", "knot in the rail")
    ]
    text = "\n".join(record_lines(book))
    assert "On hold 10 min" in text
    assert "Closed late and kept:\n  Close the joint (unit 1)" in text
    assert "knot in the rail" in text


def test_the_record_reads_planned_against_actual() -> None:
    lines = record_lines(record(complete_bench().log, make_plan()))
    assert "Record of Sample frame, 2 units" in lines
    assert "At the bench 21 min, planned 36 min (15 min less), 2 not timed" in lines
    assert "  glue: 14 min, as planned" in lines
    assert "  Square it: 4 min, as planned; unit 1: 2 min, unit 2: 2 min" in lines
    assert all(len(line) <= 78 for line in lines)


def test_the_records_document_is_plain_json_with_the_same_sums() -> None:
    book = record(complete_bench().log, make_plan())
    document = record_document(book)
    assert json.loads(json.dumps(document)) == document
    assert document["version"] == 1
    assert document["total"] == {
        "planned_s": book.total.planned_s,
        "spent_s": book.total.spent_s,
        "known": 15,
        "unknown": 2,
    }
    assert document["completed"] == "2025-11-25T23:10:00Z"
    steps = document["steps"]
    assert isinstance(steps, list)
    assert len(steps) == 17
    assert steps[0]["finished"] == "2025-11-25T18:02:00Z"


def test_a_session_without_events_has_an_empty_record() -> None:
    book = record((), make_plan())
    assert record_document(book)["started"] is None
    assert record_document(book)["completed"] is None
    assert log_lines((), make_plan()) == []
