"""Boards to thickness at a planer, whole and before anything is cut from them.

All boards that come out equally thick go through in one setup, the thickest first. Imports
``shopstep.model``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import replace

from shopstep.milling.drafts import PLANER
from shopstep.milling.kinds import make_kind
from shopstep.milling.route import Milling
from shopstep.milling.times import estimate_s
from shopstep.model.material import Material
from shopstep.model.operation import PLANE, Operation, Setting, Setup
from shopstep.model.part import Hand
from shopstep.model.resources import Planer
from shopstep.model.step import Check, Number, StepKind
from shopstep.model.stock import StockPiece
from shopstep.units import SIXTY_FOURTH, Length, format_length
from shopstep.words import say

THICKNESS, DEEPEST = "thickness", "deepest pass"
LONG = Length.inches(48)
"""A longer board hangs down behind the machine if nothing holds it (common practice, no source)."""
LONGEST_LIST = 100
"""More characters than this are not read from a list of boards."""

Owner = tuple[str, Hand | None]


def with_planing(
    milling: Milling,
    pieces: Iterable[StockPiece],
    materials: Iterable[Material],
    planer: Planer | None,
) -> Milling:
    """The milling with one setup at the planer for each thickness that boards are planed to.

    It comes before all else and needs nothing, so each such setup is one more than the fewest.
    """
    thick = [piece for piece in pieces if piece.planed_from and not piece.late]
    if not thick or planer is None:
        return milling
    known = {material.id: material.thickness for material in materials}
    by_thickness: dict[Length, list[StockPiece]] = {}
    for piece in thick:
        by_thickness.setdefault(known[piece.material], []).append(piece)
    made = [
        _setup(thickness, boards, planer)
        for thickness, boards in sorted(by_thickness.items(), reverse=True)
    ]
    planed = {(op.part, op.hand): op.id for _, own in made for op in own}
    return replace(
        milling,
        operations=(
            *(op for _, own in made for op in own),
            *(_after(op, planed) for op in milling.operations),
        ),
        setups=(*(setup for setup, _ in made), *milling.setups),
        least_setups=milling.least_setups + len(made),
    )


def _setup(
    thickness: Length, boards: list[StockPiece], planer: Planer
) -> tuple[Setup, tuple[Operation, ...]]:
    settings = (Setting(THICKNESS, thickness), Setting(DEEPEST, planer.deepest))
    counts = Counter[Owner](
        (cut.part, cut.hand) for piece in boards for cut in piece.cuts if not cut.spare
    )
    operations = tuple(
        Operation(
            "/".join((PLANE, part, *([hand.value] if hand else []))),
            PLANE, PLANER, part, hand, count, settings, (),
            say("with the board that it is cut from"),
        )
        for (part, hand), count in counts.items()
    )  # fmt: skip
    name = f"{PLANE}/{boards[0].material}"
    return Setup(name, PLANE, PLANER, settings, tuple(op.id for op in operations)), operations


def _after(operation: Operation, planed: Mapping[Owner, str]) -> Operation:
    """The first cut of a part waits until the boards that hold it are planed."""
    before = planed.get((operation.part, operation.hand))
    if before is None or operation.needs:
        return operation
    return replace(operation, needs=(before,))


def boards_of(
    setup: Setup, operations: Iterable[Operation], pieces: Iterable[StockPiece]
) -> tuple[StockPiece, ...]:
    """What goes through the planer in a setup: each board once, the thickest first."""
    owners = {(op.part, op.hand) for op in operations if op.id in setup.operations}
    found = {
        piece.rack_id or piece.id: piece
        for piece in pieces
        if piece.planed_from
        and not piece.late
        and any((cut.part, cut.hand) in owners for cut in piece.cuts)
    }
    return tuple(sorted(found.values(), key=lambda piece: (-piece.planed_from.nm, piece.id)))


def passes(removed: Length, deepest: Length) -> tuple[Length, ...]:
    """How deep each pass goes: the deepest until the end, and at most half of it the last time,
    so that the face comes out clean (common practice, no source)."""
    full, rest = divmod(removed.nm, deepest.nm)
    if not rest:
        full, rest = full - 1, deepest.nm
    last = [rest] if 2 * rest <= deepest.nm else [rest - rest // 2, rest // 2]
    return (*(deepest for _ in range(full)), *(Length(nm) for nm in last))


def plane_kind(
    setup: Setup,
    boards: tuple[StockPiece, ...],
    names: Mapping[str, str],
    planer: Planer,
    display: str,
) -> StepKind:
    """The step of a setup at the planer; ``names``: what is written on each board."""
    final = setup.settings[0].value
    assert isinstance(final, Length), "a planer is set to a thickness"
    depths = passes(boards[0].planed_from - final, planer.deepest)
    beds = [boards[0].planed_from - Length(sum(d.nm for d in depths[: n + 1])) for n in
            range(len(depths))]  # fmt: skip
    runs = sum(bed < board.planed_from for board in boards for bed in beds)
    shown = format_length(final, display)
    least = format_length(planer.least_length, display)
    longest = max(piece.length + piece.snipe.times(2) for piece in boards)
    held = say(" A stand or a helper holds the long end.") if longest > LONG else ""
    return make_kind(
        setup.id,
        title=say("Plane to {shown}", shown=shown),
        text=(
            say(
                "{boards}. Cut {depths}. In goes "
                "first the end from which the lines on its edge climb towards you; after each pass "
                "turn it end over end. Before the last pass run a scrap, {least} or longer, "
                "measure it and set by that.{held}",
                boards=_say_boards(boards, names, display),
                depths=_say_depths(depths, display),
                least=least,
                held=held,
            )
        ),
        why=(
            say(
                "Whole boards go through and pieces are cut afterwards: a short one tips under the "
                "rollers. At one setting all come out alike."
            )
        ),
        numbers=(
            Number(THICKNESS, final),
            Number("pass" if len(depths) == 1 else "passes", len(depths)),
            Number("first pass to", beds[0]),
            Number("board" if len(boards) == 1 else "boards", len(boards)),
        ),
        parts=(),
        tool=PLANER,
        checks=(
            Check(
                THICKNESS,
                say("Thickness of the first board, at both edges and in the middle"),
                final,
                SIXTY_FOURTH,
            ),
        ),
        duration_s=estimate_s(PLANE, runs),
    )


def _say_boards(boards: tuple[StockPiece, ...], names: Mapping[str, str], display: str) -> str:
    """ "R3 (1 in thick) alone until it is as thick as R5 (7/8 in); then both"."""
    by_thickness: dict[Length, list[str]] = {}
    for board in boards:
        name = board.rack_id or names.get(board.id, board.id)
        by_thickness.setdefault(board.planed_from, []).append(name)
    said = say(", then ").join(
        f"{', '.join(own)} ({format_length(thickness, display)})"
        for thickness, own in by_thickness.items()
    )
    if len(said) > LONGEST_LIST:
        thickest = format_length(boards[0].planed_from, display)
        said = say(
            "{boards} boards, the thickest ({thickest}) first",
            boards=len(boards),
            thickest=thickest,
        )
    joins = say(", each as soon as the machine is set below it") if len(by_thickness) > 1 else ""
    return say("Through the planer: {said}{joins}", said=said, joins=joins)


def _say_depths(depths: tuple[Length, ...], display: str) -> str:
    """ "3 × 1/16 in, then 2 × 1/32 in"."""
    counted = Counter(format_length(depth, display) for depth in depths)
    return say(", then ").join(
        f"{f'{count} × ' if count > 1 else ''}{said}" for said, count in counted.items()
    )
