"""The hive stand at many sizes, against arithmetic that does not use the build file."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction as F
from functools import cache
from pathlib import Path

import pytest

from shopstep.design.resolve import Design, resolve_design
from shopstep.model.part import Part
from shopstep.model.plan import BuildText, Level, Plan
from shopstep.planner import make_plan
from shopstep.safety.tools import TOOLS
from shopstep.units import Length
from tests import schedule_checker
from tests.floor import BEGIN_S, SHOP, floor_request

IN = 25_400_000
NAME = "hive-stand.yaml"
FILE = Path(__file__).resolve().parent.parent / "builds" / NAME
WAYS = [(hives, feet) for hives in ("one", "two") for feet in ("treated", "pavers")]


@cache
def build() -> BuildText:
    """The shipped file."""
    return BuildText(NAME, FILE.read_text(encoding="utf-8"))


def design(**given_values: str) -> Design:
    """The stand at the given measurements and choices."""
    return resolve_design(build(), (), tuple(given_values.items()))


@cache
def plan(hives: str = "two", feet: str = "treated") -> Plan:
    """The plan of two stands."""
    return make_plan(replace(floor_request(("hives", hives), ("feet", feet)), build=build()))


def part(found: Design, name: str) -> Part:
    """One part by name."""
    return next(p for p in found.parts if p.name == name)


def inches(length: Length) -> F:
    """A length as exact inches."""
    return F(length.nm, IN)


def test_the_lumber_is_as_the_standard_has_it() -> None:
    """PS 20 size table, dry: 2×4 is 1 1/2 × 3 1/2 in, 2×6 is 1 1/2 × 5 1/2 in."""
    found = design()
    sold = {
        m.id: (inches(m.thickness), inches(m.sold_width), inches(m.sold_length))
        for m in found.materials
    }
    assert sold["two_by_four"] == (F(3, 2), F(7, 2), F(96))
    assert sold["two_by_six"] == sold["treated"] == (F(3, 2), F(11, 2), F(96))


def test_the_usual_stand_is_as_deep_as_the_published_box_and_as_wide_as_two() -> None:
    """Ten-frame box outside 19-7/8 × 16-1/4 (beekeeping press), hands' room of 6 in between."""
    rail, apron = part(design(), "rail"), part(design(), "apron")
    assert inches(rail.length) == 2 * F(65, 4) + 6
    front, back = rail.places
    assert inches(back.front + back.depth - front.front) == F(159, 8)
    assert inches(apron.length) == F(159, 8) - 3


@pytest.mark.parametrize(("hives", "feet"), WAYS)
def test_every_piece_has_its_mirror_image_on_the_other_side(hives: str, feet: str) -> None:
    found = design(hives=hives, feet=feet)
    across = dict(found.sizes)["stand_length"]
    for made in found.parts:
        here = {(p.front.nm, p.left.nm, p.bottom.nm) for p in made.places}
        there = {
            (p.front.nm, across.nm - p.left.nm - p.breadth.nm, p.bottom.nm) for p in made.places
        }
        assert here == there, made.name


@pytest.mark.parametrize(("hives", "feet"), WAYS)
def test_nothing_but_the_frame_carries_the_hive_and_only_feet_touch_the_ground(
    hives: str, feet: str
) -> None:
    found = design(hives=hives, feet=feet, top_height="15 in")
    tops = {p.name: {q.bottom + q.height for q in p.places} for p in found.parts}
    assert tops["rail"] == tops["apron"] == {Length.inches(15)}
    assert tops["leg"] == {Length.inches("59/4")}
    if feet == "treated":
        assert tops["foot"] == {part(found, "leg").places[0].bottom}
        assert part(found, "foot").places[0].bottom.nm == 0
    else:
        assert part(found, "leg").places[0].bottom == Length.inches(2)


def test_treated_wood_is_in_the_feet_only_and_the_rule_is_told() -> None:
    """EPA Consumer Information Sheet, reprinted in NAVFAC MO-312: none where honey may touch."""
    found = design()
    assert {p.name for p in found.parts if p.material == "treated"} == {"foot"}
    rules = next(k for k in found.outline.kinds if k.id == "feet/rules")
    for word in ("Mask", "goggles", "gloves", "never burn"):
        assert word in rules.text
    without = design(feet="pavers")
    assert all(p.material != "treated" for p in without.parts)
    assert not [k for k in without.outline.kinds if k.stage == "feet"]


@pytest.mark.parametrize("thick", [F(23, 16), F(3, 2), F(25, 16)])
def test_a_rail_of_the_longest_length_bends_less_than_a_sixteenth(thick: F) -> None:
    """Handbook formula of a beam under an even load: 5WL³/384EI, I = bh³/12."""
    high, load, stiffness = F(11, 2), 200, 1_000_000
    long = 14 * high
    bend = 5 * load * long**3 / (384 * stiffness * (thick * high**3 / 12))
    assert bend <= F(1, 16)
    fit = next(f for f in design().fits if f.name == "rail_stiff")
    assert fit.most == Length.inches(77)


def test_no_two_screws_of_a_corner_meet() -> None:
    """Heights below the top, in inches, of what is said in the steps: a gauge 10 screw is 0.19."""
    ends, apron = (F(1), F(9, 2)), (F(15, 8), F(29, 8))
    texts = {k.id: k.text for k in design().outline.kinds}
    assert "1 in from top and bottom edge" in texts["frame/drill"]
    assert "1 7/8 in and 3 5/8 in down" in texts["legs/screw_aprons"]
    assert min(abs(a - b) for a in ends for b in apron) > F(1, 2)
    from_end = dict(design().sizes)["leg_middle"]
    point_of_apron_screw = F(5, 2)
    assert inches(from_end) - point_of_apron_screw > F(1, 2)


def test_the_screws_end_inside_the_wood() -> None:
    leg = part(design(), "leg")
    assert F(5, 2) < 2 * inches(leg.thickness)
    screws = [f for k in design().outline.kinds for f in k.fasteners]
    assert sum(f.count for f in screws) == 8 + 4 + 12 + 8 + 8
    assert all(f.pilot is not None and f.clearance is not None for f in screws)


@pytest.mark.parametrize(("hives", "feet"), WAYS)
def test_the_plan_holds_all_must_fits_and_breaks_no_rule_of_the_calendar(
    hives: str, feet: str
) -> None:
    made = plan(hives, feet)
    assert all(fit.ok for fit in made.fits)
    assert not [f for f in made.findings if f.level is not Level.NOTE]
    wrong = schedule_checker.violations(
        made.steps, made.steps, made.waits, made.holds, SHOP, BEGIN_S
    )
    assert wrong == []


@pytest.mark.parametrize(("hives", "feet"), WAYS)
def test_sentences_are_short_and_power_tools_have_a_card_that_must_be_answered(
    hives: str, feet: str
) -> None:
    for kind in plan(hives, feet).kinds:
        assert "{" not in kind.text + kind.why
        assert len(kind.text) <= 260, kind.id
        if kind.tool and TOOLS[kind.tool].is_power:
            assert any(card.must_ack for card in kind.cautions), kind.id


def test_on_the_shop_floor_the_stand_lacks_the_pavers_it_will_get() -> None:
    for feet, high in (("treated", F(14)), ("pavers", F(12))):
        kinds = design(feet=feet).outline.kinds
        turn = next(k for k in kinds if k.id == "over/turn")
        check = next(c for c in turn.checks if c.name == "height")
        assert check.value is not None
        assert inches(check.value) == high
