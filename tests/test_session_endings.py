"""Set aside, stopped for good, scraped off, closed in time: the words and what follows."""

from __future__ import annotations

import pytest

from shopstep.present.card import CardMode
from shopstep.present.card_for import card_for
from shopstep.present.phrases import parse_command
from shopstep.session import commands as c
from shopstep.session import events as e
from shopstep.session.endings import moment_of
from shopstep.session.flow import current_step
from tests.sample_plan import BEGIN_S
from tests.session_bench import Play, new_id

DRY, SPREAD, CLOSE, SQUARE = (f"u1/{name}" for name in (
    "fit/dry", "glue/spread", "glue/close", "glue/square",
))  # fmt: skip


def at(step: str) -> Play:
    """A batch worked until a step comes to the bench."""
    play = Play()
    play.finish_until(step)
    return play


def aside(step: str | None = None, reason: str = "no brads") -> c.SetAside:
    """The command."""
    return c.SetAside(id=new_id(), step=step, reason=reason)


def test_another_step_comes_and_the_one_set_aside_comes_back_at_the_end() -> None:
    play = at(DRY)
    events = play.do(aside())
    assert events[0] == e.StepSetAside(DRY, "no brads")
    assert play.state.at_bench not in (None, DRY)
    work_until_back(play)
    assert play.state.at_bench == DRY
    needing = {s.id for s in play.plan.steps if DRY in s.needs}
    assert needing.isdisjoint(play.state.finished)
    assert len(play.state.finished) < len(play.plan.steps)


def work_until_back(play: Play) -> None:
    """Does all that comes, and waits where nothing does, until the first step is back."""
    for _ in range(10 * len(play.plan.steps)):
        if play.state.at_bench == DRY:
            return
        if play.state.at_bench is None:
            play.now_s += 600
            play.do(c.HoldBatch(id=new_id()))
            play.do(c.ResumeBatch(id=new_id()))
        else:
            play.now_s += 60
            play.finish()


def test_it_says_why_it_was_set_aside_when_it_comes_back_and_forgets_it_when_done() -> None:
    play = at(DRY)
    play.do(aside())
    assert card_for(play.state, play.plan, play.now_s).step_id != DRY
    play.do(c.TakeStep(id=new_id(), step=DRY))
    card = card_for(play.state, play.plan, play.now_s)
    assert card.sentence.startswith("It was set aside: no brads.")
    play.finish(DRY)
    assert DRY not in play.state.aside


def test_what_came_back_can_be_set_aside_once_more() -> None:
    play = at(DRY)
    play.do(aside())
    play.do(c.TakeStep(id=new_id(), step=DRY))
    assert play.do(aside(DRY, "still none"))[0] == e.StepSetAside(DRY, "still none")
    assert play.state.at_bench != DRY


def test_with_nothing_else_to_do_it_stays_and_says_so() -> None:
    play = Play()
    first = play.state.at_bench
    assert first is not None
    play.do(c.SetAside(id=new_id(), step=first, reason="no board"))
    card = card_for(play.state, play.plan, play.now_s)
    assert card.step_id == first
    assert "It was set aside: no board." in card.sentence


def test_while_paint_dries_what_is_set_aside_is_named_and_not_pressed() -> None:
    """With nothing else ready but a wait running, the bench stays empty."""
    play = at(DRY)
    play.do(aside())
    while play.state.at_bench is not None:
        play.now_s += 60
        play.finish()
    if DRY in play.state.aside:
        assert current_step(play.state, play.plan, play.now_s) is None
        card = card_for(play.state, play.plan, play.now_s)
        assert card.mode is CardMode.WAITING
        assert "Set aside: Dry fit" in card.sentence


def test_setting_aside_twice_changes_nothing() -> None:
    play = at(DRY)
    play.do(aside(DRY))
    assert play.do(aside(DRY)) == ()


@pytest.mark.parametrize(
    ("until", "step", "rule"),
    [
        (CLOSE, CLOSE, "joint_open"),
        (CLOSE, "u2/glue/spread", "joint_open"),
        (DRY, CLOSE, "needs_open"),
        (SPREAD, DRY, "finished"),
        (DRY, "u9/fit/dry", "unknown_step"),
    ],
)
def test_what_cannot_wait_is_not_set_aside(until: str, step: str, rule: str) -> None:
    assert at(until).refused(aside(step)).rule == rule


def test_stopping_is_asked_twice_and_then_only_notes_are_taken() -> None:
    play = at(DRY)
    assert play.refused(c.StopBatch(id=new_id())).rule == "sure"
    assert play.do(c.StopBatch(id=new_id(), sure=True, reason="the bees moved out")) == (
        e.BatchStopped("the bees moved out"),
    )
    for command in (
        c.FinishStep(id=new_id(), step=DRY),
        c.ResumeBatch(id=new_id()),
        c.GoBack(id=new_id()),
        c.HoldBatch(id=new_id()),
    ):
        assert play.refused(command).rule == "stopped"
    assert play.do(c.TakeNote(id=new_id(), text="wood is on the rack"))
    assert play.do(c.StopBatch(id=new_id(), sure=True)) == ()
    card = card_for(play.state, play.plan, play.now_s)
    assert (card.mode, card.headline) == (CardMode.STOPPED, "Stopped")
    assert "the bees moved out" in card.sentence


def test_a_held_batch_can_be_stopped_and_open_glue_cannot() -> None:
    play = at(DRY)
    play.do(c.HoldBatch(id=new_id()))
    assert play.do(c.StopBatch(id=new_id(), sure=True))
    assert at(CLOSE).refused(c.StopBatch(id=new_id(), sure=True)).rule == "joint_open"


def test_late_glue_that_is_scraped_off_begins_anew() -> None:
    play = at(CLOSE)
    play.now_s += 600
    assert "scraped" in play.refused(c.FinishStep(id=new_id())).in_words
    (scraped, begun) = play.do(c.SpreadAgain(id=new_id()))
    assert scraped == e.GlueScraped(SPREAD, (SPREAD,))
    assert begun == e.StepBegun(SPREAD)
    assert SPREAD not in play.state.spread
    play.finish(SPREAD)
    play.finish(CLOSE)
    assert CLOSE in play.state.finished
    assert play.refold() == play.state


def test_without_open_glue_there_is_none_to_scrape() -> None:
    assert at(DRY).refused(c.SpreadAgain(id=new_id())).rule == "no_glue"


def test_a_joint_closed_in_time_is_told_by_the_clock() -> None:
    play = at(CLOSE)
    spread_s = play.state.spread[SPREAD]
    play.now_s = spread_s + 900
    clock = f"18:{(spread_s - BEGIN_S) // 60 + 3:02d}"
    (kept,) = play.do(c.ClosedInTime(id=new_id(), step=CLOSE, clock=clock))
    assert kept == e.DeviationAccepted(CLOSE, "open_time", f"closed in time, at {clock}")
    assert play.do(c.FinishStep(id=new_id(), step=CLOSE))


@pytest.mark.parametrize("clock", ["17:00", "23:59", "25:00", "soon", "18:59"])
def test_a_time_outside_the_open_time_is_refused_with_its_ends(clock: str) -> None:
    play = at(CLOSE)
    play.now_s = play.state.spread[SPREAD] + 900
    refusal = play.refused(c.ClosedInTime(id=new_id(), step=CLOSE, clock=clock))
    assert "name a time between them" in refusal.text


def test_in_time_nothing_has_to_be_told() -> None:
    play = at(CLOSE)
    assert play.refused(c.ClosedInTime(id=new_id(), step=CLOSE, clock="18:00")).rule == "no_glue"


def test_a_time_of_day_is_the_latest_one_that_is_past() -> None:
    """18:00 UTC on a day; worked by hand."""
    assert moment_of("17:59", BEGIN_S, "UTC") == BEGIN_S - 60
    assert moment_of("18:01", BEGIN_S, "UTC") == BEGIN_S + 60 - 86400
    assert moment_of("24:00", BEGIN_S, "UTC") is None


@pytest.mark.parametrize(
    ("words", "command", "values"),
    [
        ("aside no brads", c.SetAside, {"reason": "no brads"}),
        ("aside", c.SetAside, {"reason": ""}),
        ("stop", c.StopBatch, {"sure": False}),
        ("stop yes it rains", c.StopBatch, {"sure": True, "reason": "it rains"}),
        ("scraped", c.SpreadAgain, {}),
        ("closed 19:42", c.ClosedInTime, {"clock": "19:42"}),
        ("until 21:30", c.StayUntil, {"clock": "21:30"}),
        ("clamps 6", c.CountClamps, {"count": 6}),
        ("label 8 min", c.ReadLabel, {"seconds": 480}),
        ("label none", c.ReadLabel, {"seconds": 0}),
        ("spoiled all panel unit 2", c.SpoilPart, {"part": "panel", "unit": 2, "sure": True}),
        ("next time cut longer", c.TakeNote, {"text": "cut longer", "kind": "next_time"}),
        (
            "spoiled side_rail left unit 2 split",
            c.SpoilPart,
            {"part": "side_rail", "hand": "left", "unit": 2, "reason": "split"},
        ),
        (
            "spoiled left side_rail unit 2 split",
            c.SpoilPart,
            {"part": "side_rail", "hand": "left", "unit": 2, "reason": "split"},
        ),
        ("spoiled panel", c.SpoilPart, {"part": "panel", "hand": "", "unit": 1}),
        ("clock right", c.AnswerClock, {"right": True}),
        ("get more brads", c.TakeNote, {"text": "more brads", "kind": "to_get"}),
    ],
)
def test_the_words_become_commands(
    words: str, command: type[c.Command], values: dict[str, object]
) -> None:
    card = card_for(at(DRY).state, at(DRY).plan, BEGIN_S)
    found = parse_command(words.split(), card, None, "id")
    assert isinstance(found, command)
    assert {name: getattr(found, name) for name in values} == values


@pytest.mark.parametrize(
    "words",
    [
        "spoiled",
        "until",
        "until late",
        "clamps",
        "clamps many",
        "clock",
        "clock late",
        "closed",
        "closed at noon",
        "next",
        "next time",
        "get",
    ],
)
def test_words_that_say_too_little_are_answered(words: str) -> None:
    assert isinstance(parse_command(words.split(), None, None, "id"), str)
