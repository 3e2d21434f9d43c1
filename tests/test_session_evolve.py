"""What an event makes true, whatever the event and whatever the clock said."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from shopstep.session import commands as c
from shopstep.session import events as e
from shopstep.session.evolve import evolve, fold
from shopstep.session.state import State
from tests.sample_plan import BEGIN_S
from tests.session_bench import RIP, Play, moment_at, new_id


@dataclass(frozen=True, slots=True)
class Sneezed(e.Event):
    """A kind of event that nobody knows."""

    kind: ClassVar[str] = "sneezed"
    loudly: bool


def _envelope(version: int, event: e.Event, at_s: int = BEGIN_S) -> e.Envelope:
    return e.Envelope(version, event, moment_at(at_s), "test", f"c{version}")


def test_no_events_make_the_empty_state() -> None:
    assert fold(()) == State()


def test_an_unknown_kind_of_event_only_moves_the_version_and_the_latest_moment() -> None:
    play = Play()
    after = evolve(play.state, _envelope(3, Sneezed(loudly=True), BEGIN_S + 5))
    assert after.version == 3
    assert after.last_s == BEGIN_S + 5
    assert (after.at_bench, after.finished) == (play.state.at_bench, play.state.finished)


def test_a_moment_from_a_clock_put_back_counts_as_the_latest_one() -> None:
    state = fold([_envelope(1, e.StepBegun("a"), BEGIN_S + 100)])
    state = evolve(state, _envelope(2, e.StepFinished("a", 0), BEGIN_S))
    assert state.finished == {"a": BEGIN_S + 100}
    assert state.last_s == BEGIN_S + 100


def test_finished_steps_stand_in_the_order_of_finishing_also_after_a_reopening() -> None:
    events: list[e.Event] = [
        e.StepFinished("a", 1),
        e.StepFinished("b", 1),
        e.StepReopened("a"),
        e.StepFinished("a", 1),
    ]
    state = fold(_envelope(n, event) for n, event in enumerate(events, 1))
    assert list(state.finished) == ["b", "a"]


def test_every_event_is_taken_in_any_state() -> None:
    events: list[e.Event] = [
        e.StepReopened("never finished"),
        e.BatchResumed(),
        e.BatchHeld("a"),
        e.BatchHeld("b"),
        e.StepFinished("twice", 1),
        e.StepFinished("twice", 2),
        e.PlanRevised(2, "h", 1, "r", ("never finished",), ("new",)),
        e.BatchCompleted(),
    ]
    state = fold(_envelope(n, event) for n, event in enumerate(events, 1))
    assert state.held_reason == "a"
    assert (state.plan_number, state.at_bench) == (2, None)
    assert state.spent == {"twice": 2}


def test_a_reopened_step_asks_its_caution_again_and_all_keep_their_numbers() -> None:
    play = Play()
    play.finish_until("u2/glue/tack")
    assert ("u1/glue/square", "diagonals_differ") in play.state.readings
    play.do(c.GoBack(id=new_id()))
    squares = {(f"u{unit}/glue/square", "diagonals_differ") for unit in (1, 2)}
    assert set(play.state.readings) == squares
    assert "u2/glue/square" not in play.state.spent
    assert play.state.at_bench == "u2/glue/square"
    assert RIP in play.state.acknowledged


def test_a_new_plan_asks_again_for_cautions_of_steps_that_are_open() -> None:
    play = Play()
    play.finish_until("u1/glue/tack")
    play.do(c.AcknowledgeCaution(id=new_id()))
    play.store((e.PlanRevised(2, "h", play.state.version, "r", (), ()),), new_id())
    assert play.state.acknowledged == {RIP}


def test_added_steps_take_a_completion_back() -> None:
    done = fold([_envelope(1, e.BatchCompleted())])
    same = evolve(done, _envelope(2, e.PlanRevised(2, "h", 1, "r", (), ())))
    more = evolve(done, _envelope(2, e.PlanRevised(2, "h", 1, "r", (), ("x",))))
    assert same.completed_s == BEGIN_S
    assert more.completed_s is None


def test_the_fold_of_a_whole_batch_is_the_state_that_was_lived() -> None:
    play = Play()
    play.finish_until("u2/paint/coat2")
    play.finish()
    assert play.refold() == play.state
    assert set(play.state.finished) == {step.id for step in play.plan.steps}
