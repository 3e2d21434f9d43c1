"""Marks where the fasteners of a step go in, numbered by their rows, as seen from a corner.

Loads numpy. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy

from shopstep.model.fastener import FastenerSize
from shopstep.model.joint import Joint
from shopstep.model.picture import Mark
from shopstep.model.step import StepKind
from shopstep.solids.axes import Axis, Vector, axes_of, moved, stands_of
from shopstep.solids.bodies import Piece
from shopstep.solids.lines import Array, View
from shopstep.solids.mesh import mesh_of
from shopstep.solids.rays import crossings
from shopstep.words import say

if TYPE_CHECKING:
    from manifold3d import Manifold

_LIFT_MM = 0.2
"""Heads are looked for a little above the face."""
_BEHIND_MM = 0.1
_NUMBERED = 8
"""Of a row with more heads only the first and the last bear its number."""


@dataclass(frozen=True, slots=True)
class Head:
    """Where one fastener goes in."""

    row: int
    """Which row of the step it belongs to, from 0."""
    label: str
    """What it goes into, in words."""
    point: Vector
    out: Vector
    through: tuple[str, str, int]


def heads_of(kind: StepKind, pieces: Iterable[Piece], joints: Iterable[Joint]) -> list[Head]:
    """All heads of a step, row by row."""
    here = {piece.key: piece for piece in pieces}
    parts = dict.fromkeys(piece.part for piece in here.values())
    sizes = {f.title: FastenerSize(f.kind, 0.0, 0.0) for f in kind.fasteners}
    found: list[Head] = []
    rows: dict[tuple[str, str], int] = {}
    for axis in axes_of([kind], stands_of(parts), sizes, joints):
        label = _label(axis, here)
        row = rows.setdefault((axis.fastener.title, label), len(rows))
        out = (-axis.way[0], -axis.way[1], -axis.way[2])
        found.append(Head(row, label, axis.head, out, axis.through))
    return found


def _label(axis: Axis, here: Mapping[tuple[str, str, int], Piece]) -> str:
    """What holds it; where the build does not say, what it goes through."""
    if axis.into is not None and axis.into in here:
        return say("into {part_title}", part_title=here[axis.into].part.title)
    return say("through {part_title}", part_title=here[axis.through].part.title)


def place_heads(
    heads: Sequence[Head], shifts: Mapping[tuple[str, str, int], Vector]
) -> list[tuple[Head, Vector]]:
    """Every head with its place; ``shifts``: of pieces drawn apart."""
    return [
        (head, moved(moved(head.point, shifts.get(head.through, (0.0, 0.0, 0.0)), 1.0),
                     head.out, _LIFT_MM))
        for head in heads
    ]  # fmt: skip


def seen_heads(
    placed: Sequence[tuple[Head, Vector]], bodies: Iterable[Manifold], view: View
) -> list[tuple[Head, Vector]]:
    """Those of the placed heads that the viewer sees."""
    facing = [
        (head, place)
        for head, place in placed
        if sum(a * b for a, b in zip(head.out, view.viewer, strict=True)) > 0.05
    ]
    if not facing:
        return []
    starts = numpy.array([place for _, place in facing])
    ways = numpy.tile(numpy.array(view.viewer), (len(starts), 1))
    hidden = numpy.zeros(len(starts), dtype=bool)
    for body in bodies:
        found: Array = crossings(mesh_of(body).corners, starts, ways)
        hidden |= (numpy.where(numpy.isfinite(found), found, -1.0) > _BEHIND_MM).any(axis=1)
    return [one for one, is_hidden in zip(facing, hidden, strict=True) if not is_hidden]


def marks_of(
    placed: Sequence[tuple[Head, Vector]],
    seen: Sequence[tuple[Head, Vector]],
    view: View,
    first: int,
) -> list[Mark]:
    """A mark for each head that is seen, and rings for a row none of whose heads is.

    The rows are numbered from ``first`` on.
    """
    here = {head.row for head, _ in seen}
    rows: dict[int, list[Vector]] = {}
    for head, place in (*seen, *(one for one in placed if one[0].row not in here)):
        rows.setdefault(head.row, []).append(place)
    marks = []
    for row, places in rows.items():
        for n, place in enumerate(places):
            x = sum(a * b for a, b in zip(place, view.right, strict=True))
            y = sum(a * b for a, b in zip(place, view.up, strict=True))
            is_numbered = len(places) <= _NUMBERED or n in (0, len(places) - 1)
            number = str(first + row) if is_numbered else ""
            marks.append(Mark(x, y, number, is_dot=True, is_behind=row not in here))
    return marks


def note_of(heads: Sequence[Head], first: int) -> list[str]:
    """What the numbers mean: "3 into rear head"."""
    return [
        f"{first + row} {label}"
        for row, label in dict.fromkeys((head.row, head.label) for head in heads)
    ]
