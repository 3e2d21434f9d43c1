"""Interruptions in the log: holds with their length, and lids that were closed without a word.

That an interruption has to be noticed, and told, is a guideline for flight-deck checklists (Degani
and Wiener, NASA Contractor Report 177549, 1990, Appendix A; from memory).
"""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import pytest

from shopstep.cli.main import run
from shopstep.present.log import log_document, log_lines, log_rows
from shopstep.present.log_csv import log_csv
from shopstep.present.pauses import with_pauses
from shopstep.present.summary import INTERRUPTED_S
from shopstep.session import commands as c
from shopstep.session import events as e
from tests.sample_plan import BEGIN_S, make_plan
from tests.session_bench import Play, new_id

DRY = "u1/fit/dry"
DRY_S = next(step.duration_s for step in make_plan().steps if step.id == DRY)


def played(*timed: tuple[int, e.Event]) -> tuple[e.Envelope, ...]:
    """Events at so many seconds after the begin."""
    return tuple(
        e.Envelope(n, event, e.Moment(BEGIN_S + at, "UTC", "boot", at), "bench", f"c{n}")
        for n, (at, event) in enumerate(timed, 1)
    )


def pauses(envelopes: tuple[e.Envelope, ...]) -> list[tuple[int, str] | None]:
    """Seconds and kind of the pause before each entry."""
    found = [pause for _, pause in with_pauses(envelopes, make_plan())]
    return [(pause.seconds, pause.kind) if pause else None for pause in found]


def test_a_lid_that_was_closed_without_a_word_is_marked_with_its_length() -> None:
    night = 22 * 3600 + 40 * 60 + 9
    said = log_lines(
        played((0, e.StepBegun(DRY)), (night, e.StepFinished(DRY, night))), make_plan()
    )
    at = said.index("16:40 after an interruption of 22 h 40 min: no entry was made")
    assert said[at + 1].startswith("16:40 Dry fit (unit 1): done")


def test_a_hold_is_marked_with_its_length_and_is_no_gap_as_well() -> None:
    held = played(
        (0, e.StepBegun(DRY)),
        (60, e.BatchHeld("supper")),
        (4000, e.NoteTaken(DRY, "screws are short")),
        (7260, e.BatchResumed()),
        (7300, e.StepFinished(DRY, 100)),
    )
    assert pauses(held) == [None, None, None, (7200, "hold"), None]
    said = log_lines(held, make_plan())
    assert "20:01 taken up again after 2 h [bench]" in said
    assert not [line for line in said if "interruption" in line]


def test_a_wait_with_nothing_at_the_bench_is_no_interruption_but_has_its_length() -> None:
    waited = played(
        (0, e.StepBegun(DRY)), (60, e.StepFinished(DRY, 60)), (14_460, e.StepBegun("u2/fit/dry"))
    )
    assert pauses(waited) == [None, None, (14_400, "wait")]
    assert "22:01 after 4 h with nothing at the bench" in log_lines(waited, make_plan())


@pytest.mark.parametrize(
    ("gap_s", "marked"), [(INTERRUPTED_S - 1, False), (INTERRUPTED_S, True), (86_400, True)]
)
def test_a_short_look_away_is_not_marked(gap_s: int, marked: bool) -> None:
    assert DRY_S < INTERRUPTED_S
    before = pauses(played((0, e.StepBegun(DRY)), (gap_s, e.StepFinished(DRY, gap_s))))[-1]
    assert before == ((gap_s, "gap") if marked else None)


@pytest.mark.parametrize(("gap_s", "marked"), [(2400, False), (2401, True)])
def test_a_step_that_is_planned_to_take_long_is_work_until_its_time_is_over(
    gap_s: int, marked: bool
) -> None:
    plan = make_plan()
    steps = tuple(replace(s, duration_s=2400) if s.id == DRY else s for s in plan.steps)
    worked = played((0, e.StepBegun(DRY)), (gap_s, e.StepFinished(DRY, gap_s)))
    (_, pause) = list(with_pauses(worked, replace(plan, steps=steps)))[-1]
    assert (pause is not None) is marked


def test_a_clock_that_goes_back_makes_no_pause() -> None:
    events = played((9000, e.StepBegun(DRY)), (0, e.NoteTaken(DRY, "x")), (9060, e.BatchHeld("")))
    assert pauses(events) == [None, None, None]


def test_the_first_entry_ends_no_pause() -> None:
    assert pauses(played((90_000, e.SessionStarted("t", "h", "d")))) == [None]


def test_document_table_and_rows_hold_the_same_pause() -> None:
    events = played((0, e.StepBegun(DRY)), (7200, e.StepFinished(DRY, 7200)))
    plan = make_plan()
    assert log_rows(events, plan)[1].pause is not None
    entries = log_document(events, plan)["entries"]
    assert isinstance(entries, list)
    assert [entry["pause"] for entry in entries] == [None, {"seconds": 7200, "kind": "gap"}]
    table = list(csv.DictReader(io.StringIO(log_csv(events, plan))))
    assert [(row["pause_s"], row["pause"]) for row in table] == [("", ""), ("7200", "gap")]


def test_a_played_batch_adds_its_holds_up_as_the_pauses_do() -> None:
    play = Play()
    play.finish_until(DRY)
    for seconds in (120, 3600, 86_400):
        play.do(c.HoldBatch(id=new_id()))
        play.now_s += seconds
        play.do(c.ResumeBatch(id=new_id()))
    assert play.state.idle_s == 120 + 3600 + 86_400
    assert [s for s, kind in filter(None, pauses(tuple(play.envelopes))) if kind == "hold"] == [
        120,
        3600,
        86_400,
    ]


def test_the_log_command_tells_a_closed_lid(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["start", "bird-box", "--plain", "--now", "2026-01-15T18:00:00+00:00"]) == 0
    assert run(["do", "LAST", "ack", "--now", "2026-01-17T18:30:00+00:00"]) == 0
    capsys.readouterr()
    assert run(["log", "LAST"]) == 0
    said = capsys.readouterr().out
    assert "18:30 after an interruption of 2 days 30 min: no entry was made" in said
