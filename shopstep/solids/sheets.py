"""Several drawn groups on one sheet, each with its name and with where up and front are.

Imports ``shopstep.model``.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil
from typing import TypeVar

from shopstep.model.picture import Arrow, Line, Mark
from shopstep.solids.lines import View

Shape = TypeVar("Shape", Line, Arrow)
Box = tuple[float, float, float, float]
"""Left, bottom, right, top."""

_BROAD = 1.7
"""Width over height that a sheet comes near to."""
_GAP = 0.12
_SIGN = 0.16
"""Length of the two signs for up and front, as a share of the largest group's longer side; of
several groups, which are drawn smaller, a larger share."""


@dataclass(frozen=True, slots=True)
class Group:
    """What belongs together in a picture."""

    lines: list[Line]
    arrows: list[Arrow]
    marks: list[Mark]
    view: View
    name: str = ""

    def shapes(self) -> list[Line | Arrow]:
        """Lines and arrows."""
        return [*self.lines, *self.arrows]

    def box(self) -> tuple[float, float, float, float]:
        """Left, bottom, right, top."""
        xs = [x for shape in self.shapes() for x in (shape.x1, shape.x2)]
        ys = [y for shape in self.shapes() for y in (shape.y1, shape.y2)]
        return min(xs), min(ys), max(xs), max(ys)


def lay_out(groups: list[Group]) -> tuple[list[Line], list[Arrow], list[Mark]]:
    """Groups in rows; below each its name, in a free corner the signs for up and front."""
    bare = [group.box() for group in groups]
    largest = max(max(box[2] - box[0], box[3] - box[1]) for box in bare)
    size = _SIGN * largest * len(groups) ** 0.5
    signs = [_place_signs(group, box, size) for group, box in zip(groups, bare, strict=True)]
    boxes = [_with_marks(box, words) for box, (_, words) in zip(bare, signs, strict=True)]
    width = max(box[2] - box[0] for box in boxes)
    height = max(box[3] - box[1] for box in boxes)
    gap = _GAP * max(width, height)
    columns = _columns(len(groups), width + gap, height + 2 * gap)
    lines: list[Line] = []
    arrows: list[Arrow] = []
    marks: list[Mark] = []
    for n, (group, box) in enumerate(zip(groups, boxes, strict=True)):
        row, column = divmod(n, columns)
        dx = column * (width + gap) - (box[0] + box[2]) / 2
        dy = -row * (height + 2 * gap) - box[1]
        own_arrows, words = signs[n]
        lines += [_moved(line, dx, dy) for line in group.lines]
        arrows += [_moved(arrow, dx, dy) for arrow in (*group.arrows, *own_arrows)]
        marks += [replace(mark, x=mark.x + dx, y=mark.y + dy) for mark in (*group.marks, *words)]
        if group.name:
            marks.append(Mark((box[0] + box[2]) / 2 + dx, box[1] + dy - gap * 0.7, group.name))
    return lines, arrows, marks


def _with_marks(box: Box, marks: list[Mark]) -> Box:
    """The box with the middles of marks inside."""
    xs, ys = [mark.x for mark in marks], [mark.y for mark in marks]
    return min(box[0], *xs), min(box[1], *ys), max(box[2], *xs), max(box[3], *ys)


def _columns(count: int, width: float, height: float) -> int:
    def off(columns: int) -> float:
        ratio = columns * width / (ceil(count / columns) * height)
        return max(ratio / _BROAD, _BROAD / ratio)

    return min(range(1, count + 1), key=lambda columns: (off(columns), columns))


def _moved(item: Shape, dx: float, dy: float) -> Shape:
    return replace(item, x1=item.x1 + dx, y1=item.y1 + dy, x2=item.x2 + dx, y2=item.y2 + dy)


def _place_signs(group: Group, box: Box, size: float) -> tuple[list[Arrow], list[Mark]]:
    """The signs in a corner that the drawing leaves free, else to the left of it."""
    _, words = _signs(group.view, 0.0, 0.0, size)
    wide = max(mark.x for mark in words) + size * 0.3
    high = max(mark.y for mark in words) + size * 0.2
    corners = [
        (box[0], box[1]),
        (box[2] - wide, box[1]),
        (box[2] - wide, box[3] - high),
        (box[0], box[3] - high),
    ]
    free = (at for at in corners if not _touches(group, at, (at[0] + wide, at[1] + high)))
    x, y = next(free, (box[0] - wide - size * 0.2, box[1]))
    return _signs(group.view, x, y, size)


def _touches(group: Group, low: tuple[float, float], high: tuple[float, float]) -> bool:
    """Whether a line or a mark of the group runs through a rectangle."""
    if any(low[0] < mark.x < high[0] and low[1] < mark.y < high[1] for mark in group.marks):
        return True
    return any(_crosses(line, low, high) for line in group.shapes())


def _crosses(line: Line | Arrow, low: tuple[float, float], high: tuple[float, float]) -> bool:
    begin, end = 0.0, 1.0
    for start, stop, least, most in (
        (line.x1, line.x2, low[0], high[0]),
        (line.y1, line.y2, low[1], high[1]),
    ):
        way = stop - start
        if abs(way) < 1e-12:
            if not least < start < most:
                return False
            continue
        first, last = sorted(((least - start) / way, (most - start) / way))
        begin, end = max(begin, first), min(end, last)
    return begin < end


def _signs(view: View, left: float, low: float, size: float) -> tuple[list[Arrow], list[Mark]]:
    """Two arrows from one point: up, and to the front; their lower left corner is given."""
    up = 0.0, view.up[2] * size * 0.7
    front = -view.right[0] * size, -view.up[0] * size
    x, y = left - min(0.0, front[0]), low - min(0.0, front[1])
    signs = [Arrow(x, y, x + dx, y + dy) for dx, dy in (up, front)]
    words = [
        Mark(x + dx * 1.25, y + dy * 1.25, word)
        for word, (dx, dy) in (("up", up), ("front", front))
    ]
    return signs, words
