"""What cannot be cut is said in a sentence, and nothing is planned for that part."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.milling import plan_milling
from shopstep.model.feature import Bevel, Face, Feature, Groove, Holes, Notch
from shopstep.model.part import Part
from shopstep.model.plan import Level
from shopstep.units import ZERO, Angle, Length
from tests.sample_floor import KERF, MATERIALS, X, Y, Z, bevel, inch, piece

AT_ORIGIN = (("0", "0", "0"),)


def board(*features: Feature, size: tuple[str, str, str] = ("20", "3", "3/4")) -> Part:
    """A board part that lies flat, front to back."""
    return piece("shelf", size, (X, Y, Z), AT_ORIGIN, *features)


def groove(**changes: object) -> Groove:
    """A good groove, with some fields made wrong."""
    good = Groove("slot", Face.TOP, Face.LEFT, inch("1"), inch("1/4"), inch("1/4"), ZERO, ZERO)
    return replace(good, **changes)  # type: ignore[arg-type]


WRONG = [
    (board(size=("20", "3", "1")), "thicker_than_board", "1 in thick, but 3/4 in pine board"),
    (board(size=("20", "4", "1/2")), "too_wide_to_resaw", "4 in wide"),
    (replace(board(), material="ply"), "other_than_sheet", "1/4 in exterior plywood is 1/4 in"),
    (replace(board(), material="steel"), "no_such_material", "made of steel"),
    (replace(board(groove()), material="cloth"), "feature_in_roll", "no groove can be cut"),
    (board(groove(), groove()), "feature_named_twice", "more than one groove named slot"),
    (board(groove(face=Face.INSIDE)), "no_inside", "is not handed"),
    (board(groove(reference=Face.BOTTOM)), "faces_not_square", "two faces that do not meet"),
    (board(groove(reference=Face.FRONT)), "feature_from_end", "told from an end"),
    (board(groove(width=inch("1/16"))), "groove_under_kerf", "the blade takes 1/8 in"),
    (board(groove(offset=inch("3"))), "feature_outside", "slot of the shelf leaves the wood"),
    (board(groove(depth=inch("3/4"))), "feature_outside", "leaves the wood"),
    (board(groove(stop_start=inch("20"))), "feature_outside", "stopped before it begins"),
    (board(bevel("b", Face.TOP, Face.LEFT, "4", "1/2")), "feature_outside", "leaves the wood"),
    (
        board(Holes("row", Face.TOP, Face.LEFT, inch("1"), inch("1/4"), 5, inch("5"))),
        "feature_outside",
        "row of the shelf leaves the wood",
    ),
    (
        board(Holes("row", Face.TOP, Face.LEFT, inch("1/8"), inch("1/2"), 1, ZERO)),
        "feature_outside",
        "leaves the wood",
    ),
    (
        board(Notch("way", Face.TOP, Face.LEFT, inch("4"), inch("3"))),
        "feature_outside",
        "leaves nothing of the part",
    ),
    (
        board(Notch("way", Face.TOP, Face.LEFT, inch("1/16"), inch("1"))),
        "feature_outside",
        "narrower than the blade",
    ),
]


@pytest.mark.parametrize(("part", "rule", "words"), WRONG)
def test_what_cannot_be_cut_stops_the_plan_with_a_sentence(
    part: Part, rule: str, words: str
) -> None:
    milling = plan_milling((part,), MATERIALS, 1, KERF)
    assert [(f.level, f.rule) for f in milling.findings] == [(Level.STOP, rule)]
    finding = milling.findings[0]
    assert words in finding.text
    assert finding.remedy
    assert (finding.where.name, finding.where.line) == ("shelf", 7)
    assert milling.operations == ()
    assert milling.setups == ()
    assert milling.blanks == ()


@pytest.mark.parametrize(
    ("cut", "words"),
    [
        (bevel("b", Face.LEFT, Face.FRONT, "3", "1/2"), "no mitre gauge turns"),
        (bevel("b", Face.TOP, Face.FRONT, "3", "1/2"), "no blade tilts"),
    ],
)
def test_an_end_too_steep_for_the_saw_is_warned_of(cut: Bevel, words: str) -> None:
    milling = plan_milling((board(cut),), MATERIALS, 1, KERF)
    assert [(f.level, f.rule) for f in milling.findings] == [(Level.WARN, "bevel_too_steep")]
    assert words in milling.findings[0].text
    assert "by hand" in milling.findings[0].remedy


def test_a_thin_stick_between_blade_and_fence_is_warned_of_and_a_slice_is_advised() -> None:
    milling = plan_milling((board(size=("20", "2", "7/16")),), MATERIALS, 1, KERF)
    assert [(f.level, f.rule) for f in milling.findings] == [
        (Level.WARN, "thin_between_blade_and_fence")
    ]
    assert "make it 3/4 in wide" in milling.findings[0].remedy
    thick = replace(MATERIALS[0], thickness=inch("3/2"))
    part = board(size=("20", "2", "3/4"))
    assert plan_milling((part,), (thick,), 1, KERF).findings == ()


@pytest.mark.parametrize(
    ("size", "stops", "words"),
    [
        ("20", ("1", "1"), "stopped at both ends"),
        ("11", ("1", "0"), "11 in is too short to push to a stop"),
    ],
)
def test_a_groove_that_no_saw_cuts_safely_is_told_to_be_routed(
    size: str, stops: tuple[str, str], words: str
) -> None:
    slot = groove(stop_start=inch(stops[0]), stop_end=inch(stops[1]))
    milling = plan_milling((board(slot, size=(size, "3", "3/4")),), MATERIALS, 1, KERF)
    assert [(f.level, f.rule) for f in milling.findings] == [(Level.WARN, "groove_for_router")]
    assert words in milling.findings[0].text
    assert milling.findings[0].remedy.startswith("rout it")


def test_findings_speak_the_units_of_the_person() -> None:
    part = board(size=("20", "3", "1"))
    text = plan_milling((part,), MATERIALS, 1, KERF, "mm").findings[0].text
    assert "25.4 mm thick" in text
    assert "19.1 mm" in text


def test_a_bevel_of_exactly_the_limit_is_no_finding() -> None:
    cut = Bevel("b", Face.TOP, Face.FRONT, inch("1/2"), inch("1/2"), Angle.degrees(45))
    assert plan_milling((board(cut),), MATERIALS, 1, KERF).findings == ()


def test_a_saw_without_kerf_is_still_answered() -> None:
    assert plan_milling((board(groove()),), MATERIALS, 1, Length(0)).findings == ()
