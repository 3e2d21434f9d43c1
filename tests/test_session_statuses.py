"""Every row of the table of states, driven through real commands; and the table as written down."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from shopstep.session import commands as c
from shopstep.session.revision import describe_revision
from shopstep.session.statuses import (
    MEANINGS,
    TRANSITIONS,
    BatchStatus,
    Status,
    Transition,
    batch_status,
    step_standing,
    table_lines,
)
from tests.sample_plan import plan_with_rails
from tests.session_bench import Play, new_id

DRY, SPREAD, CLOSE, SQUARE = "u1/fit/dry", "u1/glue/spread", "u1/glue/close", "u1/glue/square"
OTHER_DRY = "u2/fit/dry"
DEVELOPERS = Path(__file__).resolve().parent.parent / "DEVELOPERS.md"


def at(step: str) -> Play:
    """A batch worked until a step comes to the bench."""
    play = Play()
    play.finish_until(step)
    return play


def status(play: Play, step: str) -> Status:
    """Where a step stands now."""
    return step_standing(play.state, play.plan, step, play.now_s).status


def last_need_done() -> tuple[Play, str, Callable[[], object]]:
    play = Play()
    first = play.state.at_bench
    assert first is not None
    return play, OTHER_DRY, lambda: play.finish(first)


def need_done_and_wait() -> tuple[Play, str, Callable[[], object]]:
    play = at("u1/paint/coat1")
    return play, "u1/paint/coat2", lambda: play.finish("u1/paint/coat1")


def joint_closed() -> tuple[Play, str, Callable[[], object]]:
    play = at(CLOSE)
    return play, "u2/glue/spread", lambda: play.finish(CLOSE)


def wait_ends() -> tuple[Play, str, Callable[[], object]]:
    play = at("u1/paint/coat1")
    play.finish("u1/paint/coat1")
    due = step_standing(play.state, play.plan, "u1/paint/coat2", play.now_s).until_s
    assert due is not None
    return play, "u1/paint/coat2", lambda: setattr(play, "now_s", due)


def taken() -> tuple[Play, str, Callable[[], object]]:
    play = at(DRY)
    return play, OTHER_DRY, lambda: play.do(c.TakeStep(id=new_id(), step=OTHER_DRY))


def next_one() -> tuple[Play, str, Callable[[], object]]:
    play = at(DRY)
    return play, OTHER_DRY, lambda: play.finish(DRY)


def ready_aside() -> tuple[Play, str, Callable[[], object]]:
    play = at(DRY)
    return play, OTHER_DRY, lambda: play.do(c.SetAside(id=new_id(), step=OTHER_DRY))


def glue_elsewhere() -> tuple[Play, str, Callable[[], object]]:
    play = at(SPREAD)
    return play, "u2/glue/spread", lambda: play.finish(SPREAD)


def finished() -> tuple[Play, str, Callable[[], object]]:
    play = at(DRY)
    return play, DRY, lambda: play.finish(DRY)


def held() -> tuple[Play, str, Callable[[], object]]:
    play = at(DRY)
    return play, DRY, lambda: play.do(c.HoldBatch(id=new_id()))


def another_taken() -> tuple[Play, str, Callable[[], object]]:
    play = at(DRY)
    return play, DRY, lambda: play.do(c.TakeStep(id=new_id(), step=OTHER_DRY))


def bench_aside() -> tuple[Play, str, Callable[[], object]]:
    play = at(DRY)
    return play, DRY, lambda: play.do(c.SetAside(id=new_id(), step=DRY))


def planned_anew() -> tuple[Play, str, Callable[[], object]]:
    play = at(DRY)

    def revise() -> None:
        steps = tuple(
            replace(step, needs=(*step.needs, OTHER_DRY)) if step.id == DRY else step
            for step in play.plan.steps
        )
        new = replace(play.plan, steps=steps)
        play.store((describe_revision(play.state, play.plan, new, "a need came"),), new_id())
        play.plan = new

    return play, DRY, revise


def resumed() -> tuple[Play, str, Callable[[], object]]:
    play = at(DRY)
    play.do(c.HoldBatch(id=new_id()))
    return play, DRY, lambda: play.do(c.ResumeBatch(id=new_id()))


def aside_taken() -> tuple[Play, str, Callable[[], object]]:
    play = at(DRY)
    play.do(c.SetAside(id=new_id(), step=DRY))
    return play, DRY, lambda: play.do(c.TakeStep(id=new_id(), step=DRY))


def aside_comes_back() -> tuple[Play, str, Callable[[], object]]:
    play = at(DRY)
    play.do(c.SetAside(id=new_id(), step=DRY))

    def work_on() -> None:
        for _ in range(200):
            if play.state.at_bench == DRY:
                return
            if play.state.at_bench is None:
                play.now_s += 600
                play.do(c.HoldBatch(id=new_id()))
                play.do(c.ResumeBatch(id=new_id()))
            else:
                play.now_s += 60
                play.finish()

    return play, DRY, work_on


def gone_back() -> tuple[Play, str, Callable[[], object]]:
    play = at(DRY)
    play.finish(DRY)
    return play, DRY, lambda: play.do(c.GoBack(id=new_id()))


def scraped() -> tuple[Play, str, Callable[[], object]]:
    play = at(CLOSE)
    play.now_s += 900
    return play, SPREAD, lambda: play.do(c.SpreadAgain(id=new_id()))


def spoiled() -> tuple[Play, str, Callable[[], object]]:
    play = Play(plan=plan_with_rails())
    play.finish_until("u1/glue/square")
    spoil = c.SpoilPart(id=new_id(), part="rail", unit=1, sure=True)
    return play, SPREAD, lambda: play.do(spoil)


def made_again() -> tuple[Play, str, Callable[[], object]]:
    play, step, act = spoiled()
    act()
    # something else stands at the bench, so that this one only becomes ready
    play.do(c.TakeStep(id=new_id(), step="u2/glue/spread"))
    return play, step, lambda: play.do(c.FinishStep(id=new_id(), step=DRY))


SCENES = {
    ("ahead", "the last need is done", "ready"): last_need_done,
    ("ahead", "the last need is done", "waiting"): need_done_and_wait,
    ("ahead", "the open joint is closed", "ready"): joint_closed,
    ("waiting", "the wait ends", "ready"): wait_ends,
    ("ready", "take", "at the bench"): taken,
    ("ready", "it is next", "at the bench"): next_one,
    ("ready", "aside", "set aside"): ready_aside,
    ("ready", "glue is spread elsewhere", "ahead"): glue_elsewhere,
    ("at the bench", "done", "done"): finished,
    ("at the bench", "hold", "held"): held,
    ("at the bench", "take of another", "ready"): another_taken,
    ("at the bench", "aside", "set aside"): bench_aside,
    ("at the bench", "a new plan", "ahead"): planned_anew,
    ("held", "resume", "at the bench"): resumed,
    ("set aside", "take", "at the bench"): aside_taken,
    ("set aside", "it is next", "at the bench"): aside_comes_back,
    ("done", "back", "at the bench"): gone_back,
    ("done", "spoiled", "to be made again"): spoiled,
    ("to be made again", "the last need is done", "ready"): made_again,
    ("done", "scraped", "at the bench"): scraped,
}


@pytest.mark.parametrize("row", TRANSITIONS, ids=lambda t: f"{t.before}, {t.by}, {t.after}")
def test_every_row_of_the_table_is_what_happens(row: Transition) -> None:
    play, step, act = SCENES[row.before, row.by, row.after]()
    assert status(play, step) is row.before
    act()
    assert status(play, step) is row.after


def test_the_table_in_the_guide_is_the_one_in_the_code() -> None:
    assert "\n".join(table_lines()) in DEVELOPERS.read_text(encoding="utf-8")
    assert set(MEANINGS) == set(Status)


def test_a_waiting_step_knows_when_it_is_over() -> None:
    play, step, _ = wait_ends()
    standing = step_standing(play.state, play.plan, step, play.now_s)
    assert standing.until_s is not None
    assert standing.until_s > play.now_s


def test_the_batch_is_running_held_stopped_or_complete() -> None:
    play = at(DRY)
    assert batch_status(play.state, play.plan) is BatchStatus.RUNNING
    play.do(c.HoldBatch(id=new_id()))
    assert batch_status(play.state, play.plan) is BatchStatus.HELD
    play.do(c.StopBatch(id=new_id(), sure=True))
    assert batch_status(play.state, play.plan) is BatchStatus.STOPPED
    other = Play()
    for _ in range(400):
        if other.state.completed_s is not None:
            break
        if other.state.at_bench is None:
            other.now_s += 600
            other.do(c.HoldBatch(id=new_id()))
            other.do(c.ResumeBatch(id=new_id()))
        else:
            other.finish()
    assert batch_status(other.state, other.plan) is BatchStatus.COMPLETE
