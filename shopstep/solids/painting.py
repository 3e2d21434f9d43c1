"""Faces that are painted when no brush reaches them any more. Loads the solids.

A face is reached where the way straight out of it is free, as far as a brush and a hand need.
Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

import numpy

from shopstep.model.feature import Face, FaceOf
from shopstep.model.plan import Finding, Level, Where
from shopstep.solids.bodies import Piece
from shopstep.solids.cuts import side_of
from shopstep.solids.driving import Wood
from shopstep.solids.rays import Array, crossings
from shopstep.solids.scenes import Scene
from shopstep.units import Length, format_length
from shopstep.words import say

BRUSH_MM = 100.0
"""Room before a face for a brush and a hand, 4 in; common practice, no source."""
_OPEN_SHARE = 0.1
"""Of a face less than this open is closed."""
_ALONG = (0.06, 0.22, 0.39, 0.5, 0.61, 0.78, 0.94)
_OFF_MM = 0.5
Key = tuple[str, str, int]


def check_paint(
    scenes: tuple[Scene, ...], pieces: tuple[Piece, ...], wood: Wood, display: str
) -> list[Finding]:
    """A finding for each face that is closed when a step paints it."""
    findings: list[Finding] = []
    added = {piece.key: scene.kind.id for scene in scenes for piece in scene.new}
    order = {scene.kind.id: n for n, scene in enumerate(scenes)}
    known: dict[tuple[Key, str, frozenset[Key]], tuple[Piece, float] | None] = {}
    for scene in scenes:
        here = {piece.key: piece for piece in (*scene.there, *scene.new)}
        for coat in scene.kind.coats:
            for piece in (p for p in pieces if p.part.name == coat.part and p.key in here):
                asked = piece.key, coat.face, frozenset(here)
                if asked not in known:
                    known[asked] = _closed_by(piece, coat, list(here.values()), wood)
                closed = known[asked]
                if closed:
                    findings.append(_say(scene, piece, coat, closed, added, order, display))
    return findings


def _closed_by(
    piece: Piece, coat: FaceOf, there: list[Piece], wood: Wood
) -> tuple[Piece, float] | None:
    """What stands before most of a face, and how far off; None where a brush gets to it."""
    axis, is_high = side_of(Face(coat.face), piece.part.hand)
    starts = _points(piece, axis, is_high)
    ways = numpy.zeros_like(starts)
    ways[:, axis] = 1.0 if is_high else -1.0
    nearest = numpy.full(len(starts), BRUSH_MM)
    owner = numpy.full(len(starts), -1)
    for n, other in enumerate(there):
        if other.key == piece.key or not _may_cover(piece, other, axis, is_high):
            continue
        found = crossings(wood.corners(other), starts, ways)
        ahead = numpy.where(found > -2 * _OFF_MM, found, numpy.inf).min(axis=1, initial=numpy.inf)
        closer = ahead < nearest
        nearest[closer], owner[closer] = ahead[closer], n
    if (owner < 0).mean() >= _OPEN_SHARE:
        return None
    most = Counter(owner[owner >= 0].tolist()).most_common(1)[0][0]
    return there[most], float(numpy.median(nearest[owner == most]))


def _points(piece: Piece, axis: int, is_high: bool) -> Array:
    box = piece.box
    first, second = (n for n in range(3) if n != axis)
    grid = [
        (box[first] + (box[first + 3] - box[first]) * a,
         box[second] + (box[second + 3] - box[second]) * b)
        for a in _ALONG for b in _ALONG
    ]  # fmt: skip
    points = numpy.zeros((len(grid), 3))
    points[:, [first, second]] = grid
    points[:, axis] = box[axis + 3] + _OFF_MM if is_high else box[axis] - _OFF_MM
    return points


def _may_cover(piece: Piece, other: Piece, axis: int, is_high: bool) -> bool:
    across = all(
        other.box[n] < piece.box[n + 3] and piece.box[n] < other.box[n + 3]
        for n in range(3)
        if n != axis
    )
    if is_high:
        return across and piece.box[axis + 3] - _OFF_MM < other.box[axis + 3]
    return across and piece.box[axis] + _OFF_MM > other.box[axis]


def _say(
    scene: Scene,
    piece: Piece,
    coat: FaceOf,
    closed: tuple[Piece, float],
    added: Mapping[Key, str],
    order: Mapping[str, int],
    display: str,
) -> Finding:
    cover, apart_mm = closed
    apart = format_length(Length(round(max(apart_mm, 0.0) * 1e6)), display, 16)
    where = say("lies on it") if apart_mm < 1.0 else say("stands {apart} before it", apart=apart)
    early = added.get(cover.key, "")
    is_early = early and order[early] <= order[scene.kind.id]
    too_early = say(": step {early} comes too early", early=early) if is_early else ""
    return Finding(
        Level.STOP,
        "painted_closed",
        say(
            "in step {kind_id}, no brush reaches the {face} of {piece_label}:"
            " {cover_label} {where}",
            kind_id=scene.kind.id,
            face=coat.face,
            piece_label=piece.label,
            cover_label=cover.label,
            where=where,
        ),
        Where(name=scene.kind.id, line=scene.kind.line),
        say(
            "paint it before {cover_label} is there{too_early}",
            cover_label=cover.label,
            too_early=too_early,
        ),
    )
