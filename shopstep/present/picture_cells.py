"""A picture as lines of characters for a terminal, in dots of braille. Imports ``model``.

A cell holds 2 × 4 dots. Heavy lines are whole, light lines every other dot, so that they differ
without colour; hatching is too fine for it. Words and numbers stand over the dots.
"""

from __future__ import annotations

from collections.abc import Callable
from math import atan2, cos, hypot, pi, sin
from textwrap import wrap

from shopstep.model.picture import Arrow, Line, Picture, Weight

_BRAILLE = 0x2800
_BITS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
LEAST_COLUMNS, LEAST_ROWS = 40, 12
"""Smallest room that a picture can be read in with ease."""
SMALLEST_ROWS = 8
"""The least that it is drawn in at all, where a screen has no more."""
_NOTE_ROWS = 3
"""Rows that a note may have in any room: names of numbered pieces are not to be cut."""
_DOT = "×"
"""Stands for a fastener without a number."""
_HEAD_DOTS = 4.0
_OPEN_DEG = 150.0

At = Callable[[float, float], tuple[float, float]]


def picture_cells(picture: Picture, columns: int, rows: int) -> tuple[str, ...]:
    """At most ``rows`` lines of at most ``columns`` characters: the picture, below it its note.

    Room below 40 × 8 is taken as 40 × 8.
    """
    columns, rows = max(columns, LEAST_COLUMNS), max(rows, SMALLEST_ROWS)
    note = wrap(picture.note, columns)[: max(_NOTE_ROWS, rows // 4)]
    canvas = _Canvas(columns, rows - len(note))
    at = canvas.fit(picture)
    for line in picture.lines:
        if line.weight in (Weight.GLUE, Weight.BARE):
            continue
        canvas.draw(at(line.x1, line.y1), at(line.x2, line.y2), line.weight is Weight.HEAVY)
    for arrow in picture.arrows:
        _draw_arrow(canvas, arrow, at)
    for mark in picture.marks:
        if mark.is_dot:
            canvas.spot(at(mark.x, mark.y), mark.text or _DOT)
        else:
            canvas.write(at(mark.x, mark.y), mark.text)
    lines = canvas.lines()
    return (*lines, *_under(lines, note, columns))


def _under(lines: tuple[str, ...], note: list[str], columns: int) -> list[str]:
    """The note begins where the picture does, if it fits there."""
    left = min((len(line) - len(line.lstrip()) for line in lines if line), default=0)
    left = min(left, columns - max((len(row) for row in note), default=0))
    return [" " * left + row for row in note]


def _draw_arrow(canvas: _Canvas, arrow: Arrow, at: At) -> None:
    start, end = at(arrow.x1, arrow.y1), at(arrow.x2, arrow.y2)
    canvas.draw(start, end, True)
    if hypot(end[0] - start[0], end[1] - start[1]) < 2 * _HEAD_DOTS:
        return
    turn = atan2(end[1] - start[1], end[0] - start[0])
    for side in (-1, 1):
        angle = turn + side * _OPEN_DEG * pi / 180
        tip = end[0] + _HEAD_DOTS * cos(angle), end[1] + _HEAD_DOTS * sin(angle)
        canvas.draw(end, tip, True)


class _Canvas:
    """Dots and words; x to the right, y down, in dots."""

    def __init__(self, columns: int, rows: int) -> None:
        self._columns, self._rows = columns, rows
        self._dots = [[0] * columns for _ in range(rows)]
        self._words: dict[tuple[int, int], str] = {}

    def fit(self, picture: Picture) -> At:
        """From the picture's plane to dots: as large as there is room, in the middle."""
        shapes: tuple[Line | Arrow, ...] = (*picture.lines, *picture.arrows)
        xs = [x for s in shapes for x in (s.x1, s.x2)] + [mark.x for mark in picture.marks]
        ys = [y for s in shapes for y in (s.y1, s.y2)] + [mark.y for mark in picture.marks]
        wide, high = 2 * self._columns - 1, 4 * self._rows - 1
        scale = min(wide / (max(xs) - min(xs) or 1.0), high / (max(ys) - min(ys) or 1.0))
        dx = (wide - (max(xs) + min(xs)) * scale) / 2
        dy = (high + (max(ys) + min(ys)) * scale) / 2
        return lambda x, y: (dx + x * scale, dy - y * scale)

    def draw(self, start: tuple[float, float], end: tuple[float, float], heavy: bool) -> None:
        """A straight line; a light one leaves out every other dot."""
        x1, y1, x2, y2 = (round(value) for value in (*start, *end))
        steps = max(abs(x2 - x1), abs(y2 - y1), 1)
        is_flat = abs(x2 - x1) >= abs(y2 - y1)
        for n in range(steps + 1):
            x, y = round(x1 + (x2 - x1) * n / steps), round(y1 + (y2 - y1) * n / steps)
            if heavy or (x if is_flat else y) % 2 == 0:
                self._dot(x, y)

    def _dot(self, x: int, y: int) -> None:
        if 0 <= x < 2 * self._columns and 0 <= y < 4 * self._rows:
            self._dots[y // 4][x // 2] |= _BITS[y % 4][x % 2]

    def write(self, at: tuple[float, float], text: str) -> None:
        """A word with its middle at a point, moved until it lies inside and beside other words."""
        middle = min(max(int(at[1] // 4), 0), self._rows - 1)
        shown = text[: self._columns]
        column = round(at[0] / 2 - len(shown) / 2)
        column = min(max(column, 0), self._columns - len(shown))
        rows = [row for row in (middle, middle + 1, middle - 1) if 0 <= row < self._rows]
        span = range(column - 1, column + len(shown) + 1)
        free = [row for row in rows if not any((row, c) in self._words for c in span)]
        for n, letter in enumerate(shown if free else ""):
            self._words[free[0], column + n] = letter

    def spot(self, at: tuple[float, float], text: str) -> None:
        """A number just where it belongs, unless something is written there already."""
        row = min(max(int(at[1] // 4), 0), self._rows - 1)
        column = min(max(int(at[0] // 2), 0), self._columns - len(text))
        cells = [(row, column + n) for n in range(len(text))]
        if not any(cell in self._words for cell in cells):
            self._words |= dict(zip(cells, text, strict=True))

    def lines(self) -> tuple[str, ...]:
        """All rows, without spaces at their ends."""
        return tuple(
            "".join(
                self._words.get((r, c)) or (chr(_BRAILLE + bits) if bits else " ")
                for c, bits in enumerate(row)
            ).rstrip()
            for r, row in enumerate(self._dots)
        )
