"""Timers and local times in words."""

from __future__ import annotations

from datetime import date

import pytest

from shopstep.present.card import CardTimer
from shopstep.present.moments import (
    TimerStage,
    day_words,
    local_date,
    local_time,
    span_left,
    timer_stage,
    timer_words,
    utc_text,
)

START = 1_764_093_600  # 2025-11-25 18:00 UTC
GLUE = CardTimer("glue, unit 2", "open", START, START + 300, True, "u2/glue/close")


def least(kind: str, seconds: int) -> CardTimer:
    return CardTimer("paint, unit 1", kind, START, START + seconds, False, "u1/paint/coat2")


@pytest.mark.parametrize(
    ("gone_s", "stage", "words"),
    [
        (0, TimerStage.RUNNING, "glue, unit 2: closes in 5:00"),
        (50, TimerStage.RUNNING, "glue, unit 2: closes in 4:10"),
        (149, TimerStage.RUNNING, "glue, unit 2: closes in 2:31"),
        (150, TimerStage.HALF, "glue, unit 2: HALF GONE, closes in 2:30"),
        (239, TimerStage.HALF, "glue, unit 2: HALF GONE, closes in 1:01"),
        (240, TimerStage.NEARLY, "glue, unit 2: CLOSE NOW, 1:00 left"),
        (300, TimerStage.NEARLY, "glue, unit 2: CLOSE NOW, 0:00 left"),
        (301, TimerStage.LATE, "glue, unit 2: TOO LATE, over by 0:01"),
        (4000, TimerStage.LATE, "glue, unit 2: TOO LATE, over by 1:01:40"),
    ],
)
def test_open_time_changes_its_words_at_half_at_four_fifths_and_when_over(
    gone_s: int, stage: TimerStage, words: str
) -> None:
    assert timer_stage(GLUE, START + gone_s) is stage
    assert timer_words(GLUE, START + gone_s, "UTC") == words


@pytest.mark.parametrize(
    ("kind", "waiting", "ready"),
    [
        ("clamp", "the clamps may come off in 4 h (at 22:00)", "ready, the clamps may come off"),
        ("cure", "cured in 4 h (at 22:00)", "ready, cured"),
        ("touch", "touch dry in 4 h (at 22:00)", "ready, touch dry"),
        (
            "recoat",
            "dry enough for the next coat in 4 h (at 22:00)",
            "ready, dry enough for the next coat",
        ),
        ("dry_through", "dry through in 4 h (at 22:00)", "ready, dry through"),
    ],
)
def test_each_kind_of_wait_has_its_own_words(kind: str, waiting: str, ready: str) -> None:
    timer = least(kind, 14400)
    assert timer_words(timer, START, "UTC") == f"paint, unit 1: {waiting}"
    assert timer_words(timer, timer.due_s, "UTC") == f"paint, unit 1: {ready}"
    assert timer_stage(timer, timer.due_s - 1) is TimerStage.WAITING


def test_a_wait_into_the_next_day_names_the_day() -> None:
    assert timer_words(least("recoat", 50_400), START, "UTC").endswith("(tomorrow 8:00)")


def test_what_is_left_of_a_wait_is_never_told_too_short() -> None:
    assert span_left(61) == "2 min"
    assert span_left(60) == "1 min"
    assert span_left(59) == "59 s"
    assert span_left(3 * 3600 + 1) == "3 h 1 min"


def test_local_times_follow_the_clock_change() -> None:
    """Dublin leaves summer time at 01:00 UTC on 26 October 2025 (IANA time zone database)."""
    before, after = 1_761_436_800, 1_761_440_400  # 00:00 and 01:00 UTC that night
    assert local_time(before, "Europe/Dublin") == "01:00"
    assert local_time(after, "Europe/Dublin") == "01:00"
    assert local_date(1_761_435_000, "Europe/Dublin") == date(2025, 10, 26)
    assert local_date(1_761_435_000, "America/Denver") == date(2025, 10, 25)


def test_an_unknown_zone_gives_utc() -> None:
    assert local_time(START, "Nowhere/Atall") == "18:00"


def test_days_and_moments_are_written_the_same_everywhere() -> None:
    assert day_words(date(2025, 11, 26)) == "Wed 26 Nov 2025"
    assert utc_text(START) == "2025-11-25T18:00:00Z"
