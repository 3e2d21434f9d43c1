"""Rabbets, dadoes, fingers and pockets: settings, words and what cannot be cut."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopstep.milling import Milling, derive_steps, plan_milling
from shopstep.milling.fingers import count_cuts
from shopstep.model.feature import Dado, Face, Feature, Fingers, Rabbet, Recess
from shopstep.model.operation import Operation
from shopstep.model.part import Part
from shopstep.model.plan import Level
from shopstep.model.step import StepKind
from shopstep.units import ZERO, Length
from tests.sample_floor import KERF, MATERIALS, X, Y, Z, inch, piece

IN = 25_400_000
WALL = ("16 1/4", "9 1/2", "3/4")
STEP = Rabbet("rest", Face.BACK, Face.TOP, inch("5/8"), inch("3/8"), ZERO, ZERO)
CORNERS = tuple(
    Rabbet(f"corner_{end}", Face.BACK, end, inch("3/4"), inch("3/8"), ZERO, ZERO)
    for end in (Face.LEFT, Face.RIGHT)
)


def wall(*features: Feature, size: tuple[str, str, str] = WALL) -> Part:
    """A front wall: its length from left to right, standing on edge."""
    return piece("wall", size, (Y, Z, X), (("0", "0", "0"),), *features)


def milled(*parts: Part, units: int = 2) -> Milling:
    """The milling of some parts without a stop."""
    found = plan_milling(parts, MATERIALS, units, KERF)
    assert not [finding for finding in found.findings if finding.level is Level.STOP]
    return found


def operation(found: Milling, kind: str) -> Operation:
    """The first operation of a kind."""
    return next(op for op in found.operations if op.kind == kind)


def settings(op: Operation) -> dict[str, Length]:
    """Its settings that are lengths."""
    return {s.name: s.value for s in op.settings if isinstance(s.value, Length)}


def step(found: Milling, stage: str, *parts: Part) -> StepKind:
    """The step kind of a stage."""
    kinds, _ = derive_steps(found, parts, "in", ())
    return next(kind for kind in kinds if kind.stage == stage)


def test_a_rabbet_along_the_edge_lies_face_down_with_that_edge_to_the_fence() -> None:
    found = milled(wall(STEP))
    cut = operation(found, "rabbet")
    assert settings(cut) == {"width": inch("5/8"), "height": inch("3/8")}
    assert cut.tool == "table_saw"
    text = step(found, "rabbet", wall(STEP)).text
    assert "Saw unplugged, guard and riving knife off." in text
    assert "Scrap board on the fence" in text
    assert "Back face down, top edge to the fence: 2 × wall." in text


def test_both_ends_are_one_setup_and_the_pieces_are_counted_once() -> None:
    part = wall(*CORNERS)
    found = milled(part, units=4)
    setups = [setup for setup in found.setups if setup.kind == "rabbet_end"]
    assert [len(setup.operations) for setup in setups] == [2]
    kind = step(found, "rabbet_end", part)
    assert "4 × wall." in kind.text
    assert "backer board" in kind.text
    told = {number.label: number.value for number in kind.numbers}
    assert (told["pieces"], told["cuts"]) == (4, 8)


def test_the_guard_goes_back_on_after_any_of_these_cuts() -> None:
    part = wall(STEP, *CORNERS)
    kinds, steps = derive_steps(milled(part), (part,), "in", ())
    order = [kind.stage for kind in kinds]
    assert order[-1] == "guard"
    assert order.index("rabbet") < order.index("guard")
    assert steps[-1].behind == steps[-2].id


def test_a_stopped_rabbet_is_routed_and_never_lowered_on_to_the_blade() -> None:
    stopped = replace(STEP, stop_start=inch("1"))
    found = plan_milling((wall(stopped),), MATERIALS, 1, KERF)
    assert [f.rule for f in found.findings] == ["rabbet_for_router"]
    cut = operation(found, "rout_rabbet")
    assert cut.tool == "router"
    text = step(found, "rout_rabbet", wall(stopped)).text
    assert "1 in uncut at the left end" in text


def test_a_dado_is_cut_on_the_gauge_with_a_stop() -> None:
    dado = Dado("shelf", Face.BACK, Face.LEFT, inch("4"), inch("3/4"), inch("1/4"))
    found = milled(wall(dado))
    cut = operation(found, "dado")
    assert settings(cut) == {"stop": inch("4"), "width": inch("3/4"), "height": inch("1/4")}
    assert "Back face down, left end to the stop: 2 × wall." in step(found, "dado", wall(dado)).text


def test_a_dado_wider_than_a_dado_set_is_said_to_take_passes() -> None:
    wide = Dado("lap", Face.BACK, Face.LEFT, inch("4"), inch("3"), inch("1/4"))
    at_once = replace(wide, width=inch("13/16"))
    (finding,) = milled(wall(wide)).findings
    assert (finding.level, finding.rule) == (Level.WARN, "dado_in_passes")
    assert "3 in wide, more than a dado set of 13/16 in cuts at once" in finding.text
    assert not milled(wall(at_once)).findings


def pair(pitch: str, width: str) -> tuple[Part, Part]:
    """Two boards of a corner: one begins with a finger, the other with a slot."""

    def fingers(begin: str) -> tuple[Fingers, ...]:
        return tuple(
            Fingers(f"corner_{end}", end, inch(pitch), inch("3/4"), begin, Face.BOTTOM)
            for end in (Face.LEFT, Face.RIGHT)
        )

    size = ("16", width, "3/4")
    a = piece("front", size, (Y, Z, X), (("0", "0", "0"),), *fingers("finger"))
    b = piece("side", size, (Y, Z, X), (("1", "0", "0"),), *fingers("slot"))
    return a, b


def test_both_boards_of_a_box_joint_share_one_setup() -> None:
    parts = pair("3/4", "9")
    found = milled(*parts)
    (setup,) = [setup for setup in found.setups if setup.kind == "fingers"]
    assert len(setup.operations) == 4
    text = step(found, "fingers", *parts).text
    assert "bottom edge to the key" in text
    assert "spacer at the key" in text


@given(pitch=st.integers(8, 64), steps=st.integers(2, 40))
def test_slots_of_one_board_are_the_fingers_of_the_other(pitch: int, steps: int) -> None:
    wide = Fraction(pitch * steps, 64)
    a, b = pair(str(Fraction(pitch, 64)), str(wide))
    own = [count_cuts(p, f) for p in (a, b) for f in p.features[:1] if isinstance(f, Fingers)]
    slots_of_a = [n for n in range(steps) if n % 2 == 1]
    slots_of_b = [n for n in range(steps) if n % 2 == 0]
    assert own == [len(slots_of_a), len(slots_of_b)]
    assert sum(own) == steps


def test_fingers_that_do_not_come_out_name_the_widths_that_would() -> None:
    found = plan_milling(pair("3/4", "9 5/8"), MATERIALS, 1, KERF)
    finding = found.findings[0]
    assert (finding.level, finding.rule) == (Level.WARN, "last_finger")
    assert "the last one is only 5/8 in" in finding.text
    assert finding.remedy == "it comes out whole at 9 in and at 9 3/4 in"


def test_a_pocket_is_routed_in_a_template_and_never_plunged_at_the_saw() -> None:
    hold = Recess("hold", Face.FRONT, Face.TOP, inch("3"), inch("4"), inch("7/8"), inch("3/8"))
    found = milled(wall(hold))
    cut = operation(found, "recess")
    assert cut.tool == "router"
    text = step(found, "recess", wall(hold)).text
    assert "Template for 4 in × 7/8 in, centred, pocket 3 in from the edge" in text
    assert "Front face up, from the top edge, clamped: 2 × wall." in text


WRONG = [
    (replace(STEP, depth=inch("3/4")), "feature_outside", "leaves nothing"),
    (replace(STEP, depth=inch("11/16")), "thin_lip", "lip thinner than 1/8 in"),
    (replace(STEP, face=Face.LEFT), "feature_from_end", "told from an end"),
    (
        Dado("d", Face.BACK, Face.TOP, inch("4"), inch("3/4"), inch("1/4")),
        "dado_along",
        "runs across, but is told from an edge",
    ),
    (
        Dado("d", Face.BACK, Face.LEFT, inch("16"), inch("3/4"), inch("1/4")),
        "feature_outside",
        "leaves the wood",
    ),
    (
        Dado("d", Face.BACK, Face.LEFT, inch("4"), inch("1/16"), inch("1/4")),
        "feature_outside",
        "narrower than the blade",
    ),
    (
        Fingers("f", Face.TOP, inch("3/4"), inch("3/4"), "finger", Face.BOTTOM),
        "faces_not_square",
        "do not meet",
    ),
    (
        Fingers("f", Face.TOP, inch("3/4"), inch("3/4"), "finger", Face.BACK),
        "feature_from_end",
        "told from no end",
    ),
    (
        Fingers("f", Face.LEFT, inch("1/16"), inch("3/4"), "finger", Face.BOTTOM),
        "feature_outside",
        "narrower than the blade",
    ),
    (
        Recess("r", Face.FRONT, Face.TOP, inch("3"), inch("4"), inch("7"), inch("3/8")),
        "feature_outside",
        "leaves the wood",
    ),
    (
        Recess("r", Face.FRONT, Face.TOP, inch("3"), inch("4"), inch("1"), inch("5/8")),
        "thin_floor",
        "only 1/8 in of wood",
    ),
]


@pytest.mark.parametrize(("feature", "rule", "words"), WRONG)
def test_what_cannot_be_cut_is_said(feature: Feature, rule: str, words: str) -> None:
    finding = plan_milling((wall(feature),), MATERIALS, 1, KERF).findings[0]
    assert finding.rule == rule
    assert words in finding.text
