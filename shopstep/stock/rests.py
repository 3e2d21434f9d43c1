"""What remains of a piece of stock once all is cut from it, at its true size.

Worked out from the cuts alone, in the order in which they are made: rough lengths, rips over the
whole of each, crosscuts. A kerf is lost at every cut. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Iterator

from shopstep.model.material import Form
from shopstep.model.stock import Cut, Rest, StockPiece
from shopstep.units import ZERO, Length

_LEAST: dict[Form, tuple[Length, Length]] = {
    Form.BOARD: (Length.inches(12), Length.inches("3/4")),
    Form.SHEET: (Length.inches(12), Length.inches(3)),
    Form.ROLL: (Length.inches(6), Length.inches(3)),
}
"""Longer and shorter side of the least rest that is kept: shorter boards cannot be ripped, smaller
scraps are in the way (common practice, no source). Of a board the length is along the grain."""


def rests_of_piece(piece: StockPiece, form: Form) -> tuple[Rest, ...]:
    """All that remains of the piece and is worth keeping, in the order in which it comes off."""
    found = _OF_FORM[form](piece)
    return tuple(rest for rest in found if is_kept(rest, form))


def is_kept(rest: Rest, form: Form) -> bool:
    """Whether it is large enough to be worth keeping."""
    longest, shortest = _LEAST[form]
    if form is Form.BOARD:
        return rest.length >= longest and rest.width >= shortest
    sides = sorted((rest.length, rest.width))
    return sides[1] >= longest and sides[0] >= shortest


def _of_board(piece: StockPiece) -> Iterator[Rest]:
    if not piece.sections:
        yield from _of_lanes(piece, ZERO, piece.length, piece.cuts, "1")
        return
    yield _end_of(piece)
    for number, (start, end, own) in enumerate(_sections(piece), 1):
        yield from _of_lanes(piece, start, end, own, str(number))


def _of_sheet(piece: StockPiece) -> Iterator[Rest]:
    if not piece.sections:
        yield from _of_part(piece, ZERO, piece.length, piece.cuts, "")
        return
    yield _end_of(piece)
    for number, (start, end, own) in enumerate(_sections(piece), 1):
        yield from _of_part(piece, start, end, own, f"{number}-")


def _of_part(
    piece: StockPiece, start: Length, end: Length, cuts: tuple[Cut, ...], tag: str
) -> Iterator[Rest]:
    """Beside the rows of a sheet, or of a section of it, and what remains where it is ripped."""
    across = [cut for cut in cuts if cut.across]
    along = tuple(cut for cut in cuts if not cut.across)
    for number, at in enumerate(sorted({cut.at_length for cut in across}), 1):
        own = tuple(cut for cut in across if cut.at_length == at)
        side = max(cut.at_width + cut.width for cut in own) + piece.kerf
        size = (own[0].length, piece.width - side)
        yield Rest(f"across-{tag}{number}", at, side, *size, "rip", _owners(own))
        start = at + own[0].length + piece.kerf
    if along:
        yield from _of_lanes(piece, start, end, along, f"{tag}1")
    else:
        size = (end - start, piece.width)
        yield Rest(f"side-{tag}0", start, ZERO, *size, "rip", _owners(across))


def _sections(piece: StockPiece) -> Iterator[tuple[Length, Length, tuple[Cut, ...]]]:
    """Begin and end of each rough length or section, and what lies on it."""
    start = ZERO
    for length in piece.sections:
        end = start + length
        yield start, end, tuple(cut for cut in piece.cuts if start <= cut.at_length < end)
        start = end + piece.kerf


def _end_of(piece: StockPiece) -> Rest:
    """What remains behind the last rough length or section."""
    start = sum((length + piece.kerf for length in piece.sections), ZERO)
    return Rest("end", start, ZERO, piece.length - start, piece.width, "rough", _owners(piece.cuts))


def _of_lanes(
    piece: StockPiece, start: Length, end: Length, cuts: tuple[Cut, ...], number: str
) -> Iterator[Rest]:
    """Beside the lanes of a length that is ripped, and behind the last part of each lane."""
    if not cuts:
        return
    lanes = sorted({(cut.at_width, cut.width) for cut in cuts})
    side = max(at + width for at, width in lanes) + piece.kerf
    size = (end - start, piece.width - side)
    yield Rest(f"side-{number}", start, side, *size, "rip", _owners(cuts))
    for place, (at, width) in enumerate(lanes, 1):
        own = [cut for cut in cuts if cut.at_width == at]
        behind = max(cut.at_length + cut.length for cut in own) + piece.kerf
        size = (end - behind, width)
        yield Rest(f"lane-{number}-{place}", behind, at, *size, "crosscut", _owners(own))


def _of_roll(piece: StockPiece) -> Iterator[Rest]:
    used = max((cut.at_length + cut.length for cut in piece.cuts), default=ZERO)
    size = (piece.length - used, piece.width)
    yield Rest("side-0", used, ZERO, *size, "rip", _owners(piece.cuts))


def _owners(cuts: tuple[Cut, ...] | list[Cut]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(cut.part for cut in cuts))


_OF_FORM = {Form.BOARD: _of_board, Form.SHEET: _of_sheet, Form.ROLL: _of_roll}
