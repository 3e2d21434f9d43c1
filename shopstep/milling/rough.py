"""Steps before the first rip: boards to rough lengths at trestles, and one straight edge on each;
sheets to sections, where they are sawn.

Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping

from shopstep.milling.drafts import HAND_SAW, TABLE_SAW
from shopstep.milling.kinds import make_kind
from shopstep.milling.times import estimate_s
from shopstep.milling.wordings import TOOTH
from shopstep.milling.words import piece_number
from shopstep.model.naming import BUILD_MARK
from shopstep.model.part import Hand
from shopstep.model.step import Check, Number, StepKind
from shopstep.model.stock import REST, StockPiece
from shopstep.units import ZERO, Length, format_length
from shopstep.words import say, say_count

LONGEST_LIST = 150
"""More characters than this are not read from a board list; then only the sums are told."""
MOST_LETTERS = 3
"""On more boards than this a part is not traced."""


def sectioned_boards(pieces: Iterable[StockPiece]) -> dict[str, tuple[StockPiece, ...]]:
    """For each material the boards that are cut into rough lengths."""
    boards: dict[str, tuple[StockPiece, ...]] = {}
    for piece in pieces:
        if piece.sections:
            boards[piece.material] = (*boards.get(piece.material, ()), piece)
    return boards


def name_boards(pieces: Iterable[StockPiece]) -> dict[str, str]:
    """What is written on each rough length: A, B, C…; rack pieces keep their own id.

    Beside such boards also those that are cut as they are: off the rack, or whole sheets.
    """
    boards = tuple(pieces)
    sawn = {board.material for board in boards if board.sections}
    names: dict[str, str] = {}
    bought = 0
    for board in boards:
        whole = board.id.removeprefix(REST)
        if whole != board.id and whole in names:
            names[board.id] = f"{REST}{names[whole]}"
        elif board.from_rack and board.material in sawn:
            names[board.id] = board.id
        elif board.material in sawn:
            names[board.id] = _letter(bought)
            bought += 1
    return names


def _letter(number: int) -> str:
    """A to Z, then AA, AB…"""
    lead, last = divmod(number, 26)
    return (_letter(lead - 1) if lead else "") + chr(ord("A") + last)


def trace_parts(pieces: tuple[StockPiece, ...]) -> dict[tuple[str, Hand | None], str]:
    """On which boards each part lies: "A", "A, B"; not told where they are many."""
    names = name_boards(pieces)
    found: dict[tuple[str, Hand | None], dict[str, None]] = {}
    for piece in pieces:
        for cut in piece.cuts if piece.id in names else ():
            found.setdefault((cut.part, cut.hand), {})[names[piece.id]] = None
    return {
        owner: ", ".join(boards) for owner, boards in found.items() if len(boards) <= MOST_LETTERS
    }


def rough_kind(
    material: str, boards: tuple[StockPiece, ...], names: Mapping[str, str], display: str
) -> StepKind:
    """Cutting the boards of one material into rough lengths; ``names`` as by ``name_boards``."""
    lengths = Counter(length for board in boards for length in board.sections)
    said = say_by_board(boards, names, display)
    if len(said) > LONGEST_LIST:
        said = say("in all {lengths}, the longest first", lengths=_say_lengths(lengths, display))
    return make_kind(
        f"rough_cut/{material}",
        title=say("Rough lengths: {words}", words=_words(material)),
        text=(
            say(
                "Cut the boards into rough lengths at trestles, knots and splits out: {said}. "
                "Write the board's letter on each.{snipe}",
                said=said,
                snipe=_say_snipe(boards, names, display),
            )
        ),
        why=say("Each is half an inch longer than its parts, so that both ends can be cut square."),
        numbers=tuple(
            Number(
                say_count("rough length, {n} piece", "rough length, {n} pieces", count),
                length,
            )
            for length, count in sorted(lengths.items(), reverse=True)
        ),
        parts=(),
        tool=HAND_SAW,
        checks=(Check("lettered", say("Has each length its board's letter?"), None, ZERO),),
        duration_s=estimate_s("rough_cut", sum(lengths.values())),
    )


def _say_snipe(boards: tuple[StockPiece, ...], names: Mapping[str, str], display: str) -> str:
    """What goes off the ends of planed boards before anything is measured from them."""
    off: dict[Length, dict[str, None]] = {}
    for board in boards:
        if board.planed_from and board.snipe:
            off.setdefault(board.snipe, {})[board.rack_id or names[board.id]] = None
    return "".join(
        say(
            " First take {snipe} off each end of {called}: there the planer cuts deeper.",
            snipe=format_length(snipe, display),
            called=", ".join(called),
        )
        for snipe, called in off.items()
    )


def section_kind(
    material: str, sheets: tuple[StockPiece, ...], names: Mapping[str, str], display: str
) -> StepKind:
    """Sawing sheets of one material into sections that are laid out each by itself.

    ``sheets``: all of the material, also those that stay whole.
    """
    sawn = tuple(sheet for sheet in sheets if sheet.sections)
    whole = [names[sheet.id] for sheet in sheets if not sheet.sections]
    lengths = Counter(length for sheet in sawn for length in sheet.sections)
    said = say_by_board(sawn, names, display)
    if len(said) > LONGEST_LIST:
        said = say("in all {lengths}, as they are drawn", lengths=_say_lengths(lengths, display))
    if whole:
        named = ", ".join(whole)
        said += (
            say("; {sheets} stay whole", sheets=named)
            if len(whole) > 1
            else say("; {sheet} stays whole", sheet=named)
        )
    return make_kind(
        f"rough_cut/{material}",
        title=say("Sections: {words}", words=_words(material)),
        text=(
            say(
                "Sheet on battens, both sides of the cut held up, good face down. Pencil each cut "
                "square across, clamp a straightedge, run the saw along it: {said}. "
                "Write the sheet's letter on each.",
                said=said,
            )
        ),
        why=(
            say(
                "Cut each its own way, sections hold what a sheet cut one way does not. Each is "
                "half an inch longer than its parts, so that both ends can be cut square."
            )
        ),
        numbers=tuple(
            Number(say_count("section, {n} piece", "section, {n} pieces", count), length)
            for length, count in sorted(lengths.items(), reverse=True)
        ),
        parts=(),
        tool=HAND_SAW,
        checks=(
            Check("lettered", say("Has each section its sheet's letter?"), None, ZERO),
            Check("square", say("Are both diagonals of each section equal?"), None, ZERO),
        ),
        duration_s=estimate_s("straightedge", sum(lengths.values())),
    )


def say_by_board(boards: tuple[StockPiece, ...], names: Mapping[str, str], display: str) -> str:
    """Boards that are cut alike together: "A, B each: 4 × 22 3/8 in; C: 18 1/8 in, 15 1/4 in"."""
    alike: dict[tuple[Length, ...], list[str]] = {}
    for board in boards:
        key = tuple(sorted(board.sections, reverse=True))
        alike.setdefault(key, []).append(names[board.id])
    return "; ".join(
        f"{', '.join(called)}{say(' each') if len(called) > 1 else ''}: "
        f"{_say_lengths(Counter(lengths), display)}"
        for lengths, called in alike.items()
    )


def _say_lengths(lengths: Counter[Length], display: str) -> str:
    """ "2 × 22 3/8 in, 15 1/4 in"."""
    return ", ".join(
        f"{f'{count} × ' if count > 1 else ''}{format_length(length, display)}"
        for length, count in sorted(lengths.items(), reverse=True)
    )


def _words(material: str) -> str:
    """A material's id as it is read: "wide board", "board, hive-body"."""
    return material.replace("_", " ").replace(BUILD_MARK, ", ")


def edge_kind(
    material: str, boards: tuple[StockPiece, ...], names: Mapping[str, str], display: str
) -> StepKind | None:
    """One straight edge on each rough length that is ripped; None where no edge is trimmed.

    Rough boards of the rack may be wider or narrower than those that are bought.
    """
    fences: dict[Length, list[str]] = {}
    for board in boards:
        for fence in _edge_fences(board):
            fences.setdefault(fence, []).append(names[board.id])
    if not fences:
        return None
    count = sum(map(len, fences.values()))
    said = ", ".join(
        f"{format_length(fence, display)}{_for_boards(fences, called)}"
        for fence, called in fences.items()
    )
    return make_kind(
        f"edge/{material}",
        title=say("Straight edge: {words}", words=_words(material)),
        text=(
            say(
                "Fence {said}, {tooth}. The better edge to the fence: a first cut takes the other "
                "edge off, rounded corner and all. Mark the fresh edge: it runs along fence or "
                "block from now on. {count} × rough length.",
                said=said,
                tooth=say(TOOTH),
                count=count,
            )
        ),
        why=say("A rounded or crooked edge would go into every part that is measured from it."),
        numbers=(
            *(Number(f"fence{_for_boards(fences, called)}", f) for f, called in fences.items()),
            piece_number(count),
        ),
        parts=(),
        tool=TABLE_SAW,
        checks=(Check("straight", say("Does a straightedge show no light?"), None, ZERO),),
        duration_s=estimate_s("edge", count),
    )


def _for_boards(fences: Mapping[Length, list[str]], called: list[str]) -> str:
    """Which boards a fence is for, where there is more than one fence."""
    return say(" for {boards}", boards=", ".join(dict.fromkeys(called))) if len(fences) > 1 else ""


def _edge_fences(board: StockPiece) -> list[Length]:
    """The fence for each rough length whose edge is trimmed: its width less the trim."""
    fences: list[Length] = []
    start = ZERO
    for length in board.sections:
        end = start + length
        trim = min(
            (cut.at_width for cut in board.cuts if start <= cut.at_length < end), default=ZERO
        )
        if trim:
            fences.append(board.width - trim)
        start = end + board.kerf
    return fences
