"""Every rule of refusal: when it stands in the way, and that its sentence shows the way on."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest

from shopstep.model.step import Wait, WaitKind
from shopstep.session import commands as c
from shopstep.units import Length
from tests.sample_plan import BEGIN_S, make_plan
from tests.session_bench import RIP, Play, new_id

SIXTEENTH = Length.inches("1/16")


def _at(step: str) -> Play:
    play = Play()
    play.finish_until(step)
    return play


def _held() -> Play:
    play = Play()
    play.do(c.HoldBatch(id=new_id(), reason="supper"))
    return play


def _complete() -> Play:
    play = _at("u2/paint/coat2")
    play.finish()
    return play


def _all_wait() -> Play:
    play = _at("u2/paint/coat1")
    play.finish()
    return play


def _misread() -> Play:
    play = _at("u1/glue/square")
    play.measure("u1/glue/square", Length.inches("1/4"))
    return play


def _late() -> Play:
    play = _at("u1/glue/spread")
    play.do(c.StartSpreading(id=new_id()))
    play.finish()
    play.now_s += 370
    return play


def _glue_open() -> Play:
    play = _at("u2/glue/spread")
    play.do(c.StartSpreading(id=new_id()))
    play.now_s += 60
    return play


def _glued() -> Play:
    play = _at("u1/glue/tack")
    play.finish()
    return play


def _out_of_order() -> Play:
    """A plan changed so that the step finished last stands before one that is finished."""
    play = Play()
    play.finish(RIP)
    play.finish("u1/fit/dry")
    play.finish("u2/fit/dry")
    steps = tuple(
        replace(step, needs=("u2/fit/dry",)) if step.id == "u1/fit/dry" else step
        for step in play.plan.steps
    )
    play.plan = replace(play.plan, steps=steps)
    return play


Case = tuple[str, Callable[[], Play], c.Command, tuple[str, ...]]
CASES: list[Case] = [
    ("held", _held, c.FinishStep(id="x"), ("on hold (supper)", "Resume")),
    ("held", _held, c.TakeStep(id="x", step=RIP), ("Resume",)),
    ("held", _held, c.GoBack(id="x"), ("Resume",)),
    ("held", _held, c.AcknowledgeCaution(id="x"), ("Resume",)),
    ("complete", _complete, c.FinishStep(id="x"), ("Every step is finished", "Back")),
    ("complete", _complete, c.HoldBatch(id="x"), ("Every step is finished",)),
    ("stale", Play, c.FinishStep(id="x", seen=1), ("look again",)),
    ("stale", Play, c.StartSpreading(id="x", seen=0), ("look again",)),
    ("stale", _misread, c.AcceptDeviation(id="x", step="u1/glue/square", name="diagonals_differ",
     seen=3), ("look again",)),
    ("stale", lambda: _at("u2/fit/dry"), c.GoBack(id="x", step="u2/fit/dry", seen=3), ("look",)),
    ("stale", lambda: _at("u2/fit/dry"), c.GoBack(id="x", step=RIP), ("look again",)),
    ("unknown_step", Play, c.FinishStep(id="x", step="u1/glue/spraed"),
     ("'u1/glue/spraed'", "Did you mean 'u1/glue/spread'?")),
    ("unknown_step", Play, c.TakeStep(id="x"), ("Say which step",)),
    ("unknown_step", Play, c.TakeNote(id="x", step="zz", text="n"), ("There is no step 'zz'",)),
    ("needs_open", Play, c.FinishStep(id="x", step="u1/glue/spread"),
     ("Spread glue (unit 1)", "First finish: Dry fit (unit 1)")),
    ("needs_open", Play, c.TakeStep(id="x", step="u2/paint/coat1"), ("Screw the joint (unit 2)",)),
    ("needs_open", Play, c.AcknowledgeCaution(id="x", step="u1/glue/tack"), ("Square it",)),
    ("needs_open", _out_of_order, c.GoBack(id="x"),
     ("Dry fit (unit 2) cannot be opened again", "Dry fit (unit 1) builds on it")),
    ("waiting", _glued, c.TakeStep(id="x", step="u1/screw/screws"), ("The clamps of unit 1",)),
    ("waiting", _glued, c.FinishStep(id="x", step="u1/screw/screws"), ("or hold",)),
    ("waiting", _all_wait, c.FinishStep(id="x"), ("Nothing is ready before",)),
    ("waiting", _all_wait, c.FinishStep(id="x", step="u1/paint/coat2"),
     ("The paint of unit 1 is dry enough for the next coat at", "nothing else is ready")),
    ("caution_open", Play, c.FinishStep(id="x"),
     ("WARNING before Rip the rails (whole batch)", "answer it")),
    ("measure_open", lambda: _at("u1/glue/square"), c.FinishStep(id="x"),
     ("difference of the diagonals", "planned 0 in", "1/16 in",
      "`measure diagonals_differ VALUE`")),
    ("measure_open", lambda: _at("u1/glue/square"),
     c.AcceptDeviation(id="x", name="diagonals_differ"), ("Measure first",)),
    ("out_of_tolerance", _misread, c.FinishStep(id="x"),
     ("1/4 in was read", "0 in is planned", "1/16 in off", "`accept diagonals_differ`")),
    ("joint_open", _glue_open, c.FinishStep(id="x", step="u1/screw/screws"), ("4 min left",)),
    ("joint_open", _glue_open, c.TakeStep(id="x", step="u1/screw/screws"),
     ("The glue of unit 2 is open, 4 min left", "First finish: Close the joint (unit 2)")),
    ("glue_late", _late, c.FinishStep(id="x"),
     ("The glue was open 6 min 10 s, 5 min is the most", "go back and spread again",
      "`closed HH:MM`")),
    ("not_late", lambda: _at("u1/glue/close"), c.AcceptDeviation(id="x", name="open_time"),
     ("Close the joint (unit 1) is not late",)),
    ("nothing_back", Play, c.GoBack(id="x"), ("Nothing is finished yet",)),
    ("unknown_measure", lambda: _at("u1/glue/square"),
     c.TakeMeasure(id="x", name="diagonal_difer", value=SIXTEENTH),
     ("Did you mean 'diagonals_differ'?",)),
    ("unknown_measure", lambda: _at("u1/glue/square"),
     c.TakeMeasure(id="x", name="q", value=SIXTEENTH), ("It asks for: diagonals_differ.",)),
    ("unknown_measure", Play, c.TakeMeasure(id="x", name="q", value=SIXTEENTH),
     ("Rip the rails (whole batch) asks for no measurement",)),
    ("unknown_measure", Play, c.AcceptDeviation(id="x", name="q"), ("no measurement",)),
    ("bad_value", lambda: _at("u1/glue/square"),
     c.TakeMeasure(id="x", name="diagonals_differ", value=Length.mm(100_001)), ("no likely",)),
    ("bad_value", Play, c.TakeNote(id="x", text=" \n "), ("1 to 4000",)),
    ("bad_value", Play, c.TakeNote(id="x", text="x" * 4001), ("1 to 4000",)),
    ("bad_value", Play, c.NoteConditions(id="x", temperature_c=math.nan, humidity_percent=50.0),
     ("no shop air",)),
    ("bad_value", Play, c.NoteConditions(id="x", temperature_c=212.0, humidity_percent=50.0),
     ("212 °C (414 °F) is no shop air",)),
    ("bad_value", Play, c.NoteConditions(id="x", temperature_c=20.0, humidity_percent=101.0),
     ("101 % is no humidity",)),
    ("no_glue", Play, c.StartSpreading(id="x"), ("Rip the rails (whole batch) spreads no glue",)),
    ("finished", lambda: _at("u1/glue/tack"),
     c.TakeMeasure(id="x", step="u1/glue/square", name="diagonals_differ", value=SIXTEENTH),
     ("Square it (unit 1) is finished", "Back")),
    ("finished", lambda: _at("u1/glue/tack"), c.TakeStep(id="x", step=RIP), ("is finished",)),
    ("finished", lambda: _at("u1/glue/tack"),
     c.AcceptDeviation(id="x", step="u1/glue/square", name="diagonals_differ"), ("is finished",)),
]  # fmt: skip


@pytest.mark.parametrize(
    ("rule", "arrange", "command", "words"),
    CASES,
    ids=[f"{case[0]}-{type(case[2]).__name__}-{number}" for number, case in enumerate(CASES)],
)
def test_a_command_that_cannot_be_carried_out_is_refused_in_plain_words(
    rule: str, arrange: Callable[[], Play], command: c.Command, words: tuple[str, ...]
) -> None:
    refusal = arrange().refused(command)
    assert refusal.rule == rule, refusal
    for word in words:
        assert word in refusal.in_words


def test_the_way_on_while_a_wait_runs_names_what_is_ready() -> None:
    refusal = _glued().refused(c.TakeStep(id="x", step="u1/screw/screws"))
    clock = "18:50"  # closed at 18:05, 45 min in clamps
    assert refusal.rule == "waiting"
    assert refusal.text == (
        f"The clamps of unit 1 can come off at {clock}. Until then: spread glue (unit 2), or hold."
    )


LEASTS = [kind for kind in WaitKind if kind not in (WaitKind.OPEN, WaitKind.WITHIN)]


@pytest.mark.parametrize("kind", LEASTS)
def test_every_kind_of_least_wait_has_its_own_sentence(kind: WaitKind) -> None:
    plan = make_plan()
    wait = Wait("w", kind, "w", RIP, "u1/fit/dry", 900, "common practice")
    play = Play(plan=replace(plan, waits=(*plan.waits, wait)))
    play.finish(RIP)
    refusal = play.refused(c.FinishStep(id="x", step="u1/fit/dry"))
    assert refusal.rule == "waiting"
    assert "18:15" in refusal.text
    assert "the whole batch" in refusal.text


def test_a_plan_whose_steps_wait_for_each_other_says_which_is_first() -> None:
    plan = make_plan()
    steps = tuple(replace(s, needs=("u1/fit/dry",)) if s.id == RIP else s for s in plan.steps)
    play = Play(plan=replace(plan, steps=steps))
    refusal = play.refused(c.FinishStep(id="x"))
    assert refusal.rule == "needs_open"
    assert "Rip the rails (whole batch) cannot be done yet" in refusal.text


def test_a_long_list_of_needs_is_cut_short() -> None:
    plan = make_plan(units=5)
    dry = tuple(f"u{unit}/fit/dry" for unit in range(1, 6))
    steps = tuple(replace(s, needs=dry) if s.id == "u1/glue/spread" else s for s in plan.steps)
    play = Play(plan=replace(plan, steps=steps))
    refusal = play.refused(c.FinishStep(id="x", step="u1/glue/spread"))
    assert refusal.text.endswith("Dry fit (unit 3) and 2 more.")


def test_a_negative_reading_of_a_positive_length_is_refused() -> None:
    plan = make_plan()
    kinds = tuple(
        replace(kind, checks=tuple(replace(k, value=Length.inches(20)) for k in kind.checks))
        for kind in plan.kinds
    )
    play = Play(plan=replace(plan, kinds=kinds))
    play.finish_until("u1/glue/square")
    command = c.TakeMeasure(id="x", name="diagonals_differ", value=Length.inches(-20))
    assert play.refused(command).rule == "bad_value"


def test_a_refusal_is_the_same_when_the_clock_was_put_back() -> None:
    play = _all_wait()
    early = play.ask(c.FinishStep(id="x", step="u1/paint/coat2"), at_s=BEGIN_S)
    late = play.ask(c.FinishStep(id="y", step="u1/paint/coat2"))
    assert early == late
