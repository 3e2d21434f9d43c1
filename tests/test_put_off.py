"""Longest waits and work outdoors from build file and settings to the card; data invented."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from shopstep.conditions.longest import LONGEST, find_longest
from shopstep.design.resolve import resolve_design
from shopstep.model.codec import decode, to_text
from shopstep.model.plan import (
    BuildFileError,
    BuildText,
    Conditions,
    Level,
    OtherDay,
    Plan,
    PlanRefused,
    PlanRequest,
    Shop,
)
from shopstep.model.step import Wait, WaitKind
from shopstep.paper.bench_sheets import wait_words
from shopstep.paper.reminders import make_reminders
from shopstep.planner import make_plan, revise
from shopstep.present.card_for import card_for
from shopstep.present.chart import chart_lines
from shopstep.present.lines import card_lines
from shopstep.present.log import log_lines
from shopstep.present.moments import TimerStage, day_words, local_date, timer_stage, timer_words
from shopstep.present.record import record as record_of
from shopstep.present.record_text import record_lines
from shopstep.session import commands as c
from shopstep.session import events as e
from shopstep.storage.settings import FileProfiles
from shopstep.tui.clocks import LOUD, AlarmWatch, big_clock, short_words, sort_timers
from tests.floor import BEGIN_S, SHOP, floor_plan, floor_request, floor_text
from tests.put_off_sample import LATE, MOST_S, with_limits
from tests.sample_plan import make_plan as sample_plan
from tests.session_bench import Play, new_id
from tests.shelf_builds import BUILDS, shelf_design

D, H = 86_400, 3600
ENTRY = "{step: plane/flush, wait: within, row: bare_wood}"
COAT = "u1/paint/coat1"
# Wood Handbook ch. 16 (FPL-GTR-190): first coat within 2 weeks; next coat within 2 weeks from
# memory; squeeze-out scraped within a day is common practice, no source
ROWS = {"bare_wood": 14 * D, "topcoat": 14 * D, "squeeze_out": D}


def limits_of(plan: Plan) -> list[Wait]:
    return [wait for wait in plan.waits if wait.kind is WaitKind.WITHIN]


def test_every_row_of_longest_waits_has_its_span_its_words_and_its_source() -> None:
    assert {row.id: row.most_s for row in LONGEST.values()} == ROWS
    for row in LONGEST.values():
        assert row.late.endswith(".")
        assert "Wood Handbook" in row.source or "common practice, no source" in row.source
    with pytest.raises(ValueError, match="nearest is 'bare_wood'"):
        find_longest("bare_wod")


@pytest.mark.parametrize("name", BUILDS)
def test_every_build_that_is_painted_says_how_long_bare_wood_may_wait(name: str) -> None:
    outline = shelf_design(name).outline
    first = {rule.before for rule in outline.waits if rule.row == "bare_wood"}
    assert first == ({"paint/first"} if outline.painted else set())


def test_the_floor_is_primed_within_two_weeks_after_it_is_planed() -> None:
    plan = floor_plan()
    (one, two) = limits_of(plan)
    assert (one.after, one.before, one.seconds) == ("u1/plane/flush", "u1/paint/first", 14 * D)
    assert (one.title, two.title) == ("first coat, unit 1", "first coat, unit 2")
    assert "Wood Handbook ch. 16" in one.source
    assert one.late.startswith("Sand again with 120 grit")
    assert decode(Plan, json.loads(to_text(plan))) == plan


def floor_with(entry: str) -> BuildText:
    return BuildText("b.yaml", floor_text().replace(ENTRY, entry))


def test_a_build_says_the_span_its_source_and_what_to_do_late() -> None:
    words = "at_most: 10 days, late: Wash it., source: the tin, timer: primer"
    text = floor_with(f"{{step: plane/flush, wait: within, {words}}}")
    plan = make_plan(replace(floor_request(units=1), build=text))
    (wait,) = limits_of(plan)
    assert (wait.seconds, wait.source, wait.late) == (10 * D, "the tin", "Wash it.")
    assert wait.title == "primer, unit 1"


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        ("wait: within", "needs at_most: '14 d' or row"),
        ("wait: within, at_most: 3 d, row: bare_wood", "one of the two"),
        ("wait: within, row: bare_wood, source: a book", "the row has its own"),
        ("wait: within, at_most: soon", "is no time span"),
        ("wait: within, at_most: 5 min", "15 min to 366 days is possible"),
        ("wait: cure, at_most: 3 d", "only within has one"),
        ("wait: withing, at_most: 3 d", "'within'"),
    ],
)
def test_what_cannot_be_read_is_said_with_its_line(entry: str, said: str) -> None:
    text = floor_with(f"{{step: plane/flush, {entry}}}")
    with pytest.raises(BuildFileError) as caught:
        resolve_design(text, (), ())
    assert said in caught.value.text
    assert caught.value.where.line == text.text[: text.text.index(entry)].count("\n") + 1


def test_a_row_that_is_not_in_the_table_names_the_nearest() -> None:
    text = floor_with("{step: plane/flush, wait: within, row: bare_wod}")
    with pytest.raises(BuildFileError, match="nearest is 'bare_wood'"):
        make_plan(replace(floor_request(units=1), build=text))


def test_a_limit_that_no_plan_keeps_is_refused_by_name() -> None:
    # between both stand the coat's own steps only, so a limit over the drying is what breaks
    text = floor_text().replace(
        "- {step: paint/second, wait: dry_through}",
        "- {step: paint/second, wait: dry_through}\n"
        "      - {step: paint/second, wait: within, at_most: 6 h}",
        1,
    )
    with pytest.raises(PlanRefused) as caught:
        make_plan(replace(floor_request(units=1), build=BuildText("b.yaml", text)))
    (stop,) = [f for f in caught.value.findings if f.level is Level.STOP]
    assert stop.rule == "put_off"
    assert "within 6 h after 'u1/paint/second'" in stop.text
    assert "at least 1 day" in stop.text
    assert "Allow more time" in stop.remedy


def test_a_floor_that_was_planed_long_ago_is_still_planned() -> None:
    plan = floor_plan(units=1)
    upto = next(i for i, s in enumerate(plan.steps) if s.id == "u1/paint/first")
    done = {s.id: (s.start_s, s.end_s) for s in plan.steps[:upto]}
    made = revise(floor_request(units=1), plan, done, BEGIN_S + 60 * D)
    (late,) = [f for f in made.findings if f.rule == "put_off_late"]
    assert late.level is Level.WARN
    assert late.remedy.startswith("Sand again with 120 grit")


def played(now: int = 0) -> Play:
    """A batch at the first coat of unit 1, its screws driven ``now`` seconds before."""
    play = Play(plan=with_limits(sample_plan(1)))
    play.finish_until("u1/screw/screws")
    play.finish()
    play.now_s += now
    return play


def test_the_timer_says_by_when_and_is_calm() -> None:
    play = played()
    play.do(c.HoldBatch(id=new_id()))
    (timer,) = card_for(play.state, play.plan, play.now_s).timers
    assert (timer.kind, timer.is_most, timer.step) == ("within", False, COAT)
    assert timer.due_s == play.state.finished["u1/screw/screws"] + MOST_S
    later = timer.due_s - 60
    assert timer_stage(timer, later) is TimerStage.BY
    words = timer_words(replace(timer, due_s=1_767_895_200), 1_767_800_000, "UTC")
    assert words == "first coat, unit 1: begin by Thu 8 Jan 18:00 (1 day 2 h left)"
    assert timer_stage(timer, timer.due_s + 1) is TimerStage.PAST
    assert "was to begin by" in timer_words(timer, timer.due_s + 1, "UTC")
    watch = AlarmWatch()
    for now_s in (later, timer.due_s + 1, timer.due_s + D):
        assert not watch.look((timer,), now_s)
        assert timer_stage(timer, now_s) not in LOUD
        assert short_words(timer, now_s)
        assert big_clock(timer, now_s)
    least = replace(timer, kind="cure", due_s=timer.due_s + 9 * D)
    assert sort_timers((timer, least), later) == [least, timer]


def test_the_chart_says_by_when_in_the_evening_in_which_the_time_begins() -> None:
    plan = floor_plan()
    lines = [line for line in chart_lines(plan) if line.startswith("Begin by")]
    planed = max(s.end_s for s in plan.steps if s.kind == "plane/flush") + 14 * D
    assert any("first coat, unit" in line for line in lines)
    assert any(day_words(local_date(planed, "UTC"))[:-5] in line for line in lines)


def test_in_time_nothing_is_asked() -> None:
    play = played(MOST_S // 2)
    assert play.state.at_bench == COAT
    assert not card_for(play.state, play.plan, play.now_s).timers
    assert any(isinstance(event, e.StepFinished) for event in play.finish(COAT))


def test_late_is_a_decision_that_is_kept_and_no_refusal_of_the_work() -> None:
    play = played()
    play.do(c.HoldBatch(id=new_id()))
    play.now_s += MOST_S + 3600
    play.do(c.ResumeBatch(id=new_id()))
    card = card_for(play.state, play.plan, play.now_s)
    assert LATE in card.sentence
    assert card.checks[0].name == "within"
    assert "accept" in [action.id for action in card.actions]
    assert any("was to begin by" in line for line in card_lines(card, play.now_s, "UTC", 100))
    refusal = play.refused(c.FinishStep(id=new_id(), step=COAT))
    assert refusal.rule == "put_off"
    assert "put off for 1 h 50 min, 50 min is the most" in refusal.text
    assert LATE in refusal.text
    command = c.AcceptDeviation(id=new_id(), step=COAT, name="within", reason="sanded again")
    assert play.do(command) == (e.DeviationAccepted(COAT, "within", "sanded again"),)
    assert play.do(replace(command, id=new_id())) == ()
    play.finish(COAT)
    record = record_of(tuple(play.envelopes), play.plan)
    assert record.put_off == ("First coat (unit 1)",)
    assert "Put off too long and done" in " ".join(record_lines(record))
    log = " ".join(log_lines(tuple(play.envelopes), play.plan))
    assert "put off too long, done all the same: sanded again" in log


def test_what_is_not_late_cannot_be_kept_as_late() -> None:
    play = played()
    command = c.AcceptDeviation(id=new_id(), step=COAT, name="within", reason="")
    assert play.refused(command).rule == "not_late"


def shop_from(tmp_path: Path, text: str) -> Shop:
    path = tmp_path / "settings.toml"
    path.write_text(text, encoding="utf-8")
    return FileProfiles(path, "UTC").profile("shed").shop


SHED = '[shops.shed]\nzone = "UTC"\nopens = "18:00"\ncloses = "21:00"\n'


def test_the_settings_say_daylight_own_days_and_where_it_is_painted(tmp_path: Path) -> None:
    shop = shop_from(
        tmp_path,
        SHED + 'daylight = "08:00-16:00"\npainting = "outdoors"\n'
        'outdoor_temperature = "14 C"\noutdoor_humidity = "60 %"\noutdoor_night = "11 C"\n'
        '[shops.shed.own_days]\n"2026-01-17" = "09:00-13:00"\n"2026-01-16" = "closed"\n',
    )
    assert shop.calendar.daylight == (480, 960)
    assert shop.painting == "outdoors"
    assert shop.outdoor_air == Conditions(14.0, 60.0, 11.0)
    assert shop.calendar.other_days == (
        OtherDay("2026-01-16", None, None),
        OtherDay("2026-01-17", 540, 780),
    )


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ('daylight = "8-16"', "write for example 08:00-16:00"),
        ('daylight = "16:00-08:00"', "ends before it begins"),
        ('painting = "garden"', "outdoors"),
        ('outdoor_temperature = "14 C"', "belong together"),
        ('outdoor_humidity = "wet"', "no relative humidity"),
        ('own_days = { "saturday" = "09:00-13:00" }', "no date"),
        ('own_days = { "2026-01-17" = "nine" }', "no span of hours"),
    ],
)
def test_settings_that_cannot_be_are_said(tmp_path: Path, line: str, said: str) -> None:
    with pytest.raises(BuildFileError, match=said):
        shop_from(tmp_path, f"{SHED}{line}\n")


def outdoors(**changes: object) -> PlanRequest:
    calendar = replace(
        SHOP.calendar,
        daylight=(480, 960),
        other_days=tuple(OtherDay(f"2026-01-{day}", 540, 840) for day in range(17, 32)),
    )
    air = Conditions(15.0, 50.0)
    shop = replace(SHOP, calendar=calendar, painting="outdoors", outdoor_air=air)
    return floor_request(units=1, shop=replace(shop, **changes))  # type: ignore[arg-type]


def test_paint_goes_on_outdoors_in_the_light_and_dries_in_the_air_there() -> None:
    plan = make_plan(outdoors())
    coats = [s for s in plan.steps if s.outdoors]
    assert {s.kind.split("/")[1] for s in coats} == {"first", "second"}
    for coat in coats:
        assert coat.start_s % D >= 480 * 60
        assert coat.end_s % D <= 960 * 60
    recoat = {w.seconds for w in plan.waits if w.kind is WaitKind.RECOAT}
    warm = {w.seconds for w in make_plan(outdoors(outdoor_air=Conditions(23.0, 50.0))).waits
            if w.kind is WaitKind.RECOAT}  # fmt: skip
    assert min(recoat) > max(warm)
    assert decode(PlanRequest, json.loads(to_text(outdoors()))) == outdoors()


def test_air_too_cold_outdoors_stops_the_plan_and_no_heater_is_named() -> None:
    with pytest.raises(PlanRefused) as caught:
        make_plan(outdoors(outdoor_air=Conditions(5.0, 50.0)))
    (stop,) = [f for f in caught.value.findings if f.level is Level.STOP]
    assert stop.text.startswith("Outdoors: at 5 °C")
    assert "milder" in stop.remedy


def test_air_that_nobody_told_is_asked_for() -> None:
    plan = make_plan(outdoors(outdoor_air=None))
    (asked,) = [f for f in plan.findings if f.rule == "outdoor_air_unknown"]
    assert "outdoor_temperature" in asked.remedy
    assert "[shops.bench]" in asked.remedy


def test_evenings_that_never_meet_the_light_stop_the_plan() -> None:
    calendar = replace(SHOP.calendar, daylight=(480, 960))
    with pytest.raises(PlanRefused) as caught:
        make_plan(outdoors(calendar=calendar))
    (stop,) = [f for f in caught.value.findings if f.level is Level.STOP]
    assert stop.rule == "daylight"


def test_a_step_that_says_its_place_goes_before_the_shop() -> None:
    text = floor_text().replace(
        "    timer: first coat\n", "    timer: first coat\n    place: indoors\n", 1
    )
    plan = make_plan(replace(outdoors(), build=BuildText("b.yaml", text)))
    assert "paint/first" not in {s.kind for s in plan.steps if s.outdoors}
    assert "paint/second" in {s.kind for s in plan.steps if s.outdoors}
    alone = text.replace("place: indoors", "place: outdoors")
    told = make_plan(replace(outdoors(painting=""), build=BuildText("b.yaml", alone)))
    assert {s.kind for s in told.steps if s.outdoors} == {"paint/first"}


def test_a_calendar_tells_the_last_day_and_the_paper_says_within() -> None:
    play = played()
    play.do(c.HoldBatch(id=new_id()))
    found = make_reminders("one", play.state, play.plan, play.now_s)
    (told,) = [each for each in found if "has to begin" in each.title]
    assert told.start_s == play.state.finished["u1/screw/screws"] + MOST_S
    assert told.alarm_s == D
    wait = limits_of(play.plan)[0]
    said = wait_words(wait, "First coat")
    assert said == f"Finished on ______: within 50 min begin: First coat. Later: {LATE}"
