"""A picture as SVG: the same picture gives the same bytes everywhere. Imports ``model``."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from html import escape
from math import hypot
from textwrap import wrap

from shopstep.model.picture import Arrow, Line, Mark, Picture, Weight

_WIDE = 640.0
_TALL = 420.0
_MARGIN = 34.0
_TITLE = 26.0
_NOTE = 22.0
_LETTERS = 88
"""Letters of the note in one line."""
_STROKES = {
    Weight.LIGHT: "0.9",
    Weight.HEAVY: "2.4",
    Weight.GLUE: "0.8",
    Weight.BARE: "1.6",
    Weight.HIDDEN: "0.7",
}
_DASHES = {Weight.HIDDEN: "4 3", Weight.BARE: "0.1 5"}
_HEAD = 9.0
At = Callable[[float, float], tuple[float, float]]


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
    """The picture inside of a rectangle of a larger SVG."""
    note = _notes(picture)
    room = wide - 2 * _MARGIN, high - _TITLE - _NOTE * len(note) - 2 * _MARGIN
    x_low, y_low, x_high, y_high = bounds(picture)
    scale = min(room[0] / (x_high - x_low or 1.0), room[1] / (y_high - y_low or 1.0))
    dx = left + (wide - (x_high - x_low) * scale) / 2 - x_low * scale
    dy = top + _TITLE + _MARGIN + (room[1] + (y_high - y_low) * scale) / 2 + y_low * scale

    def at(x: float, y: float) -> tuple[float, float]:
        return dx + x * scale, dy - y * scale

    out = [_text(left + wide / 2, top + 20, picture.title, 16, "bold")]
    for weight in (Weight.GLUE, Weight.BARE, Weight.HIDDEN, Weight.LIGHT, Weight.HEAVY):
        out.append(_paths([line for line in picture.lines if line.weight is weight], at, weight))
    out += [_arrow(arrow, at) for arrow in picture.arrows]
    out += [_mark(mark, at) for mark in picture.marks]
    foot = top + high - _NOTE * len(note) + 8
    out += [_text(left + wide / 2, foot + n * _NOTE, line, 14) for n, line in enumerate(note)]
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
    hatched = any(line.weight is Weight.GLUE for line in picture.lines)
    dotted = any(line.weight is Weight.BARE for line in picture.lines)
    meant = ["hatched: glue"] if hatched else []
    meant += ["dotted: no glue"] if dotted else []
    meant += ["ring: on the far side"] if any(mark.is_behind for mark in picture.marks) else []
    return [*wrap(picture.note, _LETTERS), *([", ".join(meant)] if meant else [])]


def _text(x: float, y: float, text: str, size: int, weight: str = "normal") -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size}" font-weight="{weight}" '
        f'text-anchor="middle">{escape(text)}</text>\n'
    )


def _paths(lines: list[Line], at: At, weight: Weight) -> str:
    if not lines:
        return ""
    steps = []
    for line in lines:
        (x1, y1), (x2, y2) = at(line.x1, line.y1), at(line.x2, line.y2)
        steps.append(f"M{x1:.1f} {y1:.1f}L{x2:.1f} {y2:.1f}")
    dashes = f' stroke-dasharray="{_DASHES[weight]}"' if weight in _DASHES else ""
    return (
        f'<path d="{"".join(steps)}" fill="none" stroke="#000" stroke-linecap="round" '
        f'stroke-width="{_STROKES[weight]}"{dashes}/>\n'
    )


def _arrow(arrow: Arrow, at: At) -> str:
    (x1, y1), (x2, y2) = at(arrow.x1, arrow.y1), at(arrow.x2, arrow.y2)
    length = hypot(x2 - x1, y2 - y1) or 1.0
    ux, uy = (x2 - x1) / length, (y2 - y1) / length
    bx, by = x2 - ux * _HEAD, y2 - uy * _HEAD
    side = _HEAD * 0.4
    head = (
        f"{x2:.1f},{y2:.1f} {bx - uy * side:.1f},{by + ux * side:.1f} "
        f"{bx + uy * side:.1f},{by - ux * side:.1f}"
    )
    return (
        f'<path d="M{x1:.1f} {y1:.1f}L{bx:.1f} {by:.1f}" stroke="#b00000" stroke-width="1.8"/>'
        f'<polygon points="{head}" fill="#b00000"/>\n'
    )


def _mark(mark: Mark, at: At) -> str:
    x, y = at(mark.x, mark.y)
    if mark.is_dot:
        fill = "#fff" if mark.is_behind else "#b00000"
        dot = f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3" fill="{fill}" stroke="#b00000"/>\n'
        return dot + (_text(x, y - 6, mark.text, 13, "bold") if mark.text else "")
    if mark.text.isdigit():
        return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="11" fill="#fff" stroke="#000"/>' + _text(
            x, y + 5, mark.text, 14, "bold"
        )
    return _text(x, y + 5, mark.text, 14)
