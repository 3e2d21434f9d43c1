"""Lines of styled text as plain values: what the arranging rooms hand to the widgets.

Imports ``theme`` for the roles only.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from textwrap import wrap

from shopstep.tui.theme import Role


@dataclass(frozen=True, slots=True)
class Span:
    """A run of text in one role."""

    text: str
    role: Role = Role.TEXT


@dataclass(frozen=True, slots=True)
class Line:
    """One row of the screen; ``fill`` is the role of what no span covers."""

    spans: tuple[Span, ...] = ()
    fill: Role = Role.TEXT

    @property
    def width(self) -> int:
        """Cells that the spans take."""
        return sum(len(span.text) for span in self.spans)

    @property
    def text(self) -> str:
        """The characters alone."""
        return "".join(span.text for span in self.spans)


Block = tuple[Line, ...]
"""Rows that belong together."""

EMPTY = Line()
WIDEST_TEXT = 84
"""Cells of a line of running text; longer ones are hard to find back into."""


_JOINT = "\u00a0"
_TIED = re.compile(
    r"(?<=\d) (?=\d+/\d)"  # 5 15/32
    r"|(?<=\d) (?=(?:in|mm|cm|ft|lb|min|h|s|°[CF])\b)"  # 15/32 in, 30 min
    r"|(?<=\dh) (?=\d)|(?<=\d h) (?=\d+ min)"  # 3 h 20 min
    r"|(?<=±) | (?=×)|(?<=×) "  # ± 1/16 in, 2 × stiffener
)
"""Spaces at which a line is never broken: a number, its fraction, its unit and what it counts."""


def line(text: str, role: Role = Role.TEXT, margin: int = 0) -> Line:
    """One line in one role, ``margin`` blank cells in front."""
    lead = (Span(" " * margin),) if margin else ()
    return Line((*lead, Span(text, role)))


def block(rows: Iterable[str], role: Role = Role.TEXT, margin: int = 0) -> Block:
    """Several lines in one role."""
    return tuple(line(row, role, margin) for row in rows)


def fold(text: str, width: int) -> list[str]:
    """The text in lines of at most ``width`` cells, broken between words where it can be.

    A number stays with its fraction and its unit, unless they are wider than a line.
    """
    width = max(1, width)
    tied = " ".join(_tie(words, width) for words in tie_words(text))
    rows = wrap(tied, width, break_on_hyphens=False)
    return [row.replace(_JOINT, " ") for row in rows] or [""]


def tie_words(text: str) -> list[str]:
    """The words of a text; what must stand on one line is one word with spaces in it."""
    tied = _TIED.sub(_JOINT, " ".join(text.split(" ")))
    return [word.replace(_JOINT, " ") for word in re.split(r"[ \t\n]+", tied)]


def _tie(words: str, width: int) -> str:
    """Held together where it fits a line at all."""
    return words.replace(" ", _JOINT) if len(words) <= width else words


def fold_block(text: str, width: int, role: Role = Role.TEXT, margin: int = 0) -> Block:
    """The text folded to ``width`` cells with the margin counted on both sides."""
    return block(fold(text, width - 2 * margin), role, margin)


def labelled(label: str, text: str, width: int, margin: int) -> Block:
    """A quiet label in front, the text folded beside it."""
    if not text:
        return ()
    indent = margin + len(label) + 2
    folded = fold(text, min(width, WIDEST_TEXT) - indent - margin)
    first = Line((Span(" " * margin), Span(f"{label}  ", Role.QUIET), Span(folded[0])))
    return (first, *block(folded[1:], Role.TEXT, indent))
