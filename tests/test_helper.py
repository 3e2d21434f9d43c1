"""Steps for two people: only while the helper is there, else it is said whom to ask for when."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopstep.desk.varying import what_if
from shopstep.model.plan import BuildFileError, Finding, Level, Plan, PlanRefused
from shopstep.model.reason import Binds
from shopstep.model.resources import HelperTime
from shopstep.model.step import Step
from shopstep.planner import make_plan as plan_from
from shopstep.planner import retime
from shopstep.present.card_for import card_for
from shopstep.present.document import plan_document
from shopstep.present.evenings import plan_evenings
from shopstep.present.plan_text import plan_lines
from shopstep.present.why_start import why_lines
from shopstep.sequence.explaining import explain_chain
from shopstep.sequence.helping import helped_start
from shopstep.storage.settings import FileProfiles
from shopstep.wiring.late_planner import LatePlanner
from tests.floor import SHOP, floor_plan, floor_request
from tests.helped_floor import AFTERNOON, SATURDAY, SUNDAY, TURN, helped_text
from tests.reasons import reason_of
from tests.sample_plan import make_plan
from tests.schedule_checker import violations
from tests.schedule_samples import BEGIN_S, DAY, EVENINGS, MIN, H, least, make_shop, schedule, step
from tests.session_bench import Play

SATURDAYS = (HelperTime((SATURDAY,), 19 * 60, 20 * 60),)
"""The plan begins on a Tuesday; four days later from 19 to 20 h."""
FRIDAY_S = BEGIN_S + 3 * DAY
SATURDAY_S = BEGIN_S + 4 * DAY


def two(made: Step) -> Step:
    """The step with a second pair of hands."""
    return replace(made, people=2)


def helped_plan(units: int = 1, helper: tuple[HelperTime, ...] = ()) -> Plan:
    """The floor whose turning over needs two."""
    shop = replace(SHOP, helper=helper)
    return plan_from(floor_request(units=units, text=helped_text(), shop=shop))


def told(plan: Plan, rule: str) -> list[Finding]:
    """The findings of one rule."""
    return [finding for finding in plan.findings if finding.rule == rule]


def test_a_step_for_two_waits_for_the_helper_and_others_do_not() -> None:
    made = schedule((two(step("turn", 20)), step("sweep", 20)), shop=make_shop(helper=SATURDAYS))
    starts = {s.id: s.start_s for s in made.steps}
    assert starts == {"sweep": BEGIN_S, "turn": SATURDAY_S + H}


def test_all_of_the_step_lies_in_the_helpers_time() -> None:
    # 50 minutes of one person first: from 19:50 on 20 minutes do not fit before 20:00
    steps = (step("first", 110), two(step("turn", 20, "first")))
    helper = (HelperTime((1, SATURDAY), 19 * 60, 20 * 60),)
    made = schedule(steps, shop=make_shop(helper=helper))
    assert [s.start_s for s in made.steps] == [BEGIN_S, SATURDAY_S + H]
    shorter = (step("first", 100), two(step("turn", 20, "first")))
    made = schedule(shorter, shop=make_shop(helper=helper))
    assert [s.start_s for s in made.steps] == [BEGIN_S, BEGIN_S + 100 * MIN]


def test_of_a_block_only_the_step_for_two_needs_the_helper() -> None:
    # glue 30 min, turn 20 min at once: it begins before the helper comes, and ends after he goes
    glue = step("glue", 30)
    turn = two(step("turn", 20, "glue", behind="glue"))
    screw = step("screw", 40, "turn", behind="turn")
    helper = (HelperTime((SATURDAY,), 19 * 60, 19 * 60 + 20),)
    made = schedule((glue, turn, screw), shop=make_shop(helper=helper))
    assert [s.start_s - SATURDAY_S for s in made.steps] == [30 * MIN, H, H + 20 * MIN]


def test_times_that_meet_are_one_time() -> None:
    helper = (HelperTime((SATURDAY,), 19 * 60, 19 * 60 + 15), HelperTime((5,), 19 * 60 + 15, 1170))
    made = schedule((two(step("turn", 30)),), shop=make_shop(helper=helper))
    assert made.steps[0].start_s == SATURDAY_S + H


@settings(max_examples=300, deadline=None)
@given(
    st.lists(st.tuples(st.integers(0, 60), st.integers(1, 30)), min_size=1, max_size=3),
    st.lists(st.tuples(st.integers(0, 40), st.integers(1, 15)), min_size=1, max_size=3),
    st.integers(0, 60),
)
def test_the_first_start_at_which_help_is_there_is_found(
    times: list[tuple[int, int]], stretches: list[tuple[int, int]], earliest: int
) -> None:
    # held against trying every start, minute after minute
    there = joined(times)
    helped = joined(stretches)

    def works(start: int) -> bool:
        return all(
            any(t[0] <= start + first and start + last <= t[1] for t in there)
            for first, last in helped
        )

    first = next((start for start in range(earliest, 200) if works(start)), None)
    assert helped_start(there, earliest, helped) == first


def joined(spans: list[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
    """Begins and lengths as spans; minutes that touch are one span."""
    minutes = {minute for begin, length in spans for minute in range(begin, begin + length)}
    begins = sorted(m for m in minutes if m - 1 not in minutes)
    ends = sorted(m + 1 for m in minutes if m + 1 not in minutes)
    return tuple(zip(begins, ends, strict=True))


def test_long_work_is_not_begun_where_the_helper_would_come_and_go_in_vain() -> None:
    # on a Saturday: 100 minutes from 18:00 would last past the helper's time of 19:00 to 19:30
    begin = SATURDAY_S
    helper = (HelperTime((SATURDAY,), 19 * 60, 19 * 60 + 30),)
    steps = (step("long", 100), two(step("turn", 30)), step("last", 10, "turn"))
    made = schedule(steps, shop=make_shop(helper=helper), begin_s=begin)
    starts = {s.id: s.start_s - begin for s in made.steps}
    assert starts["turn"] == H
    assert starts["last"] < DAY


def test_no_time_that_can_hold_the_step_is_a_stop_that_says_which_how_long_and_when() -> None:
    (finding,) = schedule((two(step("u1/turn", 70)),), shop=make_shop(helper=SATURDAYS)).findings
    assert finding.level is Level.STOP
    assert finding.rule == "helper_never"
    assert finding.where.name == "u1/turn"
    assert finding.sentence == (
        "'u1/turn' needs a second pair of hands for 1 h 10 min; a helper is there "
        "Sat 19:00–20:00, and inside the shop's hours that never holds it. "
        "Name longer helper times inside the shop's hours, or divide the step."
    )


@pytest.mark.parametrize("days", [(0, 1, 2, 3, 4), (SUNDAY,)])
def test_a_helper_on_days_on_which_the_shop_is_closed_is_none(days: tuple[int, ...]) -> None:
    shop = make_shop(replace(EVENINGS, days=days), helper=SATURDAYS)
    assert schedule((two(step("turn", 5)),), shop=shop).findings[0].rule == "helper_never"
    assert schedule((step("turn", 5),), shop=shop).findings == ()


def test_what_the_helper_binds_is_said_to_be_bound_by_the_helper() -> None:
    shop = make_shop(helper=SATURDAYS)
    steps = (step("glue", 10), two(step("turn", 20, "glue")))
    made = schedule(steps, (least("glue", "turn", 30),), shop=shop)
    plan = replace(
        make_plan(),
        steps=made.steps,
        waits=(least("glue", "turn", 30),),
        holds=(),
        begin_s=BEGIN_S,
    )
    reason = reason_of(plan, shop, "turn")
    assert (reason.binds, reason.other) == (Binds.HELPER, "glue")
    # without the helper's times it is the glue
    free = schedule(steps, (least("glue", "turn", 30),))
    assert reason_of(replace(plan, steps=free.steps), make_shop(), "turn").binds is Binds.WAIT


def test_why_names_the_helper_in_the_plan_of_a_build() -> None:
    plan = helped_plan(helper=AFTERNOON)
    block = next(s for s in plan.steps if s.id == f"u1/{TURN}")
    assert f"{datetime.fromtimestamp(block.start_s, UTC):%a %H:%M}" >= "Sat 18:30"
    chain = explain_chain(plan, replace(SHOP, helper=AFTERNOON), block.id)
    lines = why_lines(plan, chain)
    assert any(
        line.endswith("it waits for the helper: it needs a second pair of hands.") for line in lines
    ), lines


@pytest.mark.parametrize("units", [1, 4])
def test_the_plan_of_a_build_keeps_to_the_helpers_times(units: int) -> None:
    plan = helped_plan(units, AFTERNOON)
    shop = replace(SHOP, helper=AFTERNOON)
    untimed = tuple(replace(s, start_s=0, end_s=0) for s in plan.steps)
    assert violations(untimed, plan.steps, plan.waits, plan.holds, shop, plan.begin_s) == []
    assert told(plan, "two_people") == []
    assert plan == helped_plan(units, AFTERNOON)
    # the checker sees it where a helper's times are other ones
    sunday = replace(SHOP, helper=(HelperTime((SUNDAY,), 18 * 60, 21 * 60),))
    wrong = violations(untimed, plan.steps, plan.waits, plan.holds, sunday, plan.begin_s)
    assert len(wrong) == units
    assert all(TURN in said for said in wrong)


def test_without_helper_times_the_plan_is_the_same_and_says_whom_to_ask_for_when() -> None:
    plan = helped_plan(units=3)
    times = [(s.id, s.start_s, s.end_s) for s in plan.steps]
    assert times == [(s.id, s.start_s, s.end_s) for s in floor_plan(units=3).steps]
    (finding,) = told(plan, "two_people")
    assert finding.level is Level.NOTE
    first = next(s for s in plan.steps if s.people == 2)
    number = next(n for n, e in enumerate(plan_evenings(plan), 1) if first in e.steps)
    at = datetime.fromtimestamp(first.start_s, UTC)
    assert finding.text.startswith(
        "3 steps need a second pair of hands: first 'Turn it over, wipe below', "
        f"evening {number}, {at:%a} {at.day} {at:%b %H:%M}"
    )
    assert finding.remedy == "Ask somebody for then."


def test_a_step_for_one_is_told_of_nowhere() -> None:
    plan = floor_plan(units=1)
    assert told(plan, "two_people") == []
    assert all(s.people == 1 for s in plan.steps)


def test_new_times_tell_anew_when_to_ask_and_what_is_done_is_asked_for_no_more() -> None:
    plan = helped_plan(units=1)
    later = retime(plan, SHOP, {}, plan.begin_s + 2 * DAY)
    (finding,) = told(later, "two_people")
    assert finding != told(plan, "two_people")[0]
    done = {s.id: (s.start_s, s.end_s) for s in plan.steps}
    assert told(retime(plan, SHOP, done, plan.begin_s + 9 * DAY), "two_people") == []


def test_what_cannot_wait_for_the_helper_is_warned_of() -> None:
    plan = helped_plan(units=1, helper=AFTERNOON)
    turn = next(s for s in plan.steps if s.id == f"u1/{TURN}")
    done = {s.id: (s.start_s, s.end_s) for s in plan.steps if s.start_s < turn.start_s}
    late = turn.start_s + 2 * DAY
    last = max(done, key=lambda name: done[name][1])
    done[last] = (late - 60, late)
    shop = replace(SHOP, helper=AFTERNOON)
    (finding,) = told(retime(plan, shop, done, late), "helper_away")
    assert finding.level is Level.WARN
    assert "cannot wait, and at Mon" in finding.text


def test_card_plan_and_document_say_that_it_takes_two() -> None:
    plan = helped_plan(units=1)
    play = Play(plan=plan)
    kind = next(k for k in plan.kinds if k.id == TURN)
    assert kind.people == 2
    play = Play(plan=lone(plan, TURN))
    assert card_for(play.state, play.plan, play.now_s).sentence.startswith("Two people. Turn the")
    play = Play(plan=lone(plan, "screw/frame"))
    assert "Two people" not in card_for(play.state, play.plan, play.now_s).sentence
    assert any("Turn it over, wipe below (two people)" in line for line in plan_lines(plan))
    steps = plan_document(plan)["steps"]
    assert isinstance(steps, list)
    assert {s["id"] for s in steps if s["people"] == 2} == {f"u1/{TURN}"}


def lone(plan: Plan, kind: str) -> Plan:
    """A plan that is nothing but one step."""
    alone = tuple(replace(s, needs=(), behind=None) for s in plan.steps if s.kind == kind)
    return replace(plan, steps=alone, waits=(), holds=())


def test_what_if_asks_what_a_helper_at_any_time_would_save() -> None:
    shop = replace(SHOP, helper=AFTERNOON)
    request = floor_request(units=1, text=helped_text(), shop=shop)
    found = {each.change: each.plan for each in what_if(request, plan_from(request), LatePlanner())}
    always = found["a helper at any time"]
    assert always is not None
    assert always.steps[-1].end_s < plan_from(request).steps[-1].end_s
    floor = floor_request(units=1)
    free = {each.change for each in what_if(floor, plan_from(floor), LatePlanner())}
    assert "a helper at any time" not in free


def test_more_than_two_people_are_no_step() -> None:
    text = helped_text().replace("people: 2", "people: 3")
    with pytest.raises(BuildFileError) as caught:
        plan_from(floor_request(text=text))
    assert "people" in caught.value.text
    assert caught.value.where.line > 0


def test_a_helper_who_never_comes_long_enough_refuses_the_plan_of_a_build() -> None:
    with pytest.raises(PlanRefused) as caught:
        helped_plan(helper=(HelperTime((SATURDAY,), 19 * 60, 19 * 60 + 1),))
    assert [f.rule for f in caught.value.findings if f.level is Level.STOP] == ["helper_never"]
    assert f"'u1/{TURN}', with what is bound to it at once, needs" in str(caught.value)


def shop_of(folder: Path, row: str) -> FileProfiles:
    """The settings of a shop that say one thing."""
    file = folder / "settings.toml"
    file.write_text(f"[shops.bench]\n{row}\n", encoding="utf-8")
    return FileProfiles(file, "UTC")


def test_settings_say_when_the_helper_is_there(tmp_path: Path) -> None:
    row = 'helper = ["saturday 14:00-17:00", "mon, thu 19:00-20:30", "Every day 7:00–8:00"]'
    assert shop_of(tmp_path, row).profile(None).shop.helper == (
        HelperTime((5,), 840, 1020),
        HelperTime((0, 3), 1140, 1230),
        HelperTime((0, 1, 2, 3, 4, 5, 6), 420, 480),
    )
    assert shop_of(tmp_path, "clamps = 3").profile(None).shop.helper == ()


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ('["caturday 14:00-17:00"]', "'caturday' in 'caturday 14:00-17:00' is no day"),
        ('["sat 17:00-14:00"]', "ends before it begins"),
        ('["sat 14:00-25:00"]', "'25:00' in 'sat 14:00-25:00' is no time of day"),
        ('["sat"]', "'sat' is no helper time; write a day and hours, 'sat 14:00-17:00'"),
    ],
)
def test_a_helpers_time_that_is_none_is_refused_with_its_line(
    tmp_path: Path, row: str, said: str
) -> None:
    with pytest.raises(BuildFileError) as caught:
        shop_of(tmp_path, f"helper = {row}").profile(None)
    assert said in caught.value.text
    assert caught.value.where.line == 2


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.integers(0, 5), st.integers(30, 150), st.lists(st.integers(5, 30), max_size=6))
def test_random_rows_for_two_are_placed_where_the_checker_allows_them(
    day: int, length: int, minutes: list[int]
) -> None:
    helper = (HelperTime((day,), 18 * 60 + 15, 18 * 60 + 15 + length),)
    steps = tuple(
        replace(step(f"s{n}", m, *([f"s{n - 1}"] if n % 2 else [])), people=1 + n % 2)
        for n, m in enumerate(minutes)
    )
    # ``schedule`` asserts that the independent checker finds nothing
    assert schedule(steps, shop=make_shop(helper=helper)).findings == ()
