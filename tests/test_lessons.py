"""Lessons of past sessions: notes, times with their spread, and the next plan with them."""

from __future__ import annotations

import math
import random
import statistics
from dataclasses import replace
from pathlib import Path

import pytest

from shopstep.cli.main import run
from shopstep.model.estimate import (
    PRIOR_SPREAD,
    PRIOR_WEIGHT,
    TimeFactor,
    estimate_factor,
    own_key,
    work_key,
)
from shopstep.model.plan import Plan
from shopstep.model.step import GlueRole
from shopstep.planner import make_plan
from shopstep.present.lessons import Past, gather_lessons, lesson_lines, time_factors
from shopstep.session import commands as c
from tests.floor import floor_request
from tests.session_bench import Play, new_id


def test_without_own_times_the_guess_stands() -> None:
    found = estimate_factor("k", ())
    assert (found.factor, found.count) == (1.0, 0)
    assert found.spread == pytest.approx(PRIOR_SPREAD)


def test_the_estimate_is_the_posterior_mean_of_a_normal_mean() -> None:
    """By statistics: the mean of the own logarithms and as many zeros as the guess is worth."""
    ratios = [1.4, 1.9, 1.6, 2.2, 1.5]
    logs = [math.log(ratio) for ratio in ratios] + [0.0] * int(PRIOR_WEIGHT)
    found = estimate_factor("k", ratios)
    assert found.factor == pytest.approx(math.exp(statistics.fmean(logs)))
    assert found.count == 5


def test_a_long_telephone_call_moves_little() -> None:
    usual = estimate_factor("k", [1.0] * 6).factor
    assert estimate_factor("k", [1.0] * 5 + [400.0]).factor < 1.2 * usual
    with pytest.raises(ValueError, match="more than 0"):
        estimate_factor("k", [0.0])


@pytest.mark.parametrize("true", [0.6, 1.0, 1.7, 2.5])
def test_the_error_falls_with_the_sessions(true: float) -> None:
    """Simulated log-normal times with a spread of 30 %."""
    dice = random.Random(7)

    def error(sessions: int) -> float:
        errors = []
        for _ in range(200):
            ratios = [true * math.exp(dice.gauss(0, 0.3)) for _ in range(sessions)]
            errors.append(abs(math.log(estimate_factor("k", ratios).factor / true)))
        return statistics.fmean(errors)

    few, some, many = error(1), error(6), error(40)
    assert many < some
    assert many < 0.09
    assert true == 1.0 or some < few


def worked(minutes: float = 2, notes: bool = True) -> Past:
    """The sample batch with every step taking so many minutes."""
    play = Play()
    play.now_s += 60
    if notes:
        play.do(c.TakeNote(id=new_id(), text="cut the rails first", kind="next_time"))
        play.do(c.TakeNote(id=new_id(), text="brads", kind="to_get"))
        play.do(c.TakeNote(id=new_id(), text="only a note"))
    for _ in range(4):
        play.now_s += round(60 * minutes)
        play.finish()
    return Past(play.plan, tuple(play.envelopes))


def test_notes_are_gathered_by_what_they_are_for() -> None:
    past = worked()
    found = gather_lessons([past], past.plan.build_id)
    assert [note.text for note in found.next_time] == ["cut the rails first"]
    assert [note.text for note in found.to_get] == ["brads"]
    told = "\n".join(lesson_lines(found))
    assert "For next time" in told
    assert "only a note" not in told
    assert gather_lessons([past], "another").sessions == 0


def test_times_are_held_against_the_guess_also_when_the_plan_had_own_times() -> None:
    past = worked(notes=False)
    first = {f.key: f for f in time_factors([past])}
    kinds = tuple(
        replace(kind, guessed_s=kind.duration_s, duration_s=kind.duration_s * 2, timed=3)
        for kind in past.plan.kinds
    )
    again = replace(past, plan=replace(past.plan, kinds=kinds))
    assert {f.key: f.factor for f in time_factors([again])} == {
        key: factor.factor for key, factor in first.items()
    }


def test_a_session_that_was_only_tried_teaches_no_times_but_its_notes() -> None:
    """Ticked through in 12 s a step where two minutes and more are guessed."""
    past, tried = worked(), worked(minutes=0.2)
    assert time_factors([past, tried]) == time_factors([past])
    assert time_factors([tried]) == ()
    found = gather_lessons([past, tried], past.plan.build_id)
    assert (found.sessions, found.only_tried, len(found.next_time)) == (2, 1, 2)
    told = "\n".join(lesson_lines(found, 200))
    assert "1 of them was only tried" in told
    assert "only tried" not in "\n".join(lesson_lines(gather_lessons([past], past.plan.build_id)))


def timed_plan(*factors: TimeFactor) -> Plan:
    """The floor with own times."""
    return make_plan(replace(floor_request(), times=factors))


def test_own_times_take_the_place_of_guesses_in_the_next_plan() -> None:
    plain = make_plan(floor_request())
    paint = next(kind for kind in plain.kinds if kind.id.startswith("paint/"))
    factor = TimeFactor(own_key(plain.build_id, paint.id), 2.0, 0.3, 6)
    made = next(kind for kind in timed_plan(factor).kinds if kind.id == paint.id)
    assert made.duration_s == 2 * paint.duration_s
    assert (made.guessed_s, made.timed) == (paint.duration_s, 6)


def test_a_new_build_borrows_the_times_of_like_machine_work() -> None:
    plain = make_plan(floor_request())
    made = timed_plan(TimeFactor(work_key("rip"), 1.5, 0.3, 9))
    before = {kind.id: kind.duration_s for kind in plain.kinds}
    for kind in made.kinds:
        expected = before[kind.id] * 1.5 if kind.stage == "rip" else before[kind.id]
        assert abs(kind.duration_s - expected) <= 15, kind.id
    durations = {kind.id: kind.duration_s for kind in made.kinds}
    assert all(step.duration_s == durations[step.kind] for step in made.steps)


def test_steps_at_open_glue_keep_their_guess() -> None:
    plain = make_plan(floor_request())
    spread = next(kind for kind in plain.kinds if kind.role is GlueRole.SPREAD)
    made = timed_plan(TimeFactor(own_key(plain.build_id, spread.id), 0.3, 0.3, 9))
    assert next(k for k in made.kinds if k.id == spread.id).duration_s == spread.duration_s


def test_a_session_that_teaches_nothing_yet_is_said_to(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run(["start", "bird-box", "--plain", "--now", "2026-01-15T18:00:00+00:00"]) == 0
    capsys.readouterr()
    assert run(["lessons", "bird-box"]) == 0
    said = capsys.readouterr().out
    assert "Nothing is noted, and no step was timed yet." in said


def test_the_whole_way_from_one_session_to_the_next_plan(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    at = "2026-01-15T18:{:02d}:00+00:00"
    assert run(["start", "bird-box", "--plain", "--now", at.format(0)]) == 0
    minute = 0
    for words in (["get", "a", "fresh", "blade"], ["next", "time", "wider", "board"], ["ack"],
                  ["done"]):  # fmt: skip
        minute += 9
        assert run(["do", "LAST", *words, "--now", at.format(minute)]) == 0
    capsys.readouterr()
    assert run(["lessons", "bird-box"]) == 0
    said = capsys.readouterr().out
    assert "wider board" in said
    assert "Times (guessed, and yours)" in said
    assert run(["plan", "hive-stand", "--now", at.format(50)]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "from your notes: a fresh blade" in said
    assert "from your own sessions, the others guessed" in said
    assert run(["plan", "hive-stand", "--guessed-times", "--now", at.format(50)]) == 0
    assert "from your own sessions" not in capsys.readouterr().out
    assert run(["lessons", "bird-box", "--json", "--from", str(tmp_path)]) == 0
