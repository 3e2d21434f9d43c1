"""Tries in scrap at the bench: what is asked, what is refused, and how tries are counted."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from shopstep.session import commands as c
from shopstep.session import events as e
from shopstep.session.state import Reading
from shopstep.storage.event_text import EventText, read_event, write_event
from shopstep.storage.state_text import read_state, write_state
from shopstep.units import SIXTY_FOURTH, Length
from tests.scrap import Plan, Saw, Scrap, obey
from tests.session_bench import RIP, Play, new_id
from tests.trial_sample import GAP, trial_plan

inch = Length.inches
SIXTEENTH = inch("1/16")


@pytest.fixture
def play() -> Play:
    """At the saw, its caution answered."""
    made = Play(plan=trial_plan())
    made.do(c.AcknowledgeCaution(id=new_id(), step=RIP))
    return made


def read(
    value: Length, where: str = "", name: str = "gap_bevel", step: str | None = RIP
) -> c.TakeMeasure:
    """A reading in scrap."""
    return c.TakeMeasure(id=new_id(), step=step, name=name, value=value, where=where)


def test_a_gap_is_stored_with_where_it_is(play: Play) -> None:
    taken = play.do(read(SIXTEENTH, "toe"))
    assert taken == (e.MeasureTaken(RIP, "gap_bevel", SIXTEENTH.nm, within=False, where="toe"),)
    assert play.state.readings[RIP, "gap_bevel"] == Reading(
        SIXTEENTH.nm, False, play.now_s, "toe", 1
    )


def test_a_gap_outside_is_not_taken_before_it_is_somewhere(play: Play) -> None:
    refusal = play.refused(read(SIXTEENTH))
    assert refusal.rule == "where_open"
    assert refusal.text == (
        "Where is the gap of 1/16 in: at the toe, at the heel, or even? Even means all along: the "
        "gauge lies flat, but the cut is off its pencil line."
    )
    assert "`measure gap_bevel 1/16 in toe`" in refusal.typed


@pytest.mark.parametrize("value", ["0", "1/64"])
def test_a_gap_within_its_tolerance_needs_no_place(play: Play, value: str) -> None:
    (taken,) = play.do(read(inch(value)))
    assert isinstance(taken, e.MeasureTaken)
    assert (taken.within, taken.where) == (True, "")


def test_no_gap_is_nowhere_even_if_a_place_is_told(play: Play) -> None:
    (taken,) = play.do(read(inch(0), "heel"))
    assert isinstance(taken, e.MeasureTaken)
    assert taken.where == ""


@pytest.mark.parametrize(
    ("where", "words"),
    [
        ("tow", "'tow' is no place of a gap; did you mean 'toe'?"),
        ("HEAL", "'HEAL' is no place of a gap; did you mean 'heel'?"),
        ("left", "'left' is no place of a gap; say toe, heel or even."),
    ],
)
def test_a_place_that_is_none_is_refused_with_the_nearest_one(
    play: Play, where: str, words: str
) -> None:
    for value in (SIXTEENTH, inch(0)):
        refusal = play.refused(read(value, where))
        assert (refusal.rule, refusal.text) == ("bad_where", words)


def test_a_width_is_nowhere(play: Play) -> None:
    refusal = play.refused(read(inch("1/2"), "toe", "groove_width"))
    assert refusal.rule == "bad_where"
    assert "give the number alone" in refusal.text


def test_a_gap_wider_than_the_slope_is_long_is_refused(play: Play) -> None:
    refusal = play.refused(read(inch(1), "toe"))
    assert refusal.rule == "bad_value"
    assert "A gap of 1 in at a slope that is 3/4 in long is no likely reading" in refusal.text
    play.do(read(inch(1), "even"))  # a fence may be off by any width


def test_the_step_cannot_be_finished_before_a_try_is_good(play: Play) -> None:
    play.do(read(inch("1/2"), name="groove_width"))
    finish = c.FinishStep(id=new_id(), step=RIP)
    assert play.refused(finish).rule == "measure_open"
    play.do(read(inch("3/32"), "heel"))
    play.do(read(SIXTEENTH, "toe"))
    refusal = play.refused(finish)
    assert refusal.rule == "out_of_tolerance"
    assert refusal.text == (
        "Try 2: gap 1/16 in at the toe. Saw off, tilt the blade 4.8° more, then cut a new piece of "
        "scrap and measure. Or keep it as it is."
    )
    assert refusal.typed == "In words: `accept gap_bevel`."
    play.do(read(inch("1/64"), "heel"))
    assert isinstance(play.do(c.FinishStep(id=new_id(), step=RIP))[0], e.StepFinished)


def test_a_groove_a_shade_tight_is_refused_with_the_way_of_the_fence(play: Play) -> None:
    play.do(read(inch(0)))
    play.do(read(inch("15/32"), name="groove_width"))
    assert play.refused(c.FinishStep(id=new_id())).text.startswith(
        "Try 1: 15/32 in, 1/32 in too narrow. Saw off, move the fence of the last pass 1/32 in away"
    )


def test_a_try_outside_can_be_kept_as_it_is(play: Play) -> None:
    play.do(read(inch("1/2"), name="groove_width"))
    play.do(read(SIXTEENTH, "even"))
    play.do(c.AcceptDeviation(id=new_id(), name="gap_bevel", reason="under paint"))
    play.do(c.FinishStep(id=new_id(), step=RIP))
    assert RIP in play.state.finished


def test_another_try_takes_back_that_the_last_one_was_kept(play: Play) -> None:
    play.do(read(SIXTEENTH, "even"))
    play.do(c.AcceptDeviation(id=new_id(), name="gap_bevel"))
    play.do(read(inch("1/8"), "toe"))
    assert (RIP, "gap_bevel") not in play.state.accepted


def test_tries_are_counted_for_each_check_alone(play: Play) -> None:
    for number, where in enumerate(("toe", "heel", "toe"), 1):
        play.do(read(SIXTEENTH, where))
        assert play.state.readings[RIP, "gap_bevel"].tries == number
    play.do(read(inch("1/2"), name="groove_width"))
    assert play.state.readings[RIP, "groove_width"].tries == 1
    assert play.refold() == play.state


def test_tries_of_a_step_that_is_opened_again_count_on(play: Play) -> None:
    play.do(read(inch("1/2"), name="groove_width"))
    play.do(read(inch(0)))
    play.do(c.FinishStep(id=new_id(), step=RIP))
    play.do(c.GoBack(id=new_id()))
    play.do(read(SIXTEENTH, "toe"))
    assert play.state.readings[RIP, "gap_bevel"].tries == 2


def test_millimetres_are_told_in_millimetres() -> None:
    play = Play(plan=trial_plan(GAP, display="mm"))
    play.do(c.AcknowledgeCaution(id=new_id(), step=RIP))
    play.do(read(Length.mm("1.5"), "even"))
    text = play.refused(c.FinishStep(id=new_id(), step=RIP)).text
    assert "gap 1.5 mm all along" in text
    assert "move the fence 2.1 mm towards the blade" in text


def test_a_reading_stored_before_gaps_had_a_place_is_read_and_folded() -> None:
    body = '{"step":"u1/glue/square","name":"diagonals_differ","nm":1587500,"within":true}'
    event = read_event(EventText("measure_taken", 1, body))
    assert event == e.MeasureTaken("u1/glue/square", "diagonals_differ", 1_587_500, True, "")
    new = e.MeasureTaken(RIP, "gap_bevel", 5, within=False, where="toe")
    assert read_event(write_event(new)) == new


def test_where_and_tries_are_kept_in_the_snapshot_of_the_state(play: Play) -> None:
    play.do(read(SIXTEENTH, "toe"))
    play.do(read(SIXTEENTH, "heel"))
    kept = read_state(write_state(play.state))
    assert kept.readings == play.state.readings
    assert kept.readings[RIP, "gap_bevel"].where == "heel"
    assert kept.readings[RIP, "gap_bevel"].tries == 2


SLOPE = Plan(width=3.5, thickness=0.75, along=0.75 / math.sqrt(2), up=0.75 / math.sqrt(2))
"""The slope of the sample's check: 3/4 in long, at 45°."""


@given(st.floats(-6, 6), st.floats(-0.12, 0.12))
def test_who_does_what_each_refusal_says_finishes_the_step(tilted: float, moved: float) -> None:
    """A saw that is off in angle and place; readings to 1/64 in, the words obeyed to the letter."""
    assume(abs(tilted) > 1 or abs(moved) > 0.03)
    play = Play(plan=trial_plan(GAP))
    play.do(c.AcknowledgeCaution(id=new_id(), step=RIP))
    saw, scrap = Saw(SLOPE.fence + moved, SLOPE.tilt + math.radians(tilted)), Scrap(SLOPE)
    for tries in range(1, 9):
        scrap.cut(saw)
        heel, toe = scrap.light()
        line = scrap.off_line()
        gaps = {"toe": toe, "heel": heel, "even": abs(line)}
        where = "even" if max(heel, toe) < 1.5 / 64 else max(("toe", "heel"), key=gaps.__getitem__)
        play.do(read(SIXTY_FOURTH.times(round(gaps[where] * 64)), where))
        verdict = play.ask(c.FinishStep(id=new_id(), step=RIP))
        if not isinstance(verdict, c.Refusal):
            break
        assert verdict.text.startswith(f"Try {tries}: gap ")
        if obey(verdict.text, saw, wood_left=line > 0):
            scrap = Scrap(SLOPE)
    assert RIP in play.state.finished
    assert max(*scrap.light(), abs(scrap.off_line())) <= 1.6 / 64
