"""Rows of words in columns made of spaces: read well on a screen, in a file and aloud.

Imports nothing of the project.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from textwrap import wrap

INDENT = "  "
Row = Sequence[str]
_GLUED = re.compile(r"(?<=\d) (?=\d+/\d|(?:in|mm|ft|min|h|s|days?)\b)")
_COUNTED = re.compile(r"(?<![\w/])(\d+) × (?=\S)")
_KEPT_SPACE = "\N{NO-BREAK SPACE}"


def fold_text(text: str, width: int, first: str = "", rest: str = "") -> list[str]:
    """The text in lines of at most ``width``; a number stays with its unit or what it counts.

    ``first`` and ``rest`` stand in front of the first line and of all others.
    """
    counted = _COUNTED.sub(rf"\1{_KEPT_SPACE}×{_KEPT_SPACE}", text)
    glued = _GLUED.sub(_KEPT_SPACE, counted)
    lines = wrap(glued, width, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)
    return [line.replace(_KEPT_SPACE, " ") for line in lines]


def align_rows(rows: Sequence[Row], right: Sequence[int] = ()) -> list[str]:
    """The rows with equally wide columns, two spaces apart; ``right`` lists columns set right.

    Rows may be shorter than the longest; trailing spaces are taken off.
    """
    count = max((len(row) for row in rows), default=0)
    widths = [max(len(row[c]) for row in rows if c < len(row)) for c in range(count)]
    return [
        "  ".join(
            cell.rjust(widths[c]) if c in right else cell.ljust(widths[c])
            for c, cell in enumerate(row)
        ).rstrip()
        for row in rows
    ]


def fold_item(text: str, width: int, indent: str = INDENT) -> list[str]:
    """One entry of a list: indented, and folded further in where it is too long."""
    return fold_text(text, width, indent, f"{indent}  ")


def fold_rows(rows: Sequence[Row], width: int, right: Sequence[int] = ()) -> list[str]:
    """The rows in columns, indented; where they do not fit, each row as words with commas."""
    return fold_groups([("", rows)], width, right)


def fold_groups(
    groups: Sequence[tuple[str, Sequence[Row]]], width: int, right: Sequence[int] = ()
) -> list[str]:
    """Groups of rows under their headings, all in the same columns; folded as ``fold_rows``."""
    aligned = align_rows([row for _, rows in groups for row in rows], right)
    fits = all(len(INDENT + line) <= width for line in aligned)
    lines: list[str] = []
    place = 0
    for heading, rows in groups:
        lines += fold_item(heading, width)
        if fits:
            lines += [INDENT + line for line in aligned[place : place + len(rows)]]
        else:
            texts = [", ".join(cell for cell in row if cell) for row in rows]
            lines += [line for text in texts for line in fold_item(text, width)]
        place += len(rows)
    return lines


def title_section(title: str, lines: list[str], width: int) -> list[str]:
    """An empty line, the title and the lines; nothing where there are no lines."""
    return ["", *fold_item(title, width, ""), *lines] if lines else []
