"""One part alone in a picture; what is cut now is heavy. Loads the solids.

Imports ``shopstep.model``.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopstep.model.part import Part
from shopstep.model.picture import Line, Weight
from shopstep.solids.bodies import make_body
from shopstep.solids.lines import View, draw_edges, flat_edges
from shopstep.solids.sheets import Group
from shopstep.solids.views import corner_view

if TYPE_CHECKING:
    from manifold3d import Manifold


def part_group(part: Part, done: set[str], new: set[str], sizes: bool) -> Group:
    """One part alone, seen from where most of what is new is seen; hands from mirrored corners."""
    names = {feature.name for feature in part.features}
    after = make_body(part, part.places[0], frozenset(names - done))
    before = make_body(part, part.places[0], frozenset(names - (done - new)))
    views = [corner_view(b, r, a) for a in (True, False) for b in (True, False)
             for r in ((part.hand != "right"), (part.hand == "right"))]  # fmt: skip
    best: tuple[float, list[Line], View] | None = None
    for view in views:
        lines = _new_lines(after, before, view, bool(new))
        heavy = sum(length_of(line) for line in lines if line.weight is Weight.HEAVY)
        if best is None or heavy > best[0] * 1.05:
            best = heavy, lines, view
        if not new:
            break
    assert best is not None
    lines = best[1]
    if sizes:
        lines = [Line(*ends_of(line), Weight.HEAVY) for line in lines]
    return Group(lines, [], [], best[2], part.label)


def ends_of(line: Line) -> tuple[float, float, float, float]:
    """Its two ends."""
    return line.x1, line.y1, line.x2, line.y2


def length_of(line: Line) -> float:
    """Its length."""
    return float(((line.x2 - line.x1) ** 2 + (line.y2 - line.y1) ** 2) ** 0.5)


def _new_lines(after: Manifold, before: Manifold, view: View, has_new: bool) -> list[Line]:
    """The body's lines; heavy where the body before had no edge."""
    lines = [Line(*s.start, *s.end, Weight.LIGHT) for s in draw_edges([after], view)]
    if not has_new:
        return lines
    old = [Line(*s.start, *s.end) for s in flat_edges(before, view)]
    return [
        line if _lies_on_any(line, old) else Line(*ends_of(line), Weight.HEAVY) for line in lines
    ]  # fmt: skip


def _lies_on_any(line: Line, others: list[Line]) -> bool:
    middle = (line.x1 + line.x2) / 2, (line.y1 + line.y2) / 2
    return any(
        _distance(middle, other) < 0.02 and _distance((line.x1, line.y1), other) < 0.02
        for other in others
    )


def _distance(point: tuple[float, float], line: Line) -> float:
    """From a point to a stretch."""
    dx, dy = line.x2 - line.x1, line.y2 - line.y1
    along = ((point[0] - line.x1) * dx + (point[1] - line.y1) * dy) / (dx * dx + dy * dy or 1.0)
    along = min(1.0, max(0.0, along))
    return float(
        ((line.x1 + along * dx - point[0]) ** 2 + (line.y1 + along * dy - point[1]) ** 2) ** 0.5
    )
