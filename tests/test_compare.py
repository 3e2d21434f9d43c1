"""Two designs side by side: what is listed is what differs, and nothing else."""

from __future__ import annotations

import json
from typing import Any

from shopstep.model.plan import Plan
from shopstep.planner import make_plan, plan_alike
from shopstep.present.compare import compare_plans
from shopstep.present.compare_text import comparison_document, comparison_lines
from shopstep.units import Length
from tests.floor import floor_plan, floor_request, floor_text


def changed_plan(*changes: tuple[str, str]) -> Plan:
    """The floor with its text changed; each piece of text has to be there."""
    text = floor_text()
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return make_plan(floor_request(text=text))


def document(old: Plan, new: Plan) -> dict[str, Any]:
    """The comparison as a program reads it."""
    read: dict[str, Any] = json.loads(json.dumps(comparison_document(compare_plans(old, new))))
    return read


def test_a_plan_and_itself_do_not_differ() -> None:
    found = compare_plans(floor_plan(), floor_plan())
    assert found.is_same
    assert comparison_lines(found)[-1].endswith("nothing changes.")
    assert document(floor_plan(), floor_plan())["same"] is True


def test_a_longer_landing_changes_just_the_parts_that_reach_over_it() -> None:
    """By hand: side rails and landing board grow by 1/2 in; all that lies behind moves back."""
    found = compare_plans(floor_plan(), changed_plan(("landing: 2 in", "landing: 2 1/2 in")))
    grown = {}
    for change in found.parts:
        assert change.word == "changed"
        assert change.old is not None
        assert change.new is not None
        grown[change.new.name] = (
            change.new.length - change.old.length,
            change.new.width - change.old.width,
        )
    half, none = Length.inches("1/2"), Length(0)
    assert grown == {"side_rail": (half, none), "landing_board": (none, half)}
    assert {change.new.hand for change in found.parts if change.new} >= {"left", "right"}
    lines = "\n".join(comparison_lines(found, 200))
    assert "changed: landing board, 14 3/4 in × 2 3/4 in × 3/4 in → 14 3/4 in × 3 1/4 in" in lines
    assert "gone: table saw, crosscut: stop 21 7/8 in" in lines
    assert "added: table saw, crosscut: stop 22 3/8 in" in lines


def test_a_part_and_a_step_that_go_are_gone_with_their_work() -> None:
    text = floor_text()
    step = text[text.index("  glue/spread_stiffener:") : text.index("  glue/unclamp_frame:")]
    part = text[text.index("  stiffener:\n    title") : text.index("  screen:\n    title")]
    joint = text[text.index("  stiffener_face:") : text.index("  pull_face:")]
    fit = text[text.index("  stands_on_rails:") : text.index("  entrance_fits:")]
    wait = "      - {step: glue/close_stiffener, wait: clamp}\n"
    new = changed_plan((step, ""), (part, ""), (joint, ""), (fit, ""), (wait, ""))
    found = compare_plans(floor_plan(), new)
    assert [(c.word, c.old.name) for c in found.parts if c.old] == [("gone", "stiffener")]
    assert not [c for c in found.parts if c.old is None]
    gone = {c.old.id for c in found.steps if c.old is not None and c.new is None}
    assert {"glue/spread_stiffener", "glue/close_stiffener"} <= gone
    old_load, new_load = found.loads
    assert new_load.hands_on_s < old_load.hands_on_s
    assert old_load.hands_on_s == sum(step.duration_s for step in floor_plan().steps)
    back = compare_plans(new, floor_plan())
    assert [(c.word, c.new.name) for c in back.parts if c.new] == [("added", "stiffener")]


def test_more_screws_change_the_line_of_the_shopping_list() -> None:
    new = changed_plan(("        count: 14\n", "        count: 20\n"))
    found = document(floor_plan(), new)
    (line,) = found["buy"]
    assert line["change"] == "changed"
    # 14 and 20 for each of two units, and a tenth to spare
    assert (line["old"]["quantity"], line["new"]["quantity"]) == (31, 44)
    assert [step["id"] for step in found["steps"]] == ["screw/frame"]


def test_a_fit_that_breaks_is_weak_now_and_was_not_before() -> None:
    new = changed_plan(("entrance_space: 3/4 in", "entrance_space: 1 in"))
    found = compare_plans(floor_plan(), new)
    assert "open_entrance" in {fit.name for fit in found.loads[1].weak if not fit.ok}
    assert any("open entrance 1 in, broken" in line for line in comparison_lines(found, 200))
    weak = document(floor_plan(), new)["weak_fits"]["new"]
    assert [fit["ok"] for fit in weak if fit["name"] == "open_entrance"] == [False]


def test_both_designs_are_made_for_the_old_one_s_measurements_where_both_ask() -> None:
    text = floor_text().replace("usual: 16 1/4 in", "usual: 18 in", 1)
    old, new = plan_alike(floor_request(), floor_request(text=text))
    values = [{m.name: m.value for m in plan.measured} for plan in (old, new)]
    assert values[0] == values[1]
    assert compare_plans(old, new).is_same
    old, new = plan_alike(floor_request(text=text), floor_request())
    assert {m.name: m.value for m in new.measured}["box_width"] == Length.inches(18)


def test_a_choice_of_the_old_design_holds_for_the_new_one_where_it_has_it() -> None:
    across = floor_request(("entrance_side", "long"))
    old, new = plan_alike(across, floor_request())
    assert dict(old.choices) == dict(new.choices) == {"entrance_side": "long"}
    renamed = (
        floor_text()
        .replace("      long: the long", "      broad: the long")
        .replace("is short", "is short")
    )
    old, new = plan_alike(across, floor_request(text=renamed))
    assert dict(new.choices) == {"entrance_side": "short"}


def test_a_usual_value_stays_a_usual_value_in_both_plans() -> None:
    old, new = plan_alike(floor_request(), floor_request())
    assert all(item.usual for plan in (old, new) for item in plan.measured)


def test_the_document_gives_both_sizes_exactly_and_names_what_is_cut_in_another_way() -> None:
    slope = "front_slope: {kind: bevel, face: top, edge: front, back: "
    new = changed_plan((f"{slope}entrance_space", f"{slope}1/2 in"))
    found = document(floor_plan(), new)
    assert {part["name"] for part in found["parts"]} == {"side_rail"}
    (left,) = [part for part in found["parts"] if part["hand"] == "left"]
    assert left["old"]["length"] == left["new"]["length"]
    assert left["old"]["length"]["nm"] == 555_625_000
    lines = "\n".join(comparison_lines(compare_plans(floor_plan(), new), 200))
    assert "cut in another way: front slope" in lines


def test_a_change_too_small_to_be_shown_is_said_to_be_one() -> None:
    new = changed_plan(("strip: 1/4 in\n", "strip: 1/4 in + 0.01 mm\n"))
    lines = comparison_lines(compare_plans(floor_plan(), new), 200)
    (strip,) = [line for line in lines if "cross strip" in line]
    assert strip.strip() == (
        "changed: cross strip, 14 3/4 in × 3/4 in × 1/4 in; by less than is shown"
    )
