"""The free hand beside the nailer, the look after the first tack, turning on tacks; drills."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.conditions.fasteners import read_size
from shopstep.model.fastener import FastenerSize
from shopstep.model.plan import Plan
from shopstep.model.step import Handhold, HoldKind, StepKind
from shopstep.planner import make_plan
from shopstep.present.facts import hand_words
from shopstep.safety.holding_rows import FREE_HAND, ON_TACKS, holding_words
from shopstep.solids import axes_of, handholds, stands_of
from shopstep.units import Length
from tests.floor import floor_plan, floor_request, floor_text
from tests.shelf_builds import build_texts, shelf_design

BRADS: dict[str, FastenerSize] = {
    title: size
    for title in ("18-gauge × 1 1/4 in galvanised brad", "18-gauge × 5/8 in galvanised brad")
    if (size := read_size("brad", title))
}


def held(build: str, step: str, keep: tuple[str, ...] = ()) -> tuple[Handhold, ...]:
    """What is worked out for one step of a shelf build; ``keep``: only rows into these parts."""
    design = shelf_design(build)
    kind = next(kind for kind in design.outline.kinds if kind.id == step)
    rows = tuple(row for row in kind.fasteners[0].rows if not keep or row.into in keep)
    kind = replace(kind, fasteners=(replace(kind.fasteners[0], rows=rows),))
    stands = stands_of(design.parts)
    return handholds(axes_of([kind], stands, BRADS), stands, FREE_HAND.in_mm)


def kind_of(plan: Plan, step: str) -> StepKind:
    return next(kind for kind in plan.kinds if kind.id == step)


def shelf_plan(build: str, *settings: tuple[str, str]) -> Plan:
    own, parents = build_texts(build)
    return make_plan(replace(floor_request(units=1), build=own, parents=parents, settings=settings))


def test_a_rail_nailed_at_one_end_is_held_at_the_other() -> None:
    """22 in long, brads 1/2 in from its back end: the hand on its front end is 18 in away."""
    (hold,) = held("screened-floor", "glue/tack_frame", ("rear_head", "back_rail"))
    assert (hold.how, hold.end, hold.part) == (HoldKind.FREE, "front end", "side rail")
    assert hold.nails == 4
    assert "side rail, at its front end, 12 in and more" in holding_words(hold)


def test_a_rail_nailed_at_both_ends_is_held_at_the_end_away_from_each_brad() -> None:
    (hold,) = held("screened-floor", "glue/tack_frame")
    assert (hold.how, hold.end, hold.nails) == (HoldKind.AWAY, "", 8)
    assert "at the end away from the brad" in holding_words(hold)


def test_a_strip_is_clamped_however_long_for_its_hand_would_lie_in_the_brads_plane() -> None:
    """3/4 in wide, so a hand of 3 1/2 in covers the line along which the brad turns."""
    cross, side = held("screened-floor", "screen/tack_strips")
    assert (cross.how, side.how) == (HoldKind.CLAMP, HoldKind.CLAMP)
    assert "clamp it down" in holding_words(cross)


def test_parts_that_are_held_alike_share_one_sentence_on_the_card() -> None:
    kinds = {kind.id: kind for kind in shelf_plan("screened-floor").kinds}
    assert hand_words(kinds["screen/tack_strips"]) == [
        "Nowhere on the cross strip or side strip is the other hand safe: clamp it down for all "
        "its brads and keep the hand off."
    ]
    tacked = kinds["glue/tack_frame"]
    assert hand_words(tacked) == [hold.words for hold in tacked.hands]


def test_what_is_nailed_from_the_side_and_cannot_be_held_lies_against_cleats() -> None:
    """A rail 12 in long has no place that is 12 in and half a hand away from both of its brads."""
    design = shelf_design("screened-floor")
    short = Length.inches(12)
    parts = tuple(
        replace(part, places=tuple(replace(p, depth=short) for p in part.places))
        if part.name == "side_rail"
        else part
        for part in design.parts
    )
    kind = next(kind for kind in design.outline.kinds if kind.id == "glue/tack_frame")
    rows = tuple(row for row in kind.fasteners[0].rows if row.into == "front_bearer")
    kind = replace(kind, fasteners=(replace(kind.fasteners[0], rows=rows),))
    stands = stands_of(parts)
    (hold,) = handholds(axes_of([kind], stands, BRADS), stands, FREE_HAND.in_mm)
    assert hold.how is HoldKind.CLEAT
    assert "one place for all 2 brads" in holding_words(hold)


@pytest.mark.parametrize(("build", "step", "caution"), [
    ("screened-floor", "glue/tack_frame", "brad_nailer"),
    ("screened-floor", "screen/tack_strips", "brad_nailer_short"),
    ("bird-box", "roof/tack", "brad_nailer_short"),
])  # fmt: skip
def test_the_plan_says_it_once_and_its_caution_agrees(
    build: str, step: str, caution: str
) -> None:  # fmt: skip
    kind = kind_of(shelf_plan(build), step)
    assert [each.id for each in kind.cautions] == [caution]
    assert kind.hands
    told = " ".join(hand_words(kind))
    assert all(hold.part in told for hold in kind.hands)
    assert len(hand_words(kind)) == len({hold.words.replace(hold.part, "") for hold in kind.hands})
    assert all(hold.words.endswith(".") for hold in kind.hands)


def test_after_the_first_tack_a_look_is_asked_for_and_only_where_there_are_more() -> None:
    kind = kind_of(floor_plan(), "glue/tack_frame")
    assert [check.name for check in kind.checks] == ["first_tack"]
    assert "still aligned" in kind.checks[0].text
    screws = kind_of(floor_plan(), "screw/frame")
    assert not screws.hands
    assert not any(check.name == "first_tack" for check in screws.checks)


def test_the_floor_that_is_turned_on_its_tacks_is_warned_of() -> None:
    kind = kind_of(floor_plan(), "glue/turn_over")
    assert ON_TACKS in kind.cautions
    assert len(kind.cautions) <= 3


def test_with_a_screw_in_or_the_clamps_waited_for_turning_needs_no_warning() -> None:
    request = floor_request(units=1)
    brad = "      - kind: brad\n        title: 18-gauge × 1 1/4 in galvanised brad"
    screw = '      - kind: screw\n        title: "#6 × 1 1/4 in screw"'
    assert floor_text().count(brad) == 1
    text = floor_text().replace(brad, screw)
    screwed = make_plan(replace(request, build=replace(request.build, text=text)))
    assert ON_TACKS not in kind_of(screwed, "glue/turn_over").cautions
    for build, step in (("roof", "sticks/spread"), ("hive-stand", "over/turn")):
        assert ON_TACKS not in kind_of(shelf_plan(build), step).cautions


def test_holes_that_a_build_leaves_out_are_those_of_the_screw_and_the_wood() -> None:
    request = floor_request(units=1)
    old = "        count: 14\n        pilot: 3/32 in\n        clearance: 11/64 in\n"
    assert floor_text().count(old) == 1
    text = floor_text().replace(old, "        count: 14\n")
    plan = make_plan(replace(request, build=replace(request.build, text=text)))
    (screw,) = kind_of(plan, "screw/frame").fasteners
    # pine: 70 % of the root, 0.131 in, is 0.092 in; nearest 3/32
    assert screw.pilot == Length.inches("3/32")
    assert screw.clearance == Length.inches("11/64")
