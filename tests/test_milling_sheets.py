"""Sheets: every guided cut has an edge on the fence at least as long as the way to the fence."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopstep.milling import Milling, plan_milling
from shopstep.model.operation import Operation
from shopstep.model.plan import Level
from shopstep.units import Length
from tests.sample_floor import BOARD, KERF, PLY, X, Y, Z, inch, piece

TWELVE = inch("12")


def cut(length: str, width: str, sheet: tuple[str, str] = ("48", "24")) -> Milling:
    """The milling of one plywood part; the sheet's size along and across."""
    part = piece("panel", (length, width, "1/4"), (X, Y, Z), (("0", "0", "0"),), material="ply")
    sold = replace(PLY, sold_length=inch(sheet[0]), sold_width=inch(sheet[1]))
    return plan_milling((part,), (sold,), 1, KERF)


def follow(milling: Milling, length: Length, width: Length) -> tuple[Length, Length]:
    """Make the cuts on a sheet 48 × 24 in and look at every edge that runs along the fence."""
    left = {"length": inch("48"), "width": inch("24")}
    wanted = {"length": length, "width": width}
    for operation in milling.operations:
        side = which_side(operation, wanted, left)
        other = "width" if side == "length" else "length"
        check_cut(operation, edge=left[other], distance=wanted[side])
        left[side] = wanted[side]
    return left["length"], left["width"]


def which_side(operation: Operation, wanted: dict[str, Length], left: dict[str, Length]) -> str:
    """Which of the two a cut gives: told by its name, or the one that is still to be made."""
    name = operation.id.split("/")[-1]
    if name in wanted:
        return name
    value = operation.settings[0].value
    return next(side for side in wanted if wanted[side] == value and left[side] != value)


def check_cut(operation: Operation, edge: Length, distance: Length) -> None:
    """The rules of the saw, one for each way of cutting."""
    if operation.kind == "sheet_cut":
        assert edge >= distance
        assert edge >= TWELVE
        assert distance >= inch("3/4")
    elif operation.kind == "slice":
        assert edge >= TWELVE
        assert distance < inch("3/4")
    elif operation.kind in ("crosscut", "crosscut_hand"):
        assert edge < TWELVE  # the strip that lies against the mitre gauge
        assert (operation.kind == "crosscut_hand") is (distance < inch("3"))
    else:
        assert operation.kind == "straightedge"
        assert distance > edge >= TWELVE


eighths_long = st.integers(4, 47 * 8)
eighths_wide = st.integers(4, 23 * 8)


@given(eighths_long, eighths_wide)
def test_no_cut_is_guided_by_an_edge_shorter_than_the_way_to_the_fence(
    length: int, width: int
) -> None:
    milling = cut(f"{length}/8", f"{width}/8")
    sizes = inch(f"{length}/8"), inch(f"{width}/8")
    assert follow(milling, *sizes) == sizes
    by_hand = any(op.kind == "straightedge" for op in milling.operations)
    rules = [(f.level, f.rule) for f in milling.findings]
    assert rules == ([(Level.WARN, "no_edge_for_fence")] if by_hand else [])


@pytest.mark.parametrize(
    ("length", "width", "kinds"),
    [
        ("20", "15", ["sheet_cut/panel/length", "sheet_cut/panel/width"]),
        ("15", "20", ["sheet_cut/panel/width", "sheet_cut/panel/length"]),
        ("40", "5", ["sheet_cut/panel/width", "crosscut/panel"]),
        ("40", "20", ["sheet_cut/panel/width", "straightedge/panel/length"]),
        ("10", "8", ["sheet_cut/panel/width", "crosscut/panel"]),
        ("2", "2", ["sheet_cut/panel/width", "crosscut_hand/panel"]),
        ("1/2", "20", ["sheet_cut/panel/width", "slice/panel"]),
    ],
)
def test_the_larger_side_goes_first_where_the_sheet_can_guide_it(
    length: str, width: str, kinds: list[str]
) -> None:
    milling = cut(length, width)
    assert [op.id for op in milling.operations] == kinds
    assert milling.blanks[0].length_first is kinds[0].endswith("length")


def test_what_no_edge_can_guide_is_told_to_be_cut_along_a_straightedge() -> None:
    finding = cut("40", "20").findings[0]
    assert "40 in × 20 in" in finding.text
    assert "straightedge" in finding.remedy
    assert "where you buy it" in finding.remedy


def test_a_board_is_never_cut_to_length_first() -> None:
    part = piece("rail", ("20", "3", "3/4"), (X, Y, Z), (("0", "0", "0"),))
    assert plan_milling((part,), (BOARD,), 1, KERF).blanks[0].length_first is False
