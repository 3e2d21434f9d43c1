"""Where on a step's card the picture stands: in what its words leave free, and nowhere else.

Imports ``lines`` and the least size of a picture. The card is laid out as if there were none, so
no word, number or button gives way or moves when it comes.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate

from shopstep.present.picture_cells import LEAST_COLUMNS, LEAST_ROWS
from shopstep.tui.lines import EMPTY, Block, Line, Span
from shopstep.tui.theme import Role

APART = 3
"""Empty columns between words and a picture beside them; above and below it is an empty row."""
LEAST_ROOMS = ((LEAST_COLUMNS, LEAST_ROWS), (60, 10))
"""Columns and rows, one of which a place must have: a wide one may be two rows lower."""
WIDE_TO_HIGH = 3
"""Columns for each row that a common picture fills."""
_LOWEST = min(rows for _, rows in LEAST_ROOMS)
_BARE = frozenset({Role.TEXT, Role.STRONG, Role.QUIET, Role.HEAD, Role.NUMBER})
"""Roles whose spaces show nothing."""


@dataclass(frozen=True, slots=True)
class Spot:
    """Free cells of a card's body."""

    x: int
    y: int
    columns: int
    rows: int


def find_spot(body: Block, width: int, height: int, margin: int) -> Spot | None:
    """The free place in which a picture is largest; None where none has room for it."""
    taken = [_taken(line, width) for line in (*body, *(EMPTY,) * (height - len(body)))][:height]
    spots = [
        spot
        for top in range(height - _LOWEST + 1)
        for spot in _spots_from(taken, top, width, margin)
    ]
    return max(spots, key=_worth, default=None)


def _spots_from(taken: list[int], top: int, width: int, margin: int) -> list[Spot]:
    """All places that begin at a row, to the right of all words in them and next to them."""
    first = max(0, top - 1)
    widest = list(accumulate(taken[first:], max))
    found = []
    for below in range(top + _LOWEST, len(taken) + 1):
        most = widest[min(below, len(taken) - 1) - first]
        x = most + APART if most else margin
        columns, rows = width - margin - x, below - top
        if any(columns >= least and rows >= low for least, low in LEAST_ROOMS):
            found.append(Spot(x, top, columns, rows))
    return found


def _worth(spot: Spot) -> tuple[int, int, int]:
    size = min(spot.columns, WIDE_TO_HIGH * spot.rows)
    return size, spot.columns * spot.rows, -spot.y


def _taken(line: Line, width: int) -> int:
    """Cells from the left edge to the last that shows something."""
    if line.fill not in _BARE:
        return width
    end = last = 0
    for span in line.spans:
        shown = span.text.rstrip() if span.role in _BARE else span.text
        if shown:
            last = end + len(shown)
        end += len(span.text)
    return last


def lay_in(body: Block, spot: Spot, cells: tuple[str, ...]) -> Block:
    """The body with the lines of a picture in their place."""
    rows = list(body) + [EMPTY] * (spot.y + len(cells) - len(body))
    for y, text in enumerate(cells[: spot.rows], spot.y):
        rows[y] = _beside(rows[y], spot.x, text[: spot.columns])
    return tuple(rows)


def _beside(line: Line, x: int, text: str) -> Line:
    if not text:
        return line
    spans: list[Span] = []
    left = x
    for span in line.spans:
        kept = span.text[:left]
        left -= len(kept)
        spans.append(Span(kept, span.role))
    return Line((*spans, Span(" " * left), Span(text)), line.fill)
