"""An independent check of a stock plan; shares no code with the room that makes it.

It works in whole nanometres on plain oblongs: inside the piece, a kerf between neighbours, all
blanks there, and a way to cut it all with cuts that go right through.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from functools import cache

from shopstep.model.operation import Blank
from shopstep.model.stock import Cut, RackPiece, StockPiece

Oblong = tuple[int, int, int, int]
"""Begin and end along the length, begin and end across it."""
NARROW, BACKING, SHORTEST = 19_050_000, 38_100_000, 304_800_000
"""3/4 in, 1 1/2 in, 12 in."""


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


def check_safe_rips(piece: StockPiece) -> None:
    """There is a way to cut it all in which every rip is a safe one."""
    region = (0, piece.length.nm, 0, piece.width.nm)
    blocks = tuple(sorted(oblong(cut) for cut in piece.cuts))
    assert is_safe(blocks, region, piece.kerf.nm), f"{piece.id} cannot be ripped safely"


@cache
def is_safe(blocks: tuple[Oblong, ...], region: Oblong, kerf: int) -> bool:
    """Whether some order of through-cuts keeps the rules for ripping."""
    if len(blocks) == 1 and blocks[0][2:] == region[2:]:
        return True
    return is_rip_safe(blocks, region, kerf) or is_crosscut_safe(blocks, region, kerf)


def is_crosscut_safe(blocks: tuple[Oblong, ...], region: Oblong, kerf: int) -> bool:
    """Crosscut somewhere first; both halves, with the waste in them, are then safe."""
    groups = part_along(list(blocks), 0, kerf)
    for place in range(1, len(groups)):
        at = min(block[0] for block in groups[place])
        front = tuple(block for block in blocks if block[0] < at)
        back = tuple(block for block in blocks if block[0] >= at)
        if is_safe(front, (region[0], at - kerf, *region[2:]), kerf) and is_safe(
            back, (at, *region[1:]), kerf
        ):
            return True
    return False


def is_rip_safe(blocks: tuple[Oblong, ...], region: Oblong, kerf: int) -> bool:
    """Rip first: long enough, and a strip wide enough to hold slices by; then each strip."""
    groups = part_along(list(blocks), 2, kerf)
    strips = [(min(b[2] for b in group), max(b[3] for b in group)) for group in groups]
    widths = [end - start for start, end in strips]
    rest = region[3] - strips[-1][1] - kerf
    held = max(*widths, rest) >= BACKING or min(widths) >= NARROW
    if widths == [region[3] - region[2]] or region[1] - region[0] < SHORTEST or not held:
        return False
    return all(
        is_safe(tuple(sorted(group)), (region[0], region[1], *strip), kerf)
        for group, strip in zip(groups, strips, strict=True)
    )
