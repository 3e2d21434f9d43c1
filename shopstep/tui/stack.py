"""Blocks in order, each in several sizes, brought to the height there is by a fixed list.

Imports ``lines``. What gives way first is decided by the list of concessions and by nothing else,
so a screen of a given size always looks the same.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shopstep.tui.lines import EMPTY, Block

GAP = "gap"
"""Concession that makes the empty rows between blocks optional."""
WIDEST_GAP = 2


@dataclass(frozen=True, slots=True)
class Piece:
    """One block with its renderings, the roomiest first; an empty one leaves the block out."""

    name: str
    sizes: tuple[Block, ...]

    def at(self, level: int) -> Block:
        """The rendering at a level; levels beyond the last mean the last."""
        return self.sizes[min(level, len(self.sizes) - 1)]


@dataclass(frozen=True, slots=True)
class Fitted:
    """The blocks that were chosen."""

    blocks: tuple[tuple[str, Block], ...]
    """Names and rows of what is shown, in order."""
    spare: int
    """Rows left for gaps; negative when even the smallest sizes do not fit."""

    @property
    def is_cut(self) -> bool:
        """Whether something does not fit."""
        return self.spare < 0

    def rows(self, *, has_lead: bool = False) -> Block:
        """All rows, what is spare given to the gaps: one row each from the top, then a second.

        With ``has_lead`` an empty row stands in front as soon as every gap has its first row.
        """
        count = max(0, len(self.blocks) - 1)
        lead = int(has_lead and self.spare > count)
        spare = max(0, min(self.spare - lead, WIDEST_GAP * count))
        gaps = [lead] + [spare // count + (index < spare % count) for index in range(count)]
        return tuple(
            line
            for gap, (_, shown) in zip(gaps, self.blocks, strict=False)
            for line in (*(EMPTY,) * gap, *shown)
        )


def fit_pieces(
    pieces: Sequence[Piece], concessions: Sequence[tuple[str, int]], height: int
) -> Fitted:
    """Give way along ``concessions`` (name of a piece, its level then) until all fits.

    What turns out not to have been needed is then taken back, the last concession first.
    """
    levels = {piece.name: 0 for piece in pieces} | {GAP: 0}
    made: list[tuple[str, int]] = []
    for name, level in concessions:
        if _fits(pieces, levels, height):
            break
        if levels.get(name, level) < level:
            made.append((name, levels[name]))
            levels[name] = level
    for name, level in reversed(made):
        if _fits(pieces, levels | {name: level}, height):
            levels[name] = level
    return _choose(pieces, levels, height)


def _fits(pieces: Sequence[Piece], levels: dict[str, int], height: int) -> bool:
    fitted = _choose(pieces, levels, height)
    gaps = 0 if levels[GAP] else max(0, len(fitted.blocks) - 1)
    return fitted.spare >= gaps


def _choose(pieces: Sequence[Piece], levels: dict[str, int], height: int) -> Fitted:
    chosen = [(piece.name, piece.at(levels[piece.name])) for piece in pieces]
    blocks = tuple((name, shown) for name, shown in chosen if shown)
    return Fitted(blocks, height - sum(len(shown) for _, shown in blocks))


def spread_blocks(blocks: Sequence[Block], room: int) -> list[list[Block]]:
    """The blocks on as few pages of ``room`` rows as they need, none of them left out.

    A block that fits on a page is divided only where that saves a page.
    """
    whole = fill_pages(blocks, room, may_divide=False)
    divided = fill_pages(blocks, room, may_divide=True)
    return whole if len(whole) <= len(divided) else divided


def fill_pages(blocks: Sequence[Block], room: int, *, may_divide: bool) -> list[list[Block]]:
    """The blocks in order on pages of ``room`` rows; one that fits no page is divided anyway."""
    pages: list[list[Block]] = [[]]
    for shown in blocks:
        rest = shown
        while rest:
            free = room - sum(len(other) for other in pages[-1])
            is_whole = len(rest) <= free
            if free <= 0 or (not is_whole and pages[-1] and len(rest) <= room and not may_divide):
                pages.append([])
                continue
            pages[-1].append(rest[:free])
            rest = rest[free:]
    return pages
