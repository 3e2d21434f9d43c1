"""Headlines, numbers and plates in tall letters, where they fit; None where they do not.

Imports ``glyphs`` and ``lines``.
"""

from __future__ import annotations

from collections.abc import Sequence

from shopstep.present.card import CardNumber
from shopstep.tui.glyphs import can_draw, tall, tall_length, tall_width
from shopstep.tui.lines import EMPTY, Block, Line, Span, block, tie_words
from shopstep.tui.theme import Role

NUMBER_GAP = 5
"""Empty cells between two numbers side by side."""
LARGE_FROM_WIDTH, LARGE_ROWS = 100, 4
"""Running text is drawn in tall letters too where so many cells are so small."""


def fold_tall(text: str, width: int, scale: int, most: int) -> list[str] | None:
    """The text in at most ``most`` lines that fit ``width`` in tall letters; None if it cannot."""
    if not can_draw(text):
        return None
    rows: list[str] = []
    for word in tie_words(text.strip()):
        longer = f"{rows[-1]} {word}" if rows else word
        if rows and tall_width(longer, scale) <= width:
            rows[-1] = longer
        elif tall_width(word, scale) <= width:
            rows.append(word)
        else:
            return None
    return rows if 0 < len(rows) <= most else None


def tall_block(
    text: str, width: int, role: Role, *, margin: int = 0, scale: int = 1, most: int = 1
) -> Block | None:
    """The text in tall letters as a block; None where it does not fit."""
    rows = fold_tall(text, width - 2 * margin, scale, most)
    if rows is None:
        return None
    blocks = [block(tall(row, scale), role, margin) for row in rows]
    parted = [(EMPTY, *shown) if index else shown for index, shown in enumerate(blocks)]
    return tuple(line for shown in parted for line in shown)


def large_text(text: str, width: int, margin: int, role: Role) -> Block | None:
    """Running text in tall letters, on a very large screen only."""
    if width < LARGE_FROM_WIDTH:
        return None
    return tall_block(text, width, role, margin=margin, most=LARGE_ROWS)


def plate(text: str, width: int, role: Role) -> Block | None:
    """A filled band across the whole width with the text in tall letters; None if too wide."""
    rows = fold_tall(text, width - 4, 1, 1)
    if rows is None:
        return None
    bare = [Line((), role), *[Line((Span("  " + row, role),), role) for row in tall(text)]]
    return tuple(bare)


def number_block(
    numbers: Sequence[CardNumber], width: int, scale: int, margin: int
) -> Block | None:
    """Numbers side by side, the label beneath each; several rows of them if need be."""
    columns = [_draw_number(number, scale) for number in numbers]
    rows: list[list[list[str]]] = []
    for column in columns:
        if len(column[0]) > width - 2 * margin:
            return None
        used = sum(len(other[0]) + NUMBER_GAP for other in rows[-1]) if rows else width
        if used + len(column[0]) > width - 2 * margin:
            rows.append([column])
        else:
            rows[-1].append(column)
    drawn = [_join_columns(row, margin) for row in rows]
    return tuple(
        line for index, rows in enumerate(drawn) for line in ((EMPTY,) * (index > 0) + rows)
    )


def _draw_number(number: CardNumber, scale: int) -> list[str]:
    """Rows of one number, its label last, all of one width."""
    drawn = tall_length(number.text, scale)
    width = max(len(drawn[0]), len(number.label))
    return [row.ljust(width) for row in [*drawn, number.label]]


def _join_columns(columns: list[list[str]], margin: int) -> Block:
    height = max(len(column) for column in columns)
    padded = [_centre(column[:-1], height - 1) + column[-1:] for column in columns]
    gap = " " * NUMBER_GAP
    rows = [gap.join(parts) for parts in zip(*padded, strict=True)]
    return (*block(rows[:-1], Role.NUMBER, margin), *block(rows[-1:], Role.QUIET, margin))


def _centre(rows: list[str], height: int) -> list[str]:
    """Empty rows above and below, so that whole inches and counts stand on one line."""
    blank = [" " * len(rows[0])]
    above = (height - len(rows)) // 2
    return blank * above + rows + blank * (height - len(rows) - above)


def first_of(*sizes: Block | None) -> tuple[Block, ...]:
    """Renderings from the roomiest down, where one that does not fit gives way to the next."""
    kept: list[Block] = []
    for size in reversed(sizes):
        kept.insert(0, size if size is not None else kept[0])
    return tuple(kept)
