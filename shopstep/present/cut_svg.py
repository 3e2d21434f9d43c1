"""The cut drawings as one SVG picture. Imports the drawings of this room."""

from __future__ import annotations

from dataclasses import dataclass
from xml.sax.saxutils import escape

from shopstep.model.material import Form
from shopstep.model.plan import Plan
from shopstep.model.stock import Rest
from shopstep.present.cut_drawing import Drawing, DrawnCut, draw_cuts, used_marks
from shopstep.units import Length, format_length
from shopstep.words import say

_WIDE, _LEFT, _GAP, _TITLE, _RULE = 1000, 20, 18, 22, 16
_TALLER = 4
"""Boards are drawn so many times wider than to scale: slices could not be seen else."""
_WOOD, _SAWDUST, _REST, _INK = "#ffffff", "#e8d9bd", "#cfe3cf", "#222222"
_LETTER = 0.58
"""Width of a letter, of its height; a little more than most fonts need."""
_BOLD_LETTER = 0.62


@dataclass(frozen=True, slots=True)
class _Scale:
    """From lengths to points of the picture."""

    x: float
    y: float
    top: float

    def across(self, length: Length) -> float:
        """A length along the piece, in points."""
        return round(length.nm * self.x, 2)

    def down(self, width: Length) -> float:
        """A width, in points."""
        return round(width.nm * self.y, 2)


def cuts_svg(plan: Plan) -> str:
    """Every board, sheet and roll, the parts on it with marks, sizes and numbers, and the rests."""
    drawings = draw_cuts(plan)
    longest = max((drawing.piece.length.nm for drawing in drawings), default=1)
    x = _WIDE / longest
    parts: list[str] = []
    top = 30.0
    for drawing in drawings:
        scale = _Scale(x, x * (_TALLER if drawing.form is Form.BOARD else 1), top + _TITLE)
        parts.append(_piece(drawing, scale, plan.display))
        top += _TITLE + scale.down(drawing.piece.width) + _RULE + _GAP
    marks = _wrap(say("Marks: ") + "; ".join(used_marks(drawings, plan)), 150)
    note = say(
        "Numbers: the order in which parts come off a piece. Green: kept for the rack. Boards are"
        " drawn {taller} times as wide as to scale; grain runs from left to right.",
        taller=_TALLER,
    )
    for line in (note, *marks):
        parts.append(_text(_LEFT, top + 12, 12, line))
        top += 17
    width, height = _WIDE + 2 * _LEFT, round(top + 12)
    title = escape(say("{build_title}: cuts", build_title=plan.build_title))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" '
        f'viewBox="0 0 {width} {height}" font-family="sans-serif">\n<title>{title}</title>\n'
        f'<rect width="{width}" height="{height}" fill="#ffffff"/>\n'
        f"{_text(_LEFT, 18, 15, plan.build_title, bold=True)}\n" + "\n".join(parts) + "\n</svg>\n"
    )


def piece_svgs(plan: Plan) -> tuple[str, ...]:
    """Each board, sheet and roll as a picture of its own, all at one scale along the piece."""
    drawings = draw_cuts(plan)
    x = _WIDE / max((drawing.piece.length.nm for drawing in drawings), default=1)
    return tuple(_alone(drawing, x, plan.display) for drawing in drawings)


def _alone(drawing: Drawing, x: float, display: str) -> str:
    scale = _Scale(x, x * (_TALLER if drawing.form is Form.BOARD else 1), _TITLE)
    width = _WIDE + 2 * _LEFT
    height = round(_TITLE + scale.down(drawing.piece.width) + _RULE + 2)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" '
        f'viewBox="0 0 {width} {height}" font-family="sans-serif">\n'
        f"{_piece(drawing, scale, display)}\n</svg>\n"
    )


def _piece(drawing: Drawing, scale: _Scale, display: str) -> str:
    piece = drawing.piece
    source = say("from the rack") if piece.from_rack else say("to buy")
    title = f"{drawing.title}, {source}"
    size = min(13.0, _WIDE / (_BOLD_LETTER * len(title)))
    parts = [
        _text(_LEFT, scale.top - 6, size, title, bold=True),
        _box(scale, (Length(0), Length(0), piece.length, piece.width), _SAWDUST, 1.5),
    ]
    parts += [_rest(rest, scale, display) for rest in drawing.rests]
    parts += [_cut(each, drawing, scale, display) for each in drawing.cuts]
    parts += _ends(drawing, scale, display)
    return "\n".join(parts)


def _ends(drawing: Drawing, scale: _Scale, display: str) -> list[str]:
    """Where the piece is cut right across, measured from its left end; thickest where it is sawn
    through before all else."""
    piece, bottom = drawing.piece, scale.top + scale.down(drawing.piece.width)
    found: list[str] = []
    last = -100.0
    sawn = drawing.sawn_at if drawing.form is Form.SHEET else ()
    for end in sorted({end for _, end in drawing.sections} | set(sawn)):
        if end >= piece.length:
            continue
        x = _LEFT + scale.across(end)
        kerf = max(4.0 if end in sawn else 1.0, scale.across(piece.kerf))
        found.append(
            f'<line x1="{x + kerf / 2:.2f}" x2="{x + kerf / 2:.2f}" y1="{scale.top - 3:.2f}" '
            f'y2="{bottom + 4:.2f}" stroke="#a01010" stroke-width="{kerf:.2f}"/>'
        )
        if x - last > 60:
            found.append(_text(x - 2, bottom + 14, 10, format_length(end, display)))
            last = x
    return found


def _cut(each: DrawnCut, drawing: Drawing, scale: _Scale, display: str) -> str:
    cut = each.cut
    place = (cut.at_length, cut.at_width, cut.length, cut.width)
    size = drawing.size_words(cut.length, cut.width, display)
    head = f"{each.number} {each.mark}"
    short = f"{head} {format_length(cut.length, display)}"
    labels = [[f"{head}  {size}"], [head, size], [short], [head], [str(each.number)]]
    return _box(scale, place, _WOOD, 1.0, f"{head}: {size}") + _label(scale, place, labels)


def _rest(rest: Rest, scale: _Scale, display: str) -> str:
    place = (rest.at_length, rest.at_width, rest.length, rest.width)
    size = f"{format_length(rest.length, display)} × {format_length(rest.width, display)}"
    left = say("rest")
    labels = [
        [say("rest {size}", size=size)],
        [left, size],
        [left, *size.replace(" × ", " ×|").split("|")],
        [left],
    ]
    return _box(scale, place, _REST, 1.0, say("rest {size}", size=size)) + _label(
        scale, place, labels
    )


Place = tuple[Length, Length, Length, Length]
"""Along and across to the corner; length and width."""


def _box(scale: _Scale, place: Place, fill: str, stroke: float, told: str = "") -> str:
    along, across, length, width = place
    title = f"<title>{escape(told)}</title>" if told else ""
    return (
        f'<rect x="{_LEFT + scale.across(along):.2f}" y="{scale.top + scale.down(across):.2f}" '
        f'width="{scale.across(length):.2f}" height="{scale.down(width):.2f}" fill="{fill}" '
        f'stroke="{_INK}" stroke-width="{stroke}">{title}</rect>'
    )


def _label(scale: _Scale, place: Place, labels: list[list[str]]) -> str:
    """The fullest label that fits, as large as the box allows, from 5 to 12 points.

    The last one, a number or a word, is made smaller where that helps.
    """
    along, across, length, width = place
    room, high = scale.across(length) - 6, scale.down(width) - 1.5
    for lines in labels:
        size = min(12.0, high / (1 + 1.3 * (len(lines) - 1)))
        longest = max(map(len, lines)) * _LETTER
        if lines is labels[-1]:
            room += 3
            size = min(size, room / longest - 0.01)
        if size < (5 if len(lines) == 1 else 8) or longest * size > room:
            continue
        x = _LEFT + scale.across(along) + 3
        middle = scale.top + scale.down(across) + scale.down(width) / 2 + size * 0.36
        first = middle - 0.65 * size * (len(lines) - 1)
        return "".join(_text(x, first + 1.3 * size * n, size, line) for n, line in enumerate(lines))
    return ""


def _text(x: float, y: float, size: float, text: str, *, bold: bool = False) -> str:
    weight = ' font-weight="bold"' if bold else ""
    return f'<text x="{x:.2f}" y="{y:.2f}" font-size="{size:.3g}"{weight}>{escape(text)}</text>'


def _wrap(text: str, width: int) -> list[str]:
    from textwrap import wrap

    return wrap(text, width)
