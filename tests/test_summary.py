"""Coming back to a batch: where it stands, what dries since when, what is next."""

from __future__ import annotations

import pytest

from shopstep.cli.main import run
from shopstep.present.summary import INTERRUPTED_S, summary_lines, was_interrupted
from shopstep.session import commands as c
from tests.sample_plan import make_plan
from tests.session_bench import Play, new_id


def told(play: Play) -> str:
    """The summary as one text."""
    return " ".join(" ".join(summary_lines(play.state, play.plan, play.now_s)).split())


def test_a_new_batch_has_nothing_done_and_a_next_step() -> None:
    said = told(Play())
    assert "Nothing is finished yet." in said
    assert "Next: " in said


def test_the_last_confirmed_and_the_next_step_are_both_told() -> None:
    play = Play()
    play.finish_until("u1/glue/spread")
    said = told(play)
    assert "Last done: " in said
    assert "Next: " in said
    assert f"{len(play.state.finished)} of {len(play.plan.steps)} steps done" in said


def test_what_dries_is_told_since_when_and_until_when() -> None:
    play = Play()
    play.finish_until("u1/paint/coat1")
    play.finish("u1/paint/coat1")
    play.now_s += 1800
    said = told(play)
    assert "Since " in said
    assert "Unit 1: at " in said
    assert "waiting until " in said


def test_a_long_pause_is_told_and_what_was_put_off_as_well() -> None:
    play = Play()
    play.finish_until("u1/fit/dry")
    play.do(c.SetAside(id=new_id(), step="u1/fit/dry", reason="no brads"))
    play.do(c.HoldBatch(id=new_id(), reason="supper"))
    play.now_s += 2 * 86400
    said = told(play)
    assert "held" in said
    assert "the last entry was 2 days ago" in said
    assert "no brads" in said


@pytest.mark.parametrize(("pause", "told_of"), [(INTERRUPTED_S - 1, False), (INTERRUPTED_S, True)])
def test_a_short_look_away_is_no_interruption(pause: int, told_of: bool) -> None:
    play = Play()
    assert was_interrupted(play.state, play.now_s + pause) is told_of


def test_units_that_stand_alike_share_a_line() -> None:
    play = Play(make_plan(units=5))
    assert "Units 1 to 5: not begun yet." in told(play)
    play.finish_until("u2/fit/dry")
    said = told(play)
    assert "Unit 2: at 'Dry fit', at the bench." in said
    assert "Units 3 to 5: at 'Dry fit', ready." in said


def test_where_all_waits_the_next_step_is_named_with_its_time() -> None:
    play = Play(make_plan(units=1))
    play.finish_until("u1/paint/coat1")
    play.finish()
    assert play.state.at_bench is None
    said = told(play)
    assert "Next: Second coat (unit 1), unit 1 of 1, not before" in said


def test_a_stopped_batch_has_no_next_step() -> None:
    play = Play()
    play.do(c.StopBatch(id=new_id(), sure=True))
    assert "stopped" in told(play)
    assert "Next:" not in told(play)


def test_the_line_by_line_face_tells_it_on_the_way_in(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["start", "bird-box", "--plain", "--now", "2026-01-15T18:00:00+00:00"]) == 0
    capsys.readouterr()
    assert run(["resume", "--plain", "--now", "2026-01-17T18:00:00+00:00"]) == 0
    assert "the last entry was" in " ".join(capsys.readouterr().out.split())
    assert run(["do", "LAST", "summary", "--now", "2026-01-17T18:00:00+00:00"]) == 0
    assert "Unit 1: not begun yet." in capsys.readouterr().out
