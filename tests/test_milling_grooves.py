"""Stopped grooves, cut again by a small model of blade, fence and stop block."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopstep.milling.faces import true_face
from shopstep.milling.grooves import cut_groove, cut_notch, ramp_length
from shopstep.model.feature import Face, Groove, Notch
from shopstep.model.part import Hand, Part
from shopstep.units import ZERO, Length
from tests.sample_floor import KERF, X, Y, Z, inch, piece
from tests.test_milling_faces import end_that_leads

BLADE_RADIUS = Fraction(5)
"""Half of the usual 10 in blade, inches."""


def rail(hand: Hand, start: str, end: str) -> tuple[Part, Groove]:
    """A rail 20 in long with a groove stopped that far from its front and back end."""
    groove = Groove(
        "slot", Face.INSIDE, Face.BOTTOM, inch("1/2"), inch("1/4"), inch("3/8"), inch(start),
        inch(end),
    )  # fmt: skip
    return piece("rail", ("20", "3", "3/4"), (X, Z, Y), (), groove, hand=hand), groove


def inches(value: object) -> Fraction:
    """A setting as exact inches."""
    assert isinstance(value, Length)
    return Fraction(value.nm, 25_400_000)


def cut_by_saw(part: Part, groove: Groove) -> tuple[Fraction, Fraction, Fraction]:
    """What the settings alone leave: uncut at start and end face, and wood below the groove.

    The end that leads points away from the person, as ``test_milling_faces`` finds by turning the
    part about. The open end leads; at the block the near side of the cut stands ``stop`` behind it.
    """
    draft = cut_groove(part, groove, KERF)
    settings = {s.name: inches(s.value) for s in draft.settings}
    top = "top edge to the fence" in draft.note
    fence_face = Face.TOP if top else Face.BOTTOM
    leading = end_that_leads(true_face(groove.face, part.hand), fence_face)
    assert (f"{leading} end first" in draft.note) is ("stop" in settings)
    uncut = inches(part.length) - settings.get("stop", inches(part.length))
    below = settings["fence"]
    if top:
        below = inches(part.width) - settings["fence"] - settings["width"]
    return (*((uncut, Fraction(0)) if leading is Face.BACK else (Fraction(0), uncut)), below)


@pytest.mark.parametrize("hand", list(Hand))
@given(stop=st.integers(0, 60), at_front=st.booleans())
def test_saw_and_stop_block_leave_uncut_what_the_drawing_says(
    hand: Hand, stop: int, at_front: bool
) -> None:
    """And the groove lies as far from the bottom edge, whichever edge runs along the fence."""
    start, end = (stop, 0) if at_front else (0, stop)
    part, groove = rail(hand, f"{start}/8", f"{end}/8")
    wanted = (Fraction(start, 8), Fraction(end, 8), Fraction(1, 2))
    assert cut_by_saw(part, groove) == wanted


def test_both_hands_begin_at_the_open_end_each_with_its_own_edge_to_the_fence() -> None:
    left = cut_groove(*rail(Hand.LEFT, "2", "0"), KERF)
    right = cut_groove(*rail(Hand.RIGHT, "2", "0"), KERF)
    assert left.note == "marked face down; bottom edge to the fence; back end first"
    assert right.note == "marked face down; top edge to the fence; back end first"
    assert [s.value for s in left.settings if s.name in ("fence", "stop")] == [
        inch("1/2"),
        inch("18"),
    ]
    # 3 in wide, the groove 1/4 in wide begins 1/2 in from the bottom
    assert right.settings[0].value == inch("2 1/4")


@given(st.integers(1, 64 * 4))
def test_the_ramp_before_the_stop_is_half_the_chord_of_the_blade(depth_64ths: int) -> None:
    depth = Fraction(depth_64ths, 64)
    ramp = inches(ramp_length(Length.inches(depth)))
    # Pythagoras in the blade: (R - d)² + ramp² = R²
    assert float((BLADE_RADIUS - depth) ** 2 + ramp**2) == pytest.approx(float(BLADE_RADIUS**2))


def test_a_groove_stopped_at_both_ends_is_routed_along_its_reference_edge() -> None:
    draft = cut_groove(*rail(Hand.RIGHT, "2", "1"), KERF)
    assert (draft.kind, draft.tool) == ("rout", "router")
    told = {s.name: s.value for s in draft.settings}
    assert told == {
        "guide": inch("1/2"), "width": inch("1/4"), "depth": inch("3/8"),
        "stop start": inch("2"), "stop end": inch("1"),
    }  # fmt: skip
    assert draft.note == "marked face up; guide along the bottom edge; clamped"


def test_a_through_groove_has_no_stop_and_can_be_cut_in_a_long_stick() -> None:
    draft = cut_groove(*rail(Hand.LEFT, "0", "0"), KERF)
    assert [s.name for s in draft.settings] == ["fence", "height", "width", "last pass"]
    wanted = [inch("1/2"), inch("3/8"), inch("1/4"), inch("5/8")]
    assert [s.value for s in draft.settings] == wanted
    assert draft.on_stick


@pytest.mark.parametrize(("width", "last"), [("1/8", None), ("9/64", "1/64"), ("3/8", "1/4")])
def test_the_last_pass_of_a_single_blade_ends_at_the_far_wall(width: str, last: str | None) -> None:
    groove = Groove("slot", Face.FRONT, Face.BOTTOM, ZERO, inch(width), inch("1/4"), ZERO, ZERO)
    part = piece("rail", ("20", "3", "3/4"), (Y, Z, X), (), groove)
    told = {s.name: s.value for s in cut_groove(part, groove, KERF).settings}
    assert told.get("last pass") == (None if last is None else inch(last))
    if last is not None:
        # the blade reaches a kerf beyond the fence setting, seen from the fence
        assert inch(last) + KERF == inch(width)


def test_one_stop_block_puts_the_notch_in_the_middle() -> None:
    notch = Notch("way", Face.FRONT, Face.BOTTOM, inch("4"), inch("3/8"))
    part = piece("block", ("14 5/8", "3/4", "3/4"), (Y, X, Z), (), notch)
    values = {s.name: s.value for s in cut_notch(part, notch, KERF).settings}
    stop = values["stop"]
    assert isinstance(stop, Length)
    assert stop + inch("4") + stop == part.length
    assert values["height"] == inch("3/8")
