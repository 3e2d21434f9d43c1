"""Blocks in order, each in several sizes, brought to the height there is by a fixed list.

Imports ``lines``. What gives way first is decided by the list of concessions and by nothing else,
so a screen of a given size always looks the same.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shopstep.tui.lines import EMPTY, Block

GAP = "gap"
"""Concession that takes away the empty rows between blocks."""


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
    has_gaps: bool
    is_cut: bool
    """Even the smallest sizes did not fit."""

    def rows(self) -> Block:
        """All rows, with the empty ones between blocks."""
        rows: list[Block] = []
        for _, shown in self.blocks:
            rows.append((EMPTY, *shown) if rows and self.has_gaps else shown)
        return tuple(line for shown in rows for line in shown)


def fit_pieces(
    pieces: Sequence[Piece], concessions: Sequence[tuple[str, int]], height: int
) -> Fitted:
    """Give way along ``concessions`` (name of a piece, its level then) until all fits."""
    levels = {piece.name: 0 for piece in pieces}
    levels[GAP] = 0
    fitted = _choose(pieces, levels, height)
    for name, level in concessions:
        if not fitted.is_cut:
            break
        if name in levels:
            levels[name] = max(levels[name], level)
            fitted = _choose(pieces, levels, height)
    return fitted


def _choose(pieces: Sequence[Piece], levels: dict[str, int], height: int) -> Fitted:
    chosen = [(piece.name, piece.at(levels[piece.name])) for piece in pieces]
    blocks = tuple((name, shown) for name, shown in chosen if shown)
    has_gaps = levels[GAP] == 0
    needed = sum(len(shown) for _, shown in blocks) + has_gaps * max(0, len(blocks) - 1)
    return Fitted(blocks, has_gaps, needed > height)
