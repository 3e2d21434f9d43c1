"""Running limits on screen: words and shapes change with the stage, and what is urgent is heard."""

from __future__ import annotations

from dataclasses import replace

from shopstep.present.moments import TimerStage
from shopstep.tui.clocks import (
    BAR_CELLS,
    AlarmWatch,
    bar,
    big_clock,
    short_words,
    sort_timers,
    timer_line,
)
from shopstep.tui.theme import Role
from tests.fake_bench import CLAMP_TIMER, GLUE_TIMER, PAINT_TIMER

BEGUN = GLUE_TIMER.started_s
"""Glue was spread here; five minutes are the most."""


def row_at(after_s: int, width: int = 78) -> tuple[str, Role]:
    """Text and role of the glue's row, so many seconds after spreading."""
    line = timer_line(GLUE_TIMER, BEGUN + after_s, "UTC", width, 2)
    return line.text, line.spans[1].role


def test_words_and_look_change_at_half_at_four_fifths_and_at_the_end() -> None:
    seen = [row_at(after) for after in (50, 150, 240, 301)]
    assert "closes in 4:10" in seen[0][0]
    assert "HALF GONE" in seen[1][0]
    assert "CLOSE NOW" in seen[2][0]
    assert "TOO LATE" in seen[3][0]
    assert len({role for _, role in seen}) == 4


def test_narrow_rows_say_the_same_in_fewer_words() -> None:
    words = [short_words(GLUE_TIMER, BEGUN + after) for after in (50, 150, 240, 310)]
    assert words == ["closes in 4:10", "HALF GONE 2:30", "CLOSE NOW 1:00", "TOO LATE -0:10"]
    assert short_words(CLAMP_TIMER, CLAMP_TIMER.due_s - 1800) == "clamps off in 30 min"
    assert short_words(CLAMP_TIMER, CLAMP_TIMER.due_s) == "ready"
    assert all(len(row_at(after, 30)[0]) <= 30 for after in (50, 150, 240, 310))


def test_the_bar_fills_from_the_left_and_never_overflows() -> None:
    fills = [bar(GLUE_TIMER, BEGUN + after).count("█") for after in (-5, 0, 150, 299, 300, 900)]
    assert fills == [0, 0, 5, 9, 10, 10]
    assert len(bar(GLUE_TIMER, BEGUN)) == BAR_CELLS


def test_a_wait_of_no_length_has_a_full_bar() -> None:
    assert bar(replace(CLAMP_TIMER, due_s=CLAMP_TIMER.started_s), CLAMP_TIMER.started_s)


def test_open_glue_comes_first_and_what_is_ready_last() -> None:
    ready = replace(CLAMP_TIMER, name="done", due_s=BEGUN - 10)
    timers = (ready, PAINT_TIMER, CLAMP_TIMER, GLUE_TIMER)
    assert sort_timers(timers, BEGUN) == [GLUE_TIMER, CLAMP_TIMER, PAINT_TIMER, ready]


def test_a_wait_is_told_as_a_span_and_glue_as_a_countdown() -> None:
    assert big_clock(GLUE_TIMER, BEGUN + 50) == "4:10"
    assert big_clock(PAINT_TIMER, PAINT_TIMER.due_s - 12000) == "3 h 20 min"
    assert big_clock(PAINT_TIMER, PAINT_TIMER.due_s) == "ready"


def stages_of(watch: AlarmWatch) -> list[TimerStage]:
    """Stages of the alarms that were not answered."""
    return [alarm.stage for alarm in watch.open]


def test_half_gone_rings_but_raises_no_bar() -> None:
    watch = AlarmWatch()
    assert not watch.look((GLUE_TIMER,), BEGUN + 10)
    assert watch.look((GLUE_TIMER,), BEGUN + 150)
    assert not stages_of(watch)


def test_close_now_and_too_late_are_each_raised_once() -> None:
    watch = AlarmWatch()
    watch.look((GLUE_TIMER,), BEGUN + 10)
    assert watch.look((GLUE_TIMER,), BEGUN + 240)
    assert stages_of(watch) == [TimerStage.NEARLY]
    assert not watch.look((GLUE_TIMER,), BEGUN + 241)
    watch.answer()
    assert not watch.look((GLUE_TIMER,), BEGUN + 250)
    assert not stages_of(watch)
    assert watch.look((GLUE_TIMER,), BEGUN + 301)
    assert stages_of(watch) == [TimerStage.LATE]


def test_an_alarm_goes_when_its_joint_is_closed() -> None:
    watch = AlarmWatch()
    watch.look((GLUE_TIMER,), BEGUN + 250)
    assert watch.open
    assert not watch.look((), BEGUN + 255)
    assert not stages_of(watch)


def test_too_late_takes_the_place_of_close_now() -> None:
    watch = AlarmWatch()
    watch.look((GLUE_TIMER,), BEGUN + 250)
    watch.look((GLUE_TIMER,), BEGUN + 320)
    assert stages_of(watch) == [TimerStage.LATE]


def test_a_wait_that_ends_while_the_screen_is_open_is_an_alarm() -> None:
    watch = AlarmWatch()
    watch.look((CLAMP_TIMER,), CLAMP_TIMER.due_s - 1)
    assert watch.look((CLAMP_TIMER,), CLAMP_TIMER.due_s)
    assert stages_of(watch) == [TimerStage.READY]


def test_a_wait_that_was_over_before_is_none_but_stale_glue_is() -> None:
    watch = AlarmWatch()
    assert not watch.look((CLAMP_TIMER,), CLAMP_TIMER.due_s + 5)
    assert not stages_of(watch)
    assert watch.look((CLAMP_TIMER, GLUE_TIMER), BEGUN + 900)
    assert [alarm.timer for alarm in watch.open] == [GLUE_TIMER]


def test_glue_is_answered_before_what_has_become_dry() -> None:
    watch = AlarmWatch()
    clamp = replace(CLAMP_TIMER, due_s=BEGUN + 240)
    watch.look((clamp, GLUE_TIMER), BEGUN + 200)
    watch.look((clamp, GLUE_TIMER), BEGUN + 240)
    assert [alarm.timer for alarm in watch.open] == [GLUE_TIMER, clamp]
    watch.answer()
    assert [alarm.timer for alarm in watch.open] == [clamp]
