"""Each board, sheet and roll as a drawing of its cuts: what comes off first has number 1.

Here for a terminal: along the piece to scale, each row a lane. ``cut_svg`` draws the same.
Imports ``model``, board letters of ``milling``, the rests of ``stock``, and words of this room.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.milling.rough import name_boards
from shopstep.model.material import Form, Material
from shopstep.model.plan import Plan
from shopstep.model.stock import Cut, Rest, StockPiece
from shopstep.present.columns import fold_item
from shopstep.present.pencil_marks import Owner, pencil_marks
from shopstep.present.stock_text import plane_words
from shopstep.stock.rests import rests_of_piece
from shopstep.units import ZERO, Length, format_length
from shopstep.words import say

SPARE = "+"
"""Stands before the mark of a spare blank."""
_WASTE, _REST, _EDGE = ".", "~", "|"


@dataclass(frozen=True, slots=True)
class DrawnCut:
    """One part on a piece of stock."""

    number: int
    """In the order in which parts come off this piece."""
    mark: str
    """What is pencilled on it: ``SR L``."""
    cut: Cut


@dataclass(frozen=True, slots=True)
class Drawing:
    """One piece of stock with all that is drawn on it."""

    piece: StockPiece
    title: str
    form: Form
    sections: tuple[tuple[Length, Length], ...]
    """Begin and end of what is cut by itself: rough lengths, rows across a sheet, across a section
    of it, or across a roll."""
    cuts: tuple[DrawnCut, ...]
    rests: tuple[Rest, ...]

    @property
    def sawn_at(self) -> tuple[Length, ...]:
        """Where each rough length or section ends."""
        lengths = self.piece.sections
        kerf = self.piece.kerf
        return tuple(sum(lengths[: n + 1], ZERO) + kerf.times(n) for n in range(len(lengths)))

    def size_words(self, length: Length, width: Length, display: str) -> str:
        """ "34 in × 5 1/2 in"."""
        return f"{format_length(length, display)} × {format_length(width, display)}"


def draw_cuts(plan: Plan) -> tuple[Drawing, ...]:
    """A drawing for each piece of stock, in the order of the plan."""
    forms = {material.id: material.form for material in plan.materials}
    materials = {material.id: material for material in plan.materials}
    letters, marks = name_boards(plan.stock), pencil_marks(plan)
    return tuple(
        Drawing(
            piece,
            _title(plan, piece, letters.get(piece.id, ""), materials[piece.material]),
            forms[piece.material],
            _sections(piece, forms[piece.material]),
            tuple(
                DrawnCut(number, _mark(marks.get((cut.part, cut.hand), "?"), cut), cut)
                for number, cut in enumerate(piece.cuts, 1)
            ),
            rests_of_piece(piece, forms[piece.material]),
        )
        for piece in plan.stock
        if piece.material in forms
    )


def _mark(mark: str, cut: Cut) -> str:
    return f"{SPARE} {mark}" if cut.spare else mark


def _title(plan: Plan, piece: StockPiece, letter: str, material: Material) -> str:
    named = f"{letter} ({piece.id})" if letter not in ("", piece.id) else piece.id
    size = f"{format_length(piece.length, plan.display)} × " + format_length(
        piece.width, plan.display
    )
    kerf = say(", kerf {kerf}", kerf=format_length(piece.kerf, plan.display)) if piece.kerf else ""
    sawn = ", ".join(format_length(length, plan.display) for length in piece.sections)
    told = (
        say("; sawn first into {sawn}", sawn=sawn) if sawn and material.form is Form.SHEET else ""
    )
    planed = plane_words(piece, plan)
    return f"{named}: {material.title}, {size}{kerf}{f'; {planed}' if planed else ''}{told}"


def _sections(piece: StockPiece, form: Form) -> tuple[tuple[Length, Length], ...]:
    found: list[tuple[Length, Length]] = []
    start = ZERO
    for length in piece.sections or (piece.length,):
        end = start + length
        own = [cut for cut in piece.cuts if start <= cut.at_length < end]
        found += [(start, end)] if form is Form.BOARD else _rows_of(own, (start, end), form)
        start = end + piece.kerf
    return tuple(found)


def _rows_of(
    cuts: list[Cut], ends: tuple[Length, Length], form: Form
) -> list[tuple[Length, Length]]:
    """Rows across a roll, a sheet or a section of it, and what is cut lengthwise behind them."""
    found: list[tuple[Length, Length]] = []
    rows = [cut for cut in cuts if cut.across or form is Form.ROLL]
    for cut in sorted(rows, key=lambda cut: cut.at_length):
        behind = cut.at_length + cut.length
        if found and cut.at_length < found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], behind))
        else:
            found.append((cut.at_length, behind))
    along = [cut for cut in cuts if not (cut.across or form is Form.ROLL)]
    if along:
        found.append((min(cut.at_length for cut in along) if found else ends[0], ends[1]))
    return found


def used_marks(drawings: tuple[Drawing, ...], plan: Plan) -> list[str]:
    """What each mark that is drawn stands for: "SR L: left side rail"."""
    labels: dict[Owner, str] = {(part.name, part.hand): part.label for part in plan.parts}
    drawn = {
        (each.cut.part, each.cut.hand): each.mark.removeprefix(f"{SPARE} ")
        for drawing in drawings
        for each in drawing.cuts
    }
    told = [f"{mark}: {labels[owner]}" for owner, mark in sorted(
        drawn.items(), key=lambda pair: pair[1]) if owner in labels]  # fmt: skip
    is_spare = any(each.cut.spare for drawing in drawings for each in drawing.cuts)
    return [
        *told,
        *([say("{spare}: a spare blank, for trial cuts", spare=SPARE)] if is_spare else []),
    ]


def cut_lines(plan: Plan, width: int = 78) -> list[str]:
    """All drawings in lines of at most ``width`` characters, and what the marks stand for."""
    drawings = draw_cuts(plan)
    if not drawings:
        return []
    lines: list[str] = []
    for drawing in drawings:
        lines += fold_item(drawing.title, width)
        lines += [f"    {row}" for row in _rows(drawing, plan.display, width - 4)]
    lines += fold_item(
        say(
            "Numbers: the order in which parts come off. {waste} waste, {rest} kept. Marks: ",
            waste=_WASTE * 3,
            rest=_REST * 3,
        )
        + "; ".join(used_marks(drawings, plan)),
        width,
    )
    return lines


def _rows(drawing: Drawing, display: str, columns: int) -> list[str]:
    """Rows of one piece: the first lane of every section, then the second…, then what remains."""
    sheet = _Canvas(columns, drawing.piece.length)
    for start, end in drawing.sections:
        own = [each for each in drawing.cuts if start <= each.cut.at_length < end]
        lanes = sorted({each.cut.at_width for each in own})
        for row, at in enumerate(lanes):
            sheet.fill(row, start, end, _WASTE)
            for each in own:
                if each.cut.at_width == at:
                    sheet.box(row, each.cut.at_length, each.cut.length, _labels(each, display))
            for rest in drawing.rests:
                if rest.at_width == at and start < rest.at_length < end:
                    sheet.box(row, rest.at_length, rest.length, _rest_labels(rest, display), _REST)
        for rest in drawing.rests:
            if rest.at_width not in lanes and start <= rest.at_length < end:
                told = _rest_labels(rest, display)
                sheet.box(len(lanes), rest.at_length, rest.length, told, _REST)
    for rest in drawing.rests:
        if not any(start <= rest.at_length < end for start, end in drawing.sections):
            sheet.box(0, rest.at_length, rest.length, _rest_labels(rest, display), _REST)
    return sheet.lines()


def _labels(each: DrawnCut, display: str) -> list[str]:
    """What may stand in a box, the fullest first."""
    length, width = (format_length(n, display) for n in (each.cut.length, each.cut.width))
    head = f"{each.number} {each.mark}"
    return [f"{head} {length} × {width}", f"{head} {length}", head, str(each.number)]


def _rest_labels(rest: Rest, display: str) -> list[str]:
    length, width = (format_length(n, display) for n in (rest.length, rest.width))
    return [
        say("rest {length} × {width}", length=length, width=width),
        say("rest {length}", length=length),
        "rest",
    ]


class _Canvas:
    """Rows of characters over the length of a piece."""

    def __init__(self, columns: int, length: Length) -> None:
        self._columns, self._length = columns, length
        self._rows: list[list[str]] = []

    def _row(self, row: int) -> list[str]:
        while len(self._rows) <= row:
            self._rows.append([" "] * self._columns)
        return self._rows[row]

    def _at(self, where: Length) -> int:
        return min(self._columns - 1, (self._columns - 1) * where.nm // self._length.nm)

    def fill(self, row: int, start: Length, end: Length, sign: str) -> None:
        """One sign over a length, between two edges."""
        line, first, last = self._row(row), self._at(start), self._at(end)
        line[first : last + 1] = [_EDGE, *sign * (last - first - 1), _EDGE][: last - first + 1]

    def box(
        self, row: int, start: Length, length: Length, labels: list[str], sign: str = " "
    ) -> None:
        """Something with its label, the fullest that fits."""
        self.fill(row, start, start + length, sign)
        first, last = self._at(start), self._at(start + length)
        room = last - first - 1
        label = next((text for text in labels if len(text) <= room), "")
        self._row(row)[first + 1 : first + 1 + len(label)] = list(label)

    def lines(self) -> list[str]:
        """The rows without spaces at their ends."""
        return ["".join(row).rstrip() for row in self._rows]
