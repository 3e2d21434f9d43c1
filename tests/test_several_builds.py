"""Several builds in the same evenings: every part as if alone; hands, stock and nights shared."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import cache

import pytest

from shopstep.design.merging import tag_of
from shopstep.model.plan import BuildFileError, Limit, OtherBuild, Plan, PlanRequest
from shopstep.model.step import Scope
from shopstep.paper.sheets import Source, overview
from shopstep.planner import make_plan
from shopstep.present.evenings import plan_evenings
from shopstep.present.facts import unit_words
from shopstep.present.plan_text import plan_lines
from shopstep.session import commands as c
from shopstep.session.commands import Refusal
from shopstep.units import parse_length
from tests.floor import BEGIN_S, SHOP, floor_request
from tests.schedule_checker import violations
from tests.session_bench import new_id
from tests.shelf_builds import build_texts
from tests.test_following import UNCLAMP, WAY, open_bench, put_right_steps, walk

NAMES = (("screened-floor", 2), ("hive-body", 1), ("inner-cover", 2))


def several(*names: tuple[str, int], tags: tuple[str, ...] = ()) -> PlanRequest:
    """A request for these builds; tags are the names where none are given."""
    (first, units), *others = names
    text, parents = build_texts(first)
    return replace(
        floor_request(units=units),
        build=text,
        parents=parents,
        others=tuple(
            OtherBuild(tag, *build_texts(name), (), count)
            for (name, count), tag in zip(others, tags or [n for n, _ in others], strict=True)
        ),
    )


def alone(name: str, units: int) -> Plan:
    """The plan of one build."""
    return made(several((name, units)))


@cache
def made(request: PlanRequest) -> Plan:
    """Made once."""
    return make_plan(request)


@pytest.fixture(scope="module")
def together() -> Plan:
    """Three builds in one plan."""
    return made(several(*NAMES))


@pytest.mark.parametrize(("name", "units"), NAMES)
def test_every_part_is_as_if_its_build_were_made_alone(
    together: Plan, name: str, units: int
) -> None:
    tag = "" if name == "screened-floor" else name
    single = alone(name, units)
    sizes = {
        (p.name.partition("@")[0], p.hand): (
            p.length, p.width, p.thickness, p.count(together.units),
        )
        for p in together.parts
        if tag_of(p.name) == tag
    }  # fmt: skip
    wanted = {
        (p.name, p.hand): (p.length, p.width, p.thickness, p.count(units)) for p in single.parts
    }
    assert sizes == wanted


def test_every_piece_is_cut_once_from_stock_that_is_shared(together: Plan) -> None:
    needed = (k for piece in together.stock for k in piece.cuts if not k.spare)
    cut = Counter((k.part, k.hand) for k in needed)
    assert cut == {(p.name, p.hand): p.count(together.units) for p in together.parts}
    # all that is the same stock is one stock: fewer boards than three lists would have
    bought = sum(line.quantity for line in together.buy if line.unit == "board")
    apart = sum(
        line.quantity for name, n in NAMES for line in alone(name, n).buy if line.unit == "board"
    )
    assert bought <= apart
    lists = Counter(line.item for line in together.buy)
    assert max(lists.values()) == 1, "one buy list, no line twice"


def test_steps_of_a_unit_are_those_of_its_build(together: Plan) -> None:
    scopes = {kind.id: kind.scope for kind in together.kinds}
    owners = {1: "", 2: "", 3: "hive-body", 4: "inner-cover", 5: "inner-cover"}
    seen = Counter(step.unit for step in together.steps if step.unit is not None)
    assert set(seen) == set(owners)
    for step in together.steps:
        if step.unit is not None:
            assert step.kind.partition("@")[2] == owners[step.unit], step.id
        else:
            assert scopes[step.kind] is Scope.BATCH


def test_the_plan_keeps_every_rule_and_takes_fewer_evenings(together: Plan) -> None:
    wrong = violations(
        together.steps, together.steps, together.waits, together.holds, SHOP, BEGIN_S
    )
    assert wrong == []
    one_after_the_other = sum(len(plan_evenings(alone(name, n))) for name, n in NAMES)
    assert len(plan_evenings(together)) < one_after_the_other
    assert together.least_evenings <= len(plan_evenings(together))


def test_the_same_cut_in_two_builds_is_one_setup(together: Plan) -> None:
    settings = Counter((s.kind, s.tool, s.settings) for s in together.setups)
    single = sum(len(alone(name, n).setups) for name, n in NAMES)
    assert len(together.setups) < single
    assert len(settings) <= len(together.setups)


def test_the_size_overall_says_whose_it_is(together: Plan) -> None:
    """One build's size must not read as that of all that is made."""
    (line,) = [line for line in plan_lines(together) if line.startswith("Overall")]
    assert line.startswith(f"Overall ({together.makes[0].title} alone): ")
    sizes = overview(Source(together))["sizes"]
    assert isinstance(sizes, list)
    assert all(f"({together.makes[0].title} alone)" in side for side, _ in sizes)


def test_the_bench_says_whose_unit_it_is(together: Plan) -> None:
    step = next(s for s in together.steps if s.unit == 5)
    assert unit_words(step, together) == "unit 5, Insulated inner cover 2 of 2"
    assert [made.units for made in together.makes] == [(1, 2), (3,), (4, 5)]


def test_two_of_a_kind_with_other_sizes_stay_apart_in_a_session_to_its_end() -> None:
    text, parents = build_texts("screened-floor")
    wide = OtherBuild("screened-floor-2", text, parents, (("box_width", "16 1/2 in"),), 1)
    bench, clock = open_bench(replace(several(("screened-floor", 1)), others=(wide,)))
    widths = {p.name: p.width for p in bench.plan.parts if p.name.startswith("tray")}
    assert widths["tray@screened-floor-2"] - widths["tray"] == parse_length("1/4 in")
    # one unit's way is read narrow: only its own block is put right
    unclamp = f"u2/{UNCLAMP}@screened-floor-2"
    walk(bench, clock, unclamp, {unclamp: {WAY: "14 15/16 in"}})
    assert put_right_steps(bench.plan) == ["u2/putright/entrance_block@screened-floor-2"]
    walk(bench, clock, "")
    assert bench.card().mode.value == "complete"


def test_a_spoiled_piece_of_one_build_is_made_again_for_its_unit() -> None:
    bench, clock = open_bench(several(("inner-cover", 1), ("roof", 1)))
    part = next(p for p in bench.plan.parts if tag_of(p.name) == "roof" and p.features == ())
    cuts = {op.id for op in bench.plan.operations if op.part == part.name}
    for setup in bench.plan.setups:
        if cuts & set(setup.operations):
            walk(bench, clock, f"all/{setup.id}")
    hand = part.hand.value if part.hand else ""
    outcome = bench.do(c.SpoilPart(id=new_id(), part=part.name, hand=hand, unit=2))
    assert not isinstance(outcome, Refusal), outcome
    again = [step.id for step in bench.plan.steps if step.id.endswith("~2")]
    assert again
    assert all("@roof" in step for step in again)


def test_a_spoiled_piece_is_one_of_the_build_that_its_unit_is_of() -> None:
    bench, clock = open_bench(several(("inner-cover", 1), ("inner-cover", 1), tags=("second",)))
    name = next(p.name for p in bench.plan.parts if tag_of(p.name) == "" and not p.hand)
    cuts = {op.id for op in bench.plan.operations if op.part.partition("@")[0] == name}
    for setup in bench.plan.setups:
        if cuts & set(setup.operations):
            walk(bench, clock, f"all/{setup.id}")
    other = bench.do(c.SpoilPart(id=new_id(), part=f"{name}@second", hand="", unit=1))
    assert isinstance(other, Refusal)
    assert "in unit 1" in other.text
    told = bench.do(c.SpoilPart(id=new_id(), part=name, hand="", unit=2))
    assert not isinstance(told, Refusal)
    assert f"the {name.replace('_', ' ')} of unit 2 is made again" in told.card.notice
    assert [(remake.part, remake.unit) for remake in bench.plan.remakes] == [(f"{name}@second", 2)]


def test_a_batch_of_several_builds_keeps_its_plan_when_one_changes() -> None:
    bench, _ = open_bench(several(("inner-cover", 1), ("roof", 1)))
    assert len(bench.builds()) == 2
    texts = tuple((b.name, b.text) for b in bench.builds())
    outcome = bench.move(c.MoveToBuild(id=new_id(), build_digest="d" * 64, texts=texts))
    assert isinstance(outcome, Refusal)
    assert outcome.rule == "several_builds"


def test_a_label_holds_for_the_same_glue_in_all_builds() -> None:
    request = several(("screened-floor", 1), ("hive-body", 1))
    plan = make_plan(replace(request, labels=(("wood_glue.cure", "12 h"),)))
    cures = {wait.seconds for wait in plan.waits if wait.kind == "cure"}
    assert cures == {12 * 3600}
    with pytest.raises(BuildFileError):
        make_plan(replace(request, labels=(("wood_glu.cure", "12 h"),)))


def test_too_many_units_together_are_refused() -> None:
    with pytest.raises(BuildFileError) as problem:
        make_plan(several(("screened-floor", 150), ("hive-body", 100)))
    assert "a batch of 250 units cannot be planned" in problem.value.text


def test_a_limit_for_a_fit_of_none_of_the_builds_is_refused() -> None:
    request = several(("screened-floor", 1), ("hive-body", 1))
    with pytest.raises(BuildFileError) as problem:
        make_plan(replace(request, limits=(Limit("mouse_gaet", "1/4 in..5/16 in"),)))
    assert "no fit of any of these builds" in problem.value.text
    assert "mouse_gate" in problem.value.text
    make_plan(replace(request, limits=(Limit("mouse_gate", "1/4 in..1/2 in"),)))
    make_plan(replace(request, limits=(Limit("mouse_gaet", "1/4 in..", typed=False),)))
