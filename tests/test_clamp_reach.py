"""Clamps by their reach and places on the bench: never too short, never too few, well blamed."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from shopstep.desk.varying import what_if
from shopstep.model.plan import BuildFileError, Level, Plan, PlanRefused, PlanRequest, Shop
from shopstep.model.reason import Binds
from shopstep.model.resources import (
    ClampSet,
    with_more,
)
from shopstep.model.step import Hold
from shopstep.planner import make_plan as plan_from
from shopstep.planner.chain import draft_plan
from shopstep.present.chart import chart_lines, chart_svg
from shopstep.present.why_start import what_if_lines, why_lines
from shopstep.sequence.explaining import explain_chain
from shopstep.storage.settings import FileProfiles
from shopstep.units import ZERO, Length
from shopstep.wiring.late_planner import LatePlanner
from tests.floor import SHOP, floor_plan, floor_request, floor_text
from tests.sample_plan import make_plan
from tests.schedule_samples import BEGIN_S, least, make_shop, schedule, step

FAR, NEAR = Length.inches(48), Length.inches(24)
TWO_FAR = (ClampSet(4, NEAR), ClampSet(2, FAR))


def joint(name: str, reach: Length, amount: int = 2) -> Hold:
    """Clamps from close to off."""
    return Hold("clamps", amount, f"{name}/close", f"{name}/off", reach)


def two_joints(holds: tuple[Hold, ...], shop: Shop) -> Plan:
    """Joints a and b, an hour in clamps each, as a plan."""
    steps = tuple(
        s for u in "ab" for s in (step(f"{u}/close", 5), step(f"{u}/off", 5, f"{u}/close"))
    )
    waits = tuple(least(f"{u}/close", f"{u}/off", 60) for u in "ab")
    made = schedule(steps, waits, holds, shop)
    assert made.steps, made.findings
    return replace(make_plan(), steps=made.steps, waits=waits, holds=holds, begin_s=BEGIN_S)


def start_of(plan: Plan, name: str) -> int:
    """Minutes after the beginning."""
    return (next(s.start_s for s in plan.steps if s.id == name) - BEGIN_S) // 60


def test_two_long_clamps_hold_one_wide_joint_at_a_time() -> None:
    wide = (joint("a", FAR), joint("b", FAR))
    assert start_of(two_joints(wide, make_shop(sets=TWO_FAR)), "b/close") == 70
    mixed = (joint("a", FAR), joint("b", NEAR))
    assert start_of(two_joints(mixed, make_shop(sets=TWO_FAR)), "b/close") == 5


def test_where_nobody_says_how_far_clamps_reach_every_reach_holds() -> None:
    wide = (joint("a", FAR), joint("b", FAR))
    assert start_of(two_joints(wide, make_shop(clamps=4)), "b/close") == 5


def test_long_clamps_hold_narrow_joints_too_and_all_clamps_count() -> None:
    narrow = (joint("a", ZERO, 3), joint("b", NEAR, 3))
    assert start_of(two_joints(narrow, make_shop(sets=TWO_FAR)), "b/close") == 5
    more = (joint("a", ZERO, 4), joint("b", FAR, 3))
    three = (ClampSet(3, NEAR), ClampSet(3, FAR))
    assert start_of(two_joints(more, make_shop(sets=three)), "b/close") == 70


def test_a_reach_that_no_clamp_has_is_a_stop_that_says_what_would_be_right() -> None:
    steps = (step("u1/glue/close", 5), step("u1/glue/off", 5))
    holds = (Hold("clamps", 2, "u1/glue/close", "u1/glue/off", Length.inches(52)),)
    (finding,) = schedule(steps, (), holds, make_shop(sets=TWO_FAR)).findings
    assert finding.level is Level.STOP
    assert finding.sentence == (
        "'glue/close' takes 2 clamps of 52 in reach, and the longest clamp of the shop reaches "
        "48 in. Get 2 clamps of 52 in reach."
    )


def test_too_few_that_reach_is_a_stop_that_names_the_reach() -> None:
    steps = (step("u1/glue/close", 5), step("u1/glue/off", 5))
    holds = (Hold("clamps", 3, "u1/glue/close", "u1/glue/off", Length.inches(30)),)
    (finding,) = schedule(steps, (), holds, make_shop(sets=TWO_FAR)).findings
    assert finding.sentence == (
        "'glue/close' takes 3 clamps of 30 in reach at once, and the shop has 2. "
        "Get 1 more clamp of 30 in reach."
    )


def test_no_order_with_so_few_long_clamps_blames_the_long_ones_only() -> None:
    # a takes two long ones and waits for d, which b's two long ones wait for as well
    steps = (step("a", 5), step("b", 5), step("c", 5, "b"), step("d", 5, "c", "a"))
    holds = (Hold("clamps", 2, "a", "d", FAR), Hold("clamps", 2, "b", "d", FAR))
    sets = (ClampSet(4, NEAR), ClampSet(3, FAR))
    (finding,) = schedule(steps, (), holds, make_shop(sets=sets)).findings
    assert finding.text == (
        "No order of the steps was found in which 3 clamps of 48 in reach are enough."
    )
    assert schedule(steps, (), holds, make_shop(sets=with_more(sets, 1, FAR))).steps


def test_why_names_the_reach_that_is_taken() -> None:
    shop = make_shop(sets=TWO_FAR)
    plan = two_joints((joint("a", FAR), joint("b", FAR)), shop)
    chain = explain_chain(plan, shop, "b/close")
    assert (chain[0].binds, chain[0].reach) == (Binds.RESOURCE, FAR)
    lines = why_lines(named(plan), chain)
    assert "clamps of 48 in reach come free with" in lines[0]


def named(plan: Plan) -> Plan:
    """The plan with a kind for each of its steps."""
    kinds = tuple(replace(plan.kinds[0], id=s.kind, title=s.kind) for s in plan.steps)
    return replace(plan, kinds=kinds)


def test_places_on_the_bench_are_counted_and_never_too_few_where_nobody_counts_them() -> None:
    on_bench = tuple(Hold("bench_places", 1, f"{u}/close", f"{u}/off") for u in "ab")
    assert start_of(two_joints(on_bench, make_shop(bench_places=1)), "b/close") == 70
    assert start_of(two_joints(on_bench, make_shop(bench_places=2)), "b/close") == 5
    assert start_of(two_joints(on_bench, make_shop()), "b/close") == 5
    shop = make_shop(bench_places=1)
    plan = two_joints(on_bench, shop)
    chain = explain_chain(plan, shop, "b/close")
    assert "bench places come free with" in why_lines(named(plan), chain)[0]


def test_too_few_places_on_the_bench_are_a_stop() -> None:
    steps = (step("u1/lay", 5), step("u1/off", 5))
    holds = (Hold("bench_places", 2, "u1/lay", "u1/off"),)
    (finding,) = schedule(steps, (), holds, make_shop(bench_places=1)).findings
    assert finding.sentence == (
        "'lay' takes 2 bench places at once, and the shop has 1. Get 1 more bench place."
    )


class Quick(LatePlanner):
    """Plans without a search for better orders: for what does not hang on the very best."""

    def make_plan(self, request: PlanRequest) -> Plan:
        return draft_plan(request)


def bench_text() -> str:
    """The shipped floor whose frames lie on the bench until they come out of the clamps."""
    old = "      - {resource: clamps, amount: 2, reach: width, until: glue/unclamp_frame}\n"
    assert floor_text().count(old) == 1
    new = "      - {resource: bench_places, amount: 1, until: glue/unclamp_frame}\n"
    return floor_text().replace(old, old + new)


def test_a_build_that_takes_places_on_the_bench_shows_them_in_the_chart() -> None:
    shop = replace(SHOP, bench_places=1)
    request = floor_request(units=2, text=bench_text(), shop=shop)
    plan = draft_plan(request)
    most = [line for line in chart_lines(plan) if line.startswith("bench ")]
    assert most
    assert {mark for line in most for mark in line[10:]} == {"1", "·"}
    assert ">bench</text>" in chart_svg(plan)
    assert not any(line.startswith("bench") for line in chart_lines(floor_plan(units=2)))
    assert ">bench</text>" not in chart_svg(floor_plan(units=2))
    found = {each.change: each.plan for each in what_if(request, plan, Quick())}
    more = found["1 more bench place"]
    assert more is not None
    assert more.steps[-1].end_s <= plan.steps[-1].end_s


def test_the_floor_is_glued_with_clamps_that_reach_across_it() -> None:
    plan = floor_plan(units=1)
    width = dict(plan.sizes)["width"]
    (hold,) = [hold for hold in plan.holds if hold.resource == "clamps"]
    assert hold.reach == width
    sets = (ClampSet(4, width - Length.inches("1/64")),)
    with pytest.raises(PlanRefused) as caught:
        plan_from(floor_request(units=1, shop=replace(SHOP, clamp_sets=sets)))
    assert "'glue/close_right' takes 2 clamps of " in str(caught.value)
    enough = replace(SHOP, clamp_sets=(ClampSet(4, width),))
    assert plan_from(floor_request(units=1, shop=enough)).steps == plan.steps


def test_what_if_says_which_clamps_save_an_evening() -> None:
    width = dict(floor_plan(units=1).sizes)["width"]
    short = width - Length.inches(4)
    shop = replace(
        SHOP,
        calendar=replace(SHOP.calendar, closes_min=20 * 60),
        clamp_sets=(ClampSet(2, short), ClampSet(2, width)),
    )
    request = floor_request(units=4, shop=shop, temperature_c=12.0)
    plan = draft_plan(request)
    found = {each.change: each.plan for each in what_if(request, plan, Quick())}
    assert {change for change in found if "more clamp" in change} == {
        "1 more clamp of 12 1/4 in reach",
        "2 more clamps of 12 1/4 in reach",
        "1 more clamp of 16 1/4 in reach",
        "2 more clamps of 16 1/4 in reach",
    }
    # by hand: a frame takes two that reach across it, so only a pair of the long ones helps
    lines = what_if_lines(plan, found.items())
    told = {line.partition(":")[0]: line for line in lines}
    assert "saves none" in told["1 more clamp of 16 1/4 in reach"]
    assert "saves none" in told["2 more clamps of 12 1/4 in reach"]
    assert re.search(r"saves \d evenings", told["2 more clamps of 16 1/4 in reach"])


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("reach: width", "reach: 0 in", "as the reach of its clamps; give a length above 0"),
        ("reach: width", "reach: 3", "must be a length"),
        (
            "clamps, amount: 2, reach: width",
            "bench_places, amount: 1, reach: width",
            "gives a reach to bench places; only clamps have one",
        ),
    ],
)
def test_a_reach_that_makes_no_sense_is_refused_with_its_line(
    old: str, new: str, said: str
) -> None:
    text = floor_text().replace(old, new)
    with pytest.raises(BuildFileError) as caught:
        plan_from(floor_request(text=text))
    assert said in caught.value.text
    assert caught.value.where.line > 0


def shop_of(folder: Path, row: str) -> Shop:
    """The shop of settings that say one thing."""
    file = folder / "settings.toml"
    file.write_text(f"[shops.bench]\n{row}\n", encoding="utf-8")
    return FileProfiles(file, "UTC").profile(None).shop


def test_settings_say_clamps_by_number_or_by_reach(tmp_path: Path) -> None:
    shop = shop_of(tmp_path, 'clamps = ["4 x 24 in", "2x1200 mm"]\nbench_places = 3')
    assert shop.clamps == 6
    assert shop.clamp_sets == (ClampSet(4, NEAR), ClampSet(2, Length.mm(1200)))
    assert shop.bench_places == 3
    plain = shop_of(tmp_path, "clamps = 6")
    assert (plain.clamps, plain.clamp_sets, plain.bench_places) == (6, (), None)


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ('clamps = ["four"]', "'four' names no clamps; write how many and their reach"),
        ('clamps = ["4 x"]', "'4 x' names no clamps"),
        ('clamps = ["0 x 24 in"]', "write 1 to 500 and a reach above 0"),
        ("clamps = []", "give a number from 0 to 500, or the clamps by their reach"),
        ("clamps = -1", "give a number from 0 to 500"),
        ("clamps = true", "give a number from 0 to 500"),
        ("bench_places = -1", "bench_places"),
    ],
)
def test_clamps_that_are_none_are_refused_with_their_line(
    tmp_path: Path, row: str, said: str
) -> None:
    with pytest.raises(BuildFileError) as caught:
        shop_of(tmp_path, row)
    assert said in caught.value.text
    assert caught.value.where.line == 2
