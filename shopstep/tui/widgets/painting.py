"""Lines to strips: the one place where roles become styles.

Imports ``lines`` and ``theme``; every widget of the bench screen draws through here.
"""

from __future__ import annotations

from typing import Protocol, cast

from rich.segment import Segment
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from shopstep.tui.lines import EMPTY, Block, Line
from shopstep.tui.theme import Dress, Role


class Dressed(Protocol):
    """An app that says how roles look."""

    dress: Dress


def dress_of(widget: Widget) -> Dress:
    """How roles look in the widget's app just now."""
    return cast("Dressed", widget.app).dress


def paint_line(line: Line, width: int, dress: Dress) -> Strip:
    """The line as a strip of exactly ``width`` cells."""
    segments = [Segment(span.text, dress[span.role]) for span in line.spans if span.text]
    strip = Strip(segments)
    return strip.adjust_cell_length(width, dress[line.fill])


class Rows(Widget):
    """A widget that shows rows of lines and repaints only those that changed."""

    DEFAULT_CSS = "Rows { width: 100%; height: 0; }"
    ALLOW_SELECT = False

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.rows: Block = ()
        """What is shown, from the top."""

    def show_rows(self, rows: Block) -> None:
        """Show other rows; those that stay the same are not painted again."""
        before, self.rows = self.rows, rows
        for y in range(max(len(before), len(rows))):
            old = before[y] if y < len(before) else EMPTY
            new = rows[y] if y < len(rows) else EMPTY
            if old != new:
                self._repaint(y, old, new)

    def _repaint(self, y: int, old: Line, new: Line) -> None:
        """Paint the cells of a row from the first to the last that differ."""
        first, last = changed_cells(old, new, self.size.width)
        self.refresh(Region(first, y, max(1, last - first), 1))

    def set_height(self, rows: int) -> None:
        """Take that many rows of the screen; none hides the widget."""
        self.styles.height = rows
        self.display = rows > 0

    def render_line(self, y: int) -> Strip:
        """One row, for the compositor."""
        line = self.rows[y] if y < len(self.rows) else EMPTY
        return paint_line(line, self.size.width, dress_of(self))


def changed_cells(old: Line, new: Line, width: int) -> tuple[int, int]:
    """First cell that differs, and the one after the last; (0, 0) when nothing differs."""
    before, after = _cells(old, width), _cells(new, width)
    differing = [x for x in range(width) if before[x] != after[x]]
    return (differing[0], differing[-1] + 1) if differing else (0, 0)


def _cells(line: Line, width: int) -> list[tuple[str, Role]]:
    cells = [(ch, span.role) for span in line.spans for ch in span.text][:width]
    return cells + [(" ", line.fill)] * (width - len(cells))
