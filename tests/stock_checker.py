"""An independent check of a stock plan; shares no code with the room that makes it.

It works in whole nanometres on plain oblongs: inside the piece, a kerf between neighbours, all
blanks there, and the order of work holds: boards to rough lengths, then slices and rips over the
whole of each, then crosscuts; sheets sawn into sections, each of them cut across or along first,
always guided by a long enough edge.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from itertools import pairwise

from shopstep.model.material import Form
from shopstep.model.operation import Blank
from shopstep.model.plan import Plan
from shopstep.model.resources import Planer
from shopstep.model.stock import Cut, RackPiece, StockPiece
from shopstep.stock.rests import rests_of_piece
from shopstep.units import Length

Oblong = tuple[int, int, int, int]
"""Begin and end along the length, begin and end across it."""
IN = 25_400_000
NARROW, BACKING, SHORTEST = 3 * IN // 4, 3 * IN // 2, 12 * IN
EDGE_TRIM, END_TRIM = IN // 8, IN // 4


def oblong(cut: Cut) -> Oblong:
    """Where the cut lies."""
    x, y = cut.at_length.nm, cut.at_width.nm
    return x, x + cut.length.nm, y, y + cut.width.nm


def check_piece(piece: StockPiece) -> None:
    """Everything lies inside, nothing overlaps, a kerf is free between any two neighbours."""
    blocks = [oblong(cut) for cut in piece.cuts]
    assert blocks, f"{piece.id} is listed but nothing is cut from it"
    for x0, x1, y0, y1 in blocks:
        assert 0 <= x0 < x1 <= piece.length.nm
        assert 0 <= y0 < y1 <= piece.width.nm
    kerf = piece.kerf.nm
    for place, a in enumerate(blocks):
        for b in blocks[place + 1 :]:
            apart = max(a[0] - b[1], b[0] - a[1], a[2] - b[3], b[2] - a[3])
            assert apart >= kerf, f"{piece.id}: {a} and {b} are {apart} nm apart"
    assert can_be_cut(blocks, kerf), f"{piece.id} cannot be cut with through-cuts"


def can_be_cut(blocks: list[Oblong], kerf: int) -> bool:
    """Whether straight cuts from edge to edge part the blocks, one after the other."""
    if len(blocks) < 2:
        return True
    for axis in (0, 2):
        groups = part_along(blocks, axis, kerf)
        if len(groups) > 1:
            return all(can_be_cut(group, kerf) for group in groups)
    return False


def part_along(blocks: list[Oblong], axis: int, kerf: int) -> list[list[Oblong]]:
    """Groups of blocks between which a blade can go straight through."""
    groups: list[list[Oblong]] = []
    reach = -kerf
    for block in sorted(blocks, key=lambda block: block[axis]):
        if not groups or block[axis] - reach >= kerf > 0 or (kerf == 0 and block[axis] >= reach):
            groups.append([])
        groups[-1].append(block)
        reach = max(reach, block[axis + 1])
    return groups


def check_all_there(blanks: Iterable[Blank], pieces: Iterable[StockPiece], *, turned: bool) -> None:
    """Every piece of every blank is cut exactly once; only cloth may be turned."""

    def key(length: int, width: int) -> tuple[int, ...]:
        return tuple(sorted((length, width))) if turned else (length, width)

    wanted = Counter(
        (b.part, b.hand, key(b.rough_length.nm, b.rough_width.nm))
        for b in blanks
        for _ in range(b.count)
    )
    cut = Counter((c.part, c.hand, key(c.length.nm, c.width.nm)) for p in pieces for c in p.cuts)
    assert cut == wanted


def check_rack(rack: tuple[RackPiece, ...], pieces: Iterable[StockPiece]) -> None:
    """Rack pieces are used as they are, each at most once; nothing else claims to be one."""
    used = [piece for piece in pieces if piece.from_rack]
    known = {piece.id: piece for piece in rack}
    assert len({piece.id for piece in used}) == len(used)
    for piece in used:
        own = known[piece.id]
        assert (piece.length, piece.width, piece.material) == (own.length, own.width, own.material)


def check_board(piece: StockPiece) -> None:
    """Rough lengths first, each ripped as a whole, each with wood to square its ends."""
    sections = find_sections(piece)
    blocks = [oblong(cut) for cut in piece.cuts]
    assert sum(sum(start <= b[0] < end for b in blocks) for start, end in sections) == len(blocks)
    for start, end in sections:
        inside = [b for b in blocks if start <= b[0] < end]
        assert inside, f"{piece.id} has an empty section"
        spare = END_TRIM if piece.sections else 0
        assert min(b[0] for b in inside) >= start + spare
        assert max(b[1] for b in inside) <= end - spare
        assert end - start >= SHORTEST or not piece.sections
        check_lanes(inside, end - start, piece)


def find_sections(piece: StockPiece) -> list[tuple[int, int]]:
    """Begin and end of each rough length; the whole piece where it is not cut up."""
    if not piece.sections:
        assert piece.from_rack
        return [(0, piece.length.nm)]
    sections, start = [], 0
    for length in piece.sections:
        sections.append((start, start + length.nm))
        start += length.nm + piece.kerf.nm
    assert sections[-1][1] <= piece.length.nm
    return sections


def check_lanes(blocks: list[Oblong], length: int, piece: StockPiece) -> None:
    """All rips go over the whole length, along a fresh edge, and slices have wood behind them."""
    lanes = sorted({b[2:] for b in blocks})
    width, kerf = piece.width.nm, piece.kerf.nm
    assert all(b[0] - a[1] >= kerf for a, b in pairwise(lanes))
    if lanes == [(0, width)]:
        return
    assert length >= SHORTEST, f"{piece.id} is too short to rip"
    needs_all = len(lanes) == 1 and lanes[0][1] - lanes[0][0] > width - EDGE_TRIM
    is_straight = piece.from_rack and not piece.planed_from
    fresh = is_straight or needs_all or lanes[0][0] >= EDGE_TRIM
    assert fresh, f"{piece.id} has no straight edge to measure from"
    slices = [lane for lane in lanes if lane[1] - lane[0] < NARROW]
    backing = width - lanes[0][0] - sum(end - start + kerf for start, end in slices)
    assert not slices or backing >= BACKING, f"{piece.id} leaves nothing to hold its slices by"
    assert lanes[: len(slices)] == slices


def check_planed(
    pieces: Iterable[StockPiece],
    rack: Iterable[RackPiece],
    planer: Planer,
    thickness: dict[str, Length],
) -> int:
    """Each board that is planed may go through the machine, and lies clear of its thin ends.

    ``rack``: the boards as they lie there; ``thickness``: of each material. How many boards.
    """
    whole = {piece.id: piece for piece in rack}
    final: dict[str, Length] = {}
    for piece in pieces:
        if not piece.from_rack:
            assert not piece.planed_from
            continue
        board = whole[piece.rack_id]
        wanted = thickness[piece.material]
        if not piece.planed_from:
            assert abs(board.thickness - wanted) <= Length.inches("1/64") or not board.thickness
            continue
        assert not board.barred
        assert board.length >= planer.least_length, f"{board.id} is too short for the planer"
        assert board.width <= planer.widest, f"{board.id} is too wide for the planer"
        assert piece.planed_from == board.thickness
        assert board.thickness > wanted + Length.inches("1/64"), "nothing to plane off"
        assert 3 * (board.thickness - wanted).nm <= board.thickness.nm, "mostly shavings"
        assert final.setdefault(board.id, wanted) == wanted, f"{board.id}: planed to two"
        begin, end = piece.starts_at.nm, (piece.starts_at + piece.length).nm
        assert begin >= planer.snipe.nm
        assert end <= (board.length - planer.snipe).nm
        for bad, good in board.defects:
            assert end <= bad.nm or begin >= good.nm
    return len(final)


CUTTING = ("rough_cut", "edge", "slice", "rip", "rip_thin", "crosscut", "crosscut_hand")


def check_planing_steps(plan: Plan) -> int:
    """One setup at the planer for each thickness, with its cautions, done before those boards are
    cut. How many there are."""
    final = {material.id: material.thickness for material in plan.materials}
    wanted = {final[piece.material] for piece in plan.stock if piece.planed_from}
    kinds = {kind.id: kind for kind in plan.kinds}
    planing = [step for step in plan.steps if kinds[step.kind].tool == "planer"]
    shown = [
        next(n.value for n in kinds[s.kind].numbers if n.label == "thickness") for s in planing
    ]
    assert len(shown) == len(wanted)
    assert set(shown) == wanted
    needs = {step.id: set(step.needs) for step in plan.steps}
    for step, thickness in zip(planing, shown, strict=True):
        cards = kinds[step.kind].cautions
        assert any(card.must_ack and card.id.startswith("planer") for card in cards)
        assert "planer" in step.resources
        boards = [p for p in plan.stock if p.planed_from and final[p.material] == thickness]
        parts = {cut.part for piece in boards for cut in piece.cuts}
        materials = {piece.material for piece in boards}
        for other in plan.steps:
            kind = kinds[other.kind]
            cuts = kind.stage in CUTTING and (
                parts & set(kind.parts) or kind.id.partition("/")[2] in materials
            )
            if cuts:
                assert other.start_s >= step.end_s, f"{other.id} before {step.id}"
                assert comes_after(other.id, step.id, needs), f"{other.id} needs no {step.id}"
    return len(planing)


def comes_after(step: str, first: str, needs: dict[str, set[str]]) -> bool:
    """Whether a chain of needs leads from a step back to another."""
    seen, left = set[str](), [step]
    while left:
        here = left.pop()
        if here == first:
            return True
        if here not in seen:
            seen.add(here)
            left += needs[here]
    return False


def check_sheet(piece: StockPiece, length_first: set[str]) -> None:
    """Sawn into sections or not, each is cut across for what needs its length first; what is left
    of it is cut along, edge to edge."""
    cuts = list(piece.cuts)
    if not piece.sections:
        check_part_of_sheet(piece, cuts, (0, piece.length.nm), length_first)
        return
    sections = find_sections(piece)
    assert len(sections) in (2, 3)
    assert all(end - start >= SHORTEST for start, end in sections)
    inside = [[c for c in cuts if start <= c.at_length.nm < end] for start, end in sections]
    assert sum(map(len, inside)) == len(cuts)
    for own, (start, end) in zip(inside, sections, strict=True):
        assert own, f"{piece.id} has an empty section"
        check_part_of_sheet(piece, own, (start + END_TRIM, end - END_TRIM), length_first)


def check_part_of_sheet(
    piece: StockPiece, cuts: list[Cut], ends: tuple[int, int], length_first: set[str]
) -> None:
    """Rows right across first, then lanes; the edge along the fence is long enough for both."""
    start, end = ends
    assert all(start <= oblong(cut)[0] < oblong(cut)[1] <= end for cut in cuts)
    across = [cut for cut in cuts if cut.part in length_first]
    along = [cut for cut in cuts if cut.part not in length_first]
    width = piece.width.nm
    for at in sorted({cut.at_length.nm for cut in across}):
        assert at >= start
        (length,) = {cut.length.nm for cut in across if cut.at_length.nm == at}
        assert width >= max(length, SHORTEST) or at + length == piece.length.nm
        start = at + length + piece.kerf.nm
    assert all(cut.at_length.nm >= start for cut in along)
    lanes = {(cut.at_width.nm, cut.width.nm) for cut in along}
    assert all(b[0] - sum(a) >= piece.kerf.nm for a, b in pairwise(sorted(lanes)))
    assert all(end - start >= max(wide, SHORTEST) or wide == width for _, wide in lanes)


LEAST = {
    Form.BOARD: (12 * IN, 3 * IN // 4),
    Form.SHEET: (12 * IN, 3 * IN),
    Form.ROLL: (6 * IN, 3 * IN),
}
"""Longer and shorter side of what is worth keeping."""


def check_rests(piece: StockPiece, form: Form) -> list[tuple[Length, Length]]:
    """What the program says remains: inside the piece, a kerf from all that is cut, cut straight.

    Length and width of each. Whatever straight cuts could leave beside them is not looked for.
    """
    rests = rests_of_piece(piece, form)
    blocks = [oblong(cut) for cut in piece.cuts]
    left = [
        (r.at_length.nm, (r.at_length + r.length).nm, r.at_width.nm, (r.at_width + r.width).nm)
        for r in rests
    ]
    for number, rest in enumerate(left):
        assert 0 <= rest[0] < rest[1] <= piece.length.nm
        assert 0 <= rest[2] < rest[3] <= piece.width.nm
        for other in (*blocks, *left[:number]):
            apart = max(rest[0] - other[1], other[0] - rest[1], rest[2] - other[3],
                        other[2] - rest[3])  # fmt: skip
            assert apart >= piece.kerf.nm, f"{piece.id}: {rest} is {apart} nm from {other}"
        sides = sorted((rest[1] - rest[0], rest[3] - rest[2]))
        longest, shortest = LEAST[form]
        if form is Form.BOARD:
            assert rest[1] - rest[0] >= longest
            assert rest[3] - rest[2] >= shortest
        assert sides[0] >= shortest
        assert sides[1] >= longest
    assert can_be_cut([*blocks, *left], piece.kerf.nm)
    assert len({rest.key for rest in rests}) == len(rests)
    return [(rest.length, rest.width) for rest in rests]
