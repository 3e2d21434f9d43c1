"""Stopped grooves, cut again by a small model of blade, fence and stop block."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopstep.milling.faces import end_faces, leading_end
from shopstep.milling.grooves import cut_groove, cut_notch
from shopstep.model.feature import Face, Groove, Notch
from shopstep.model.part import Hand, Part
from shopstep.units import ZERO, Length
from tests.sample_floor import KERF, X, Y, Z, inch, piece

CHORD = Fraction(13, 4)
"""Any length will do: how long a slot the raised blade leaves at table level, inches."""


def rail(hand: Hand, start: str, end: str) -> tuple[Part, Groove]:
    """A rail 20 in long with a groove stopped that far from its front and back end."""
    groove = Groove(
        "slot", Face.INSIDE, Face.BOTTOM, inch("1/2"), inch("1/4"), inch("3/8"), inch(start),
        inch(end),
    )  # fmt: skip
    return piece("rail", ("20", "3", "3/4"), (X, Z, Y), (), groove, hand=hand), groove


def cut_by_saw(part: Part, groove: Groove) -> tuple[Fraction, Fraction]:
    """Uncut inches at the start and the end face, from the settings of the operation alone.

    ``lead`` is how far the leading end has passed the near end of the cut; the blade reaches from
    there over CHORD. A block beyond stops ``lead``; a block before it stops the trailing end.
    """
    settings = {s.name: s.value for s in cut_groove(part, groove, KERF).settings}
    note = cut_groove(part, groove, KERF).note
    length = Fraction(part.length.nm, 25_400_000)
    ahead, behind = settings.get("stop ahead"), settings.get("stop behind")
    if "stop" in settings:
        ahead = settings["stop"] if "block beyond" in note else None
        behind = settings["stop"] if "block before" in note else None
    uncut_first, uncut_last = Fraction(0), Fraction(0)
    if isinstance(behind, Length):
        lead = CHORD - Fraction(behind.nm, 25_400_000) + length
        uncut_first = lead - CHORD
    if isinstance(ahead, Length):
        uncut_last = length - Fraction(ahead.nm, 25_400_000)
    starts = leading_end(part, groove.face, groove.reference) is end_faces(part)[0]
    return (uncut_first, uncut_last) if starts else (uncut_last, uncut_first)


@pytest.mark.parametrize("hand", list(Hand))
@given(start=st.integers(0, 60), end=st.integers(0, 60))
def test_the_stop_blocks_leave_uncut_what_the_drawing_says(
    hand: Hand, start: int, end: int
) -> None:
    part, groove = rail(hand, f"{start}/8", f"{end}/8")
    assert cut_by_saw(part, groove) == (Fraction(start, 8), Fraction(end, 8))


def test_a_groove_stopped_at_one_end_has_the_same_settings_for_both_hands() -> None:
    left = cut_groove(*rail(Hand.LEFT, "2", "0"), KERF)
    right = cut_groove(*rail(Hand.RIGHT, "2", "0"), KERF)
    assert left.settings == right.settings
    assert "back end first" in left.note
    assert "block beyond the blade" in left.note
    assert "front end first" in right.note
    assert "block before the blade" in right.note


def test_a_through_groove_has_no_stop_and_can_be_cut_in_a_long_stick() -> None:
    draft = cut_groove(*rail(Hand.LEFT, "0", "0"), KERF)
    assert [s.name for s in draft.settings] == ["fence", "height", "width"]
    assert [s.value for s in draft.settings] == [inch("1/2"), inch("3/8"), inch("1/4")]
    assert draft.on_stick


@pytest.mark.parametrize(("width", "words"), [("1/8", ""), ("9/64", "2 passes"), ("3/8", "3 pass")])
def test_a_groove_wider_than_the_blade_tells_how_many_passes(width: str, words: str) -> None:
    groove = Groove("slot", Face.FRONT, Face.BOTTOM, ZERO, inch(width), inch("1/4"), ZERO, ZERO)
    part = piece("rail", ("20", "3", "3/4"), (Y, Z, X), (), groove)
    note = cut_groove(part, groove, KERF).note
    assert ("pass" in note) is bool(words)
    assert words in note


def test_one_stop_block_puts_the_notch_in_the_middle() -> None:
    notch = Notch("way", Face.FRONT, Face.BOTTOM, inch("4"), inch("3/8"))
    part = piece("block", ("14 5/8", "3/4", "3/4"), (Y, X, Z), (), notch)
    values = {s.name: s.value for s in cut_notch(part, notch, KERF).settings}
    stop = values["stop"]
    assert isinstance(stop, Length)
    assert stop + inch("4") + stop == part.length
    assert values["height"] == inch("3/8")
