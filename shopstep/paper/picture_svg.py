"""A picture as SVG: the same picture gives the same bytes everywhere. Imports ``model``."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from html import escape
from math import hypot
from textwrap import wrap

from shopstep.model.picture import Arrow, Line, Mark, Picture, Weight
from shopstep.words import say

_WIDE = 640.0
_TALL = 420.0
_MARGIN = 34.0
_TITLE = 26.0
_NOTE = 22.0
_LETTERS = 88
"""Letters of the note in one line."""
_DASHES = {Weight.HIDDEN: "4 3", Weight.BARE: "0.1 5"}
At = Callable[[float, float], tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Pen:
    """What a picture is drawn with; lengths in units of a picture that is 640 wide."""

    ink: str = "#000"
    ground: str = "#fff"
    arrow: str = "#b00000"
    light: float = 0.9
    heavy: float = 2.4
    glue: float = 0.8
    bare: float = 1.6
    hidden: float = 0.7
    letters: float = 14.0
    """Height of the words in the picture."""
    head: float = 9.0
    """Length of an arrow's head."""
    shaft: float = 1.8

    def stroke(self, weight: Weight) -> float:
        """How thick a line of this weight is."""
        return {
            Weight.LIGHT: self.light,
            Weight.HEAVY: self.heavy,
            Weight.GLUE: self.glue,
            Weight.BARE: self.bare,
            Weight.HIDDEN: self.hidden,
        }[weight]


PAPER = Pen()
GLASS = Pen(
    "#f6f5ef",
    "#101210",
    "#ffd24a",
    light=1.5,
    heavy=4.0,
    glue=1.1,
    bare=2.6,
    letters=28.0,
    head=18.0,
    shaft=4.0,
)
"""On the dark ground of a page, to be seen from a step away."""
SHEET = Pen(light=1.1, heavy=2.8, letters=26.0, head=14.0, shaft=2.6)
"""On a printed sheet, where a picture is some 70 mm wide: its letters are then 8 points high."""
_NARROWEST, _WIDEST = 0.45, 1.1
"""Height of a bare picture over its width."""


def bare_svg(picture: Picture, pen: Pen = GLASS) -> str:
    """One picture without title and note, as high as it needs to be: its words stand beside it."""
    x_low, y_low, x_high, y_high = bounds(picture)
    ratio = (y_high - y_low) / (x_high - x_low or 1.0)
    margin = 2 * pen.letters
    high = (_WIDE - 2 * margin) * min(max(ratio, _NARROWEST), _WIDEST) + 2 * margin
    body = _drawn(picture, (0.0, 0.0, _WIDE, high), margin, pen)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDE:.0f} {high:.0f}" '
        f'width="{_WIDE:.0f}" height="{high:.0f}" font-family="sans-serif">\n'
        f'<rect width="{_WIDE:.0f}" height="{high:.0f}" fill="{pen.ground}"/>\n{body}</svg>\n'
    )


def sheet_picture(picture: Picture) -> tuple[str, str]:
    """One picture for a sheet of steps, and the words that stand below it."""
    below = [picture.note] if picture.note else []
    return bare_svg(picture, SHEET), "; ".join([*below, *_meant(picture)])


def picture_words(picture: Picture) -> str:
    """What a picture shows, for who does not see it: its title, the parts named in it, its note."""
    views = {"up", "front"}
    named = dict.fromkeys(m.text for m in picture.marks if m.text not in views and not m.is_dot)
    parts = ", ".join(text for text in named if not text.isdigit())
    return ". ".join(text for text in (picture.title, parts, picture.note) if text)


def picture_svg(picture: Picture) -> str:
    """One picture as a whole SVG file, black on white, with its title above and its note below."""
    note = _notes(picture)
    high = _TITLE + _TALL + _NOTE * len(note)
    body = picture_group(picture, 0.0, 0.0, _WIDE, high)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDE:.0f} {high:.0f}" '
        f'width="{_WIDE:.0f}" height="{high:.0f}" font-family="sans-serif">\n'
        f"<title>{escape(picture.title)}</title>\n"
        f'<rect width="{_WIDE:.0f}" height="{high:.0f}" fill="#fff"/>\n{body}</svg>\n'
    )


def contact_sheet(pictures: Iterable[Picture], columns: int = 4) -> str:
    """Many pictures on one sheet."""
    shown = tuple(pictures)
    rows = -(-len(shown) // columns)
    cell = _TITLE + _TALL + 2 * _NOTE
    wide, high = columns * _WIDE, rows * cell
    body = "".join(
        picture_group(picture, n % columns * _WIDE, n // columns * cell, _WIDE, cell)
        for n, picture in enumerate(shown)
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide:.0f} {high:.0f}" '
        f'width="{wide / 2:.0f}" height="{high / 2:.0f}" font-family="sans-serif">\n'
        f'<rect width="{wide:.0f}" height="{high:.0f}" fill="#fff"/>\n{body}</svg>\n'
    )


def picture_group(picture: Picture, left: float, top: float, wide: float, high: float) -> str:
    """The picture with title and note inside of a rectangle of a larger SVG, as on paper."""
    note = _notes(picture)
    inner = left, top + _TITLE, wide, high - _TITLE - _NOTE * len(note)
    foot = top + high - _NOTE * len(note) + 8
    lines = [_text(left + wide / 2, foot + n * _NOTE, line, PAPER) for n, line in enumerate(note)]
    title = _text(left + wide / 2, top + 20, picture.title, PAPER, size=16, weight="bold")
    return "".join([title, _drawn(picture, inner, _MARGIN, PAPER), *lines])


def _drawn(
    picture: Picture, inside: tuple[float, float, float, float], margin: float, pen: Pen
) -> str:
    """Lines, arrows and marks inside of left, top, width and height."""
    left, top, wide, high = inside
    room = wide - 2 * margin, high - 2 * margin
    x_low, y_low, x_high, y_high = bounds(picture)
    scale = min(room[0] / (x_high - x_low or 1.0), room[1] / (y_high - y_low or 1.0))
    dx = left + (wide - (x_high - x_low) * scale) / 2 - x_low * scale
    dy = top + margin + (room[1] + (y_high - y_low) * scale) / 2 + y_low * scale

    def at(x: float, y: float) -> tuple[float, float]:
        return dx + x * scale, dy - y * scale

    out = [
        _paths([line for line in picture.lines if line.weight is weight], at, weight, pen)
        for weight in (Weight.GLUE, Weight.BARE, Weight.HIDDEN, Weight.LIGHT, Weight.HEAVY)
    ]
    out += [_arrow(arrow, at, pen) for arrow in picture.arrows]
    out += [_mark(mark, at, pen) for mark in picture.marks]
    return "".join(out)


def bounds(picture: Picture) -> tuple[float, float, float, float]:
    """Left, bottom, right and top of everything that is drawn."""
    shapes: tuple[Line | Arrow, ...] = (*picture.lines, *picture.arrows)
    xs = [x for item in shapes for x in (item.x1, item.x2)]
    ys = [y for item in shapes for y in (item.y1, item.y2)]
    xs += [mark.x for mark in picture.marks]
    ys += [mark.y for mark in picture.marks]
    return min(xs), min(ys), max(xs), max(ys)


def _notes(picture: Picture) -> list[str]:
    """What stands below: the picture's note, and what hatching means."""
    return [*wrap(picture.note, _LETTERS), *_meant(picture)]


def _meant(picture: Picture) -> list[str]:
    """What hatching, dots and rings mean, in one line; none where there are none."""
    hatched = any(line.weight is Weight.GLUE for line in picture.lines)
    dotted = any(line.weight is Weight.BARE for line in picture.lines)
    meant = [say("hatched: glue")] if hatched else []
    meant += [say("dotted: no glue")] if dotted else []
    meant += [say("ring: on the far side")] if any(mark.is_behind for mark in picture.marks) else []
    return [", ".join(meant)] if meant else []


def _text(
    x: float, y: float, text: str, pen: Pen, *, size: float = 0.0, weight: str = "normal"
) -> str:
    ink = "" if pen.ink == PAPER.ink else f' fill="{pen.ink}"'
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size or pen.letters:g}" '
        f'font-weight="{weight}" text-anchor="middle"{ink}>{escape(text)}</text>\n'
    )


def _paths(lines: list[Line], at: At, weight: Weight, pen: Pen) -> str:
    if not lines:
        return ""
    steps = []
    for line in lines:
        (x1, y1), (x2, y2) = at(line.x1, line.y1), at(line.x2, line.y2)
        steps.append(f"M{x1:.1f} {y1:.1f}L{x2:.1f} {y2:.1f}")
    dashes = f' stroke-dasharray="{_DASHES[weight]}"' if weight in _DASHES else ""
    return (
        f'<path d="{"".join(steps)}" fill="none" stroke="{pen.ink}" stroke-linecap="round" '
        f'stroke-width="{pen.stroke(weight):g}"{dashes}/>\n'
    )


def _arrow(arrow: Arrow, at: At, pen: Pen) -> str:
    (x1, y1), (x2, y2) = at(arrow.x1, arrow.y1), at(arrow.x2, arrow.y2)
    length = hypot(x2 - x1, y2 - y1) or 1.0
    ux, uy = (x2 - x1) / length, (y2 - y1) / length
    bx, by = x2 - ux * pen.head, y2 - uy * pen.head
    side = pen.head * 0.4
    head = (
        f"{x2:.1f},{y2:.1f} {bx - uy * side:.1f},{by + ux * side:.1f} "
        f"{bx + uy * side:.1f},{by - ux * side:.1f}"
    )
    return (
        f'<path d="M{x1:.1f} {y1:.1f}L{bx:.1f} {by:.1f}" stroke="{pen.arrow}" '
        f'stroke-width="{pen.shaft:g}"/>'
        f'<polygon points="{head}" fill="{pen.arrow}"/>\n'
    )


def _mark(mark: Mark, at: At, pen: Pen) -> str:
    x, y = at(mark.x, mark.y)
    if mark.is_dot:
        return _dot(mark, x, y, pen)
    drop = pen.letters * 5 / 14
    if not mark.text.isdigit():
        return _text(x, y + drop, mark.text, pen)
    ring = f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{pen.letters * 11 / 14:g}"'
    filled = f'{ring} fill="{pen.ground}" stroke="{pen.ink}"/>'
    return filled + _text(x, y + drop, mark.text, pen, weight="bold")


def _dot(mark: Mark, x: float, y: float, pen: Pen) -> str:
    """The head of a fastener, its number above it."""
    fill = pen.ground if mark.is_behind else pen.arrow
    size = pen.letters * 3 / 14
    dot = f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{size:g}" fill="{fill}" stroke="{pen.arrow}"/>\n'
    if not mark.text:
        return dot
    above = y - 2 * size
    return dot + _text(x, above, mark.text, pen, size=pen.letters * 13 / 14, weight="bold")
