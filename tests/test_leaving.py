"""Before the shop is left: what is due, by the tools that were used that day."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.model.leaving import MakeSafe
from shopstep.model.plan import Plan
from shopstep.present.card_for import card_for
from shopstep.present.leaving import make_safe_after, make_safe_today
from shopstep.present.plan_text import plan_lines
from shopstep.safety.leaving_rows import LEAVING_ROWS, leaving_rows
from shopstep.safety.tools import TOOLS
from shopstep.session import commands as c
from tests.floor import floor_plan
from tests.sample_plan import make_plan
from tests.session_bench import Play, new_id

DAY = 86400


def ids(tools: set[str]) -> list[str]:
    """What is due after these tools."""
    return [row.id for row in leaving_rows(frozenset(tools))]


@pytest.mark.parametrize(
    ("tools", "due"),
    [
        ({"table_saw"}, ["saw_off", "heater_off"]),
        ({"brad_nailer"}, ["air_off", "heater_off"]),
        ({"staple_gun", "router"}, ["machines_off", "air_off", "heater_off"]),
        ({"brush", "brush:oil"}, ["oily_rags", "tins_shut", "heater_off"]),
        ({"glue"}, ["tins_shut", "heater_off"]),
        (set(), ["heater_off"]),
    ],
)
def test_what_is_due_goes_by_the_tools(tools: set[str], due: list[str]) -> None:
    assert ids(tools) == due


@pytest.mark.parametrize("row", LEAVING_ROWS, ids=lambda row: row.id)
def test_every_row_is_of_a_known_tool_has_a_source_and_can_be_read(row: MakeSafe) -> None:
    assert all(tool == "" or tool.partition(":")[0] in TOOLS for tool in row.tools)
    assert row.source
    assert len(row.text) <= 110
    assert row.text.endswith(".")


def test_every_power_tool_has_something_that_makes_it_safe() -> None:
    named = {tool for row in LEAVING_ROWS for tool in row.tools}
    assert {tool.id for tool in TOOLS.values() if tool.is_power} <= named


def plan_with_rows() -> Plan:
    """The sample, as the planner gives it the table's rows."""
    return replace(make_plan(), make_safe=LEAVING_ROWS)


def test_a_hold_says_what_is_due_for_what_was_used_today() -> None:
    play = Play(plan=plan_with_rows())
    play.finish_until("u1/fit/dry")
    play.do(c.HoldBatch(id=new_id()))
    card = card_for(play.state, play.plan, play.now_s)
    due = "Before you leave: Saw unplugged, blade down, guard and riving knife on."
    assert due in card.sentence
    assert "Air off" not in card.sentence
    # next day, held again without having used anything
    play.now_s += DAY
    play.do(c.ResumeBatch(id=new_id()))
    play.do(c.HoldBatch(id=new_id()))
    left = [row.id for row in make_safe_today(play.state, play.plan, play.now_s)]
    assert left == ["heater_off"]


def test_a_plan_without_rows_says_nothing() -> None:
    play = Play()
    play.do(c.HoldBatch(id=new_id()))
    assert "leave" not in card_for(play.state, play.plan, play.now_s).sentence


def test_every_evening_of_the_plan_ends_with_what_makes_the_shop_safe() -> None:
    plan = floor_plan(units=1)
    text = " ".join(" ".join(plan_lines(plan)).split())
    assert text.count("then make safe:") == 5
    assert "Nailer off its hose, magazine empty. Air off, tank drained." in text


def test_the_floor_says_air_off_after_the_nailer_and_not_after_the_saw() -> None:
    plan = floor_plan(units=1)
    nailed = make_safe_after(plan, ["u1/glue/tack_frame"])
    assert [row.id for row in nailed] == ["air_off", "heater_off"]
    sawn = make_safe_after(plan, [s.id for s in plan.steps if s.id.startswith("all/rip/")])
    assert [row.id for row in sawn] == ["saw_off", "heater_off"]
