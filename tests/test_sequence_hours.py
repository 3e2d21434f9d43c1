"""Opening hours, clock changes, evenings and the bound by labour."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from shopstep.model.plan import Calendar, Level, OtherDay
from shopstep.sequence.hours import Hours, check_calendar, evenings
from shopstep.sequence.openings import opening_on
from tests.labour import labour_bound
from tests.schedule_samples import (
    BEGIN_S,
    DAY,
    EVENINGS,
    EVERY_DAY,
    MIN,
    H,
    make_shop,
    schedule,
    starts_min,
    step,
)


def utc(*moment: int) -> int:
    """Seconds since 1970 of a UTC moment."""
    year, month, day, hour, minute = (*moment, 0, 0)[:5]
    return int(datetime(year, month, day, hour, minute, tzinfo=UTC).timestamp())


def test_steps_lie_wholly_inside_the_opening_hours() -> None:
    made = schedule((step("a", 100), step("b", 100), step("c", 80)))
    # b does not fit into the rest of the evening, c does
    assert starts_min(made) == {"a": 0, "c": 100, "b": 24 * 60}


def test_work_before_opening_begins_when_the_shop_opens() -> None:
    made = schedule((step("a", 30),), begin_s=BEGIN_S - 5 * H)
    assert made.steps[0].start_s == BEGIN_S


def test_work_begins_at_once_when_the_shop_is_open() -> None:
    made = schedule((step("a", 30),), begin_s=BEGIN_S + 7 * MIN)
    assert made.steps[0].start_s == BEGIN_S + 7 * MIN


def test_a_shop_that_opens_on_two_days_waits_for_the_next_of_them() -> None:
    # 2025-11-25 is a Tuesday (1); open Wednesday (2) and Saturday (5)
    shop = make_shop(replace(EVENINGS, days=(2, 5)))
    made = schedule((step("a", 120), step("b", 120)), shop=shop)
    assert starts_min(made) == {"a": 24 * 60, "b": 4 * 24 * 60}


def test_hours_are_local_on_both_sides_of_a_clock_change() -> None:
    # Directive 2000/84/EC: summer time begins on the last Sunday of March at 01:00 UTC
    calendar = Calendar("Europe/Dublin", 18 * 60, 21 * 60, EVERY_DAY)
    assert opening_on(calendar, date(2026, 3, 28))[0] == utc(2026, 3, 28, 18)
    assert opening_on(calendar, date(2026, 3, 29))[0] == utc(2026, 3, 29, 17)
    made = schedule(
        (step("a", 170), step("b", 170)), shop=make_shop(calendar), begin_s=utc(2026, 3, 28, 18)
    )
    assert [s.start_s for s in made.steps] == [utc(2026, 3, 28, 18), utc(2026, 3, 29, 17)]


@pytest.mark.parametrize(
    ("zone", "day", "hours"),
    [
        ("Europe/Dublin", date(2026, 3, 29), 5),  # 01:00 UTC, Directive 2000/84/EC
        ("Europe/Dublin", date(2026, 10, 25), 7),
        ("America/New_York", date(2026, 3, 8), 5),  # 02:00, 15 U.S.C. 260a
        ("America/New_York", date(2026, 11, 1), 7),
        ("Europe/Dublin", date(2026, 6, 1), 6),
    ],
)
def test_a_night_shift_is_an_hour_shorter_or_longer_where_the_clock_changes(
    zone: str, day: date, hours: int
) -> None:
    opens, closes = opening_on(Calendar(zone, 0, 6 * 60, EVERY_DAY), day)
    assert closes - opens == hours * H


def test_an_opening_that_the_clock_skips_is_no_opening() -> None:
    # in Dublin there is no 01:00–02:00 on 2026-03-29
    hours = Hours(Calendar("Europe/Dublin", 75, 105, EVERY_DAY), utc(2026, 3, 28, 20))
    assert all(o.closes_s - o.opens_s == 30 * MIN for o in map(hours.span, range(3)))


def test_closing_at_midnight_is_the_end_of_the_day() -> None:
    calendar = Calendar("Asia/Kathmandu", 22 * 60, 24 * 60, EVERY_DAY)
    opens, closes = opening_on(calendar, date(2026, 1, 31))
    assert (opens, closes) == (utc(2026, 1, 31, 16, 15), utc(2026, 1, 31, 18, 15))
    made = schedule((step("a", 100), step("b", 60)), shop=make_shop(calendar))
    assert made.steps[1].start_s - made.steps[0].start_s == DAY


@pytest.mark.parametrize(
    ("calendar", "words"),
    [
        (replace(EVENINGS, zone="Europe/Atlantis"), "no time zone 'Europe/Atlantis'"),
        (replace(EVENINGS, zone=""), "no time zone ''"),
        (replace(EVENINGS, zone="../etc"), "no time zone"),
        (replace(EVENINGS, opens_min=21 * 60), "opens at 21:00 and closes at 21:00"),
        (replace(EVENINGS, closes_min=25 * 60), "closes at 25:00"),
        (replace(EVENINGS, opens_min=-1), "opens at"),
        (replace(EVENINGS, days=()), "no day on which it is open"),
        (replace(EVENINGS, days=(7,)), "no day on which it is open"),
    ],
)
def test_hours_that_cannot_be_are_a_stop(calendar: Calendar, words: str) -> None:
    (finding,) = check_calendar(calendar)
    assert finding.level is Level.STOP
    assert words in finding.text
    made = schedule((step("a", 1),), shop=make_shop(calendar))
    assert made.steps == ()
    assert made.findings == (finding,)


def test_a_step_longer_than_an_evening_is_a_stop_with_both_lengths() -> None:
    made = schedule((step("a", 10), step("b", 181)))
    (finding,) = made.findings
    assert made.steps == ()
    assert finding.text == "'b' takes 3 h 1 min; the shop is open 3 h."
    assert finding.remedy == "Open the shop longer, or divide the step."


def test_evenings_are_the_local_days_with_work_in_them() -> None:
    made = schedule((step("a", 170), step("b", 170), step("c", 170)))
    found = evenings(made.steps, EVENINGS)
    assert [evening.date for evening in found] == [
        date(2025, 11, 25),
        date(2025, 11, 26),
        date(2025, 11, 27),
    ]
    assert [[s.id for s in evening.steps] for evening in found] == [["a"], ["b"], ["c"]]
    assert (found[0].opens_s, found[0].closes_s) == (BEGIN_S, BEGIN_S + 3 * H)


def test_an_evening_belongs_to_the_local_date_not_to_that_of_utc() -> None:
    calendar = Calendar("America/Denver", 18 * 60, 21 * 60, EVERY_DAY)  # 01:00 to 04:00 UTC
    made = schedule((step("a", 10),), shop=make_shop(calendar), begin_s=utc(2026, 1, 11, 1))
    assert evenings(made.steps, calendar)[0].date == date(2026, 1, 10)


def test_no_steps_have_no_evening() -> None:
    assert schedule(()).steps == ()
    assert schedule(()).findings == ()
    assert evenings((), EVENINGS) == ()
    assert labour_bound((), make_shop()) == 0


def test_the_bound_is_labour_over_hours_rounded_up() -> None:
    assert labour_bound((step("a", 90), step("b", 90)), make_shop()) == 1
    assert labour_bound((step("a", 90), step("b", 91)), make_shop()) == 2


def test_steps_longer_than_half_an_evening_each_need_their_own() -> None:
    steps = tuple(step(name, 91) for name in "abc")
    assert labour_bound(steps, make_shop()) == 3
    assert len(evenings(schedule(steps).steps, EVENINGS)) == 3


def test_start_up_and_clean_up_come_off_the_evening() -> None:
    calendar = replace(EVENINGS, start_up_min=10, clean_up_min=20)
    made = schedule((step("a", 150), step("b", 1)), shop=make_shop(calendar))
    # 18:10 to 20:40 is 150 minutes, so that the second step waits for the next evening
    assert starts_min(made) == {"a": 10, "b": 10 + DAY // MIN}
    long = schedule((step("a", 151),), shop=make_shop(calendar))
    (finding,) = long.findings
    assert finding.text == "'a' takes 2 h 31 min; the shop is open 2 h 30 min."


def test_no_machine_is_begun_in_the_last_quarter_of_an_hour() -> None:
    saw = replace(step("saw", 5, "glue"), resources=("table_saw",))
    made = schedule((step("glue", 164), saw))
    assert starts_min(made) == {"glue": 0, "saw": 164}
    late = schedule((step("glue", 166), saw))
    assert starts_min(late) == {"glue": 0, "saw": DAY // MIN}


def test_machines_stop_where_quiet_hours_begin() -> None:
    calendar = replace(EVENINGS, quiet_from_min=20 * 60)
    saw = replace(step("saw", 60, "glue"), resources=("table_saw",))
    made = schedule((step("glue", 61), saw, step("paint", 60, "glue")), shop=make_shop(calendar))
    assert starts_min(made) == {"glue": 0, "paint": 61, "saw": DAY // MIN}
    loud = replace(step("saw", 121), resources=("table_saw",))
    (finding,) = schedule((loud,), shop=make_shop(calendar)).findings
    assert finding.rule == "step_too_loud"
    assert "'saw' runs a machine and takes 2 h 1 min" in finding.text


def test_a_lost_evening_and_a_free_day_have_hours_of_their_own() -> None:
    lost = OtherDay("2025-11-25", None, None)
    long = OtherDay("2025-11-26", 8 * 60, 12 * 60)
    calendar = replace(EVENINGS, other_days=(lost, long))
    made = schedule((step("a", 100), step("b", 100)), shop=make_shop(calendar))
    # 2025-11-26 08:00 is 14 hours after the beginning
    assert starts_min(made) == {"a": 14 * 60, "b": 14 * 60 + 100}


@pytest.mark.parametrize(
    ("calendar", "words"),
    [
        (replace(EVENINGS, start_up_min=100, clean_up_min=80), "leave no time"),
        (replace(EVENINGS, clean_up_min=-1), "leave no time"),
        (replace(EVENINGS, quiet_from_min=18 * 60), "before the shop opens"),
    ],
)
def test_margins_that_leave_no_time_are_refused(calendar: Calendar, words: str) -> None:
    (finding,) = check_calendar(calendar)
    assert words in finding.text
    assert finding.level is Level.STOP
