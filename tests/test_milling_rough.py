"""Rough lengths and the first straight edge: said as the boards are laid out, and done first."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from shopstep.milling import derive_steps, plan_milling
from shopstep.milling.rough import LONGEST_LIST, edge_kind, name_boards, rough_kind, trace_parts
from shopstep.model.part import Hand
from shopstep.model.step import Step, StepKind
from shopstep.model.stock import Cut, StockPiece
from shopstep.stock import plan_stock
from shopstep.units import ZERO, Length, parse_length
from tests.sample_floor import KERF, MATERIALS, PARTS, inch

RIPS = ("slice", "rip", "rip_thin")


def board(name: str, *sections: str, from_rack: bool = False, at: str = "1/8") -> StockPiece:
    """A board with one part in each of its rough lengths."""
    lengths = tuple(inch(text) for text in sections)
    starts = [sum((length + KERF for length in lengths[:n]), ZERO) for n in range(len(lengths))]
    cuts = tuple(
        Cut("rail", None, start + inch("1/4"), inch(at), length - inch("1/2"), inch("3"))
        for start, length in zip(starts, lengths, strict=True)
    )
    return StockPiece(
        name, "board", from_rack, inch("96"), inch("5 1/2"), cuts, KERF, sections=lengths
    )


def floor(units: int) -> tuple[tuple[StockPiece, ...], tuple[StepKind, ...], tuple[Step, ...]]:
    """Stock and steps of the sample floor."""
    milling = plan_milling(PARTS, MATERIALS, units, KERF)
    pieces = plan_stock(milling.blanks, MATERIALS, (), KERF).pieces
    return pieces, *derive_steps(milling, PARTS, "in", pieces)


@pytest.mark.parametrize("units", [1, 2, 5])
def test_boards_are_cut_to_rough_lengths_before_anything_is_ripped(units: int) -> None:
    _, kinds, steps = floor(units)
    assert [kind.id for kind in kinds[:2]] == ["rough_cut/board", "edge/board"]
    assert kinds[0].tool == "hand_saw"
    needs = {step.id: set(step.needs) for step in steps}
    assert needs["all/edge/board"] == {"all/rough_cut/board"}
    ripped = [step.id for step in steps if step.kind.split("/")[0] in RIPS]
    assert ripped
    for step in ripped:
        assert "all/edge/board" in needs[step]


@pytest.mark.parametrize("units", [1, 2, 5])
def test_the_rough_lengths_that_are_told_are_those_of_the_layout(units: int) -> None:
    pieces, kinds, _ = floor(units)
    wanted = Counter(length for piece in pieces for length in piece.sections)
    told: Counter[Length] = Counter()
    for number in kinds[0].numbers:
        assert isinstance(number.value, Length)
        told[number.value] += int(re.findall(r"\d+", number.label)[0])
    assert told == wanted
    said: Counter[Length] = Counter()
    lists = (
        kinds[0].text.split("splits out: ")[1].removesuffix(". Write the board's letter on each.")
    )
    for group in lists.split("; "):
        boards, lengths = group.split(": ")
        for each in lengths.split(", "):
            count, _, length = each.rpartition(" × ")
            said[parse_length(length)] += int(count or 1) * len(boards.split(", "))
    assert said == wanted


def test_every_part_fits_its_rough_length_with_wood_for_two_square_ends() -> None:
    pieces, _, _ = floor(2)
    for piece in pieces:
        start = ZERO
        for length in piece.sections:
            inside = [c for c in piece.cuts if start <= c.at_length < start + length]
            reach = max(c.at_length + c.length for c in inside) - min(c.at_length for c in inside)
            assert length - reach >= inch("1/2")
            start += length + piece.kerf


def test_boards_get_letters_and_rack_pieces_keep_their_ids() -> None:
    pieces = (
        board("off-7", "20", from_rack=True),
        *(board(f"buy-board-{n}", "20") for n in range(1, 29)),
    )
    names = name_boards(pieces)
    assert names["off-7"] == "off-7"
    assert [names[f"buy-board-{n}"] for n in (1, 2, 26, 27, 28)] == ["A", "B", "Z", "AA", "AB"]


def test_boards_that_are_cut_alike_are_told_together() -> None:
    boards = (
        board("buy-board-1", "22 3/8", "20"),
        board("buy-board-2", "20", "22 3/8"),
        board("buy-board-3", "15", "15"),
    )
    text = rough_kind("board", boards, name_boards(boards), "in").text
    assert "A, B each: 22 3/8 in, 20 in; C: 2 × 15 in." in text


def test_too_many_different_boards_are_told_by_their_sums() -> None:
    boards = tuple(board(f"buy-board-{n}", f"{n + 12} 1/8", f"{n + 20} 3/8") for n in range(12))
    kind = rough_kind("board", boards, name_boards(boards), "in")
    assert "in all 31 3/8 in, " in kind.text
    assert ", the longest first. Write" in kind.text
    one = rough_kind("board", boards[:1], name_boards(boards), "in")
    assert len(one.text) < LONGEST_LIST + 110


def test_the_edge_cut_counts_only_what_has_an_edge_to_lose() -> None:
    trimmed, whole = board("buy-board-1", "20", "15"), board("buy-board-2", "20", at="0")
    names = name_boards((trimmed, whole))
    kind = edge_kind("board", (trimmed, whole), names, "in")
    assert kind is not None
    assert [(n.label, n.value) for n in kind.numbers] == [("fence", inch("5 3/8")), ("pieces", 2)]
    assert edge_kind("board", (whole,), names, "in") is None


def test_a_part_is_traced_to_its_boards_unless_they_are_many() -> None:
    few = tuple(board(f"buy-board-{n}", "20") for n in range(1, 4))
    assert trace_parts(few) == {("rail", None): "A, B, C"}
    assert trace_parts((*few, board("buy-board-4", "20"))) == {}


def test_rips_say_which_board_to_take() -> None:
    pieces, kinds, _ = floor(2)
    rip = next(kind for kind in kinds if kind.id == "rip/side_rail")
    letters = trace_parts(pieces)
    for hand in Hand:
        assert f"2 × {hand} side rail 22 1/2 in ({letters['side_rail', hand]})" in rip.text


def test_what_is_ripped_as_it_lies_on_the_rack_needs_no_rough_cut() -> None:
    milling = plan_milling(PARTS[:3], MATERIALS, 1, KERF)
    whole = StockPiece("off-1", "board", True, inch("47"), inch("5 1/2"), (), KERF)
    kinds, _ = derive_steps(milling, PARTS[:3], "in", (whole,))
    assert kinds[0].stage == "rip"
