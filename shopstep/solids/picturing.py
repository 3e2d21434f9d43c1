"""The picture of a step: what is there, what comes with its arrow, or what is cut now.

Loads the solids: imported only where a picture is asked for. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy

from shopstep.model.joint import Joint
from shopstep.model.naming import BUILD_MARK
from shopstep.model.operation import Setup
from shopstep.model.part import Part
from shopstep.model.picture import Arrow, Line, Mark, Picture, Weight
from shopstep.model.plan import Plan
from shopstep.model.step import GlueRole, Source, StepKind
from shopstep.solids.bare import bare_zones
from shopstep.solids.bodies import Piece, Point, make_pieces
from shopstep.solids.gluing import Zone, glue_zones
from shopstep.solids.lines import Array, View, draw_edges, draw_on
from shopstep.solids.marking import Head, heads_of, marks_of, note_of, place_heads, seen_heads
from shopstep.solids.part_groups import length_of, part_group
from shopstep.solids.scenes import Scene, scenes_of
from shopstep.solids.sheets import Group, lay_out
from shopstep.solids.views import corner_view
from shopstep.solids.ways import Way, find_way

if TYPE_CHECKING:
    from manifold3d import Manifold

Key = tuple[str, str, int]
_APART = 0.28
"""How far what comes stands off its place, as a share of the longest side of the picture."""
_ROUND = 2
_ENOUGH = 0.6
"""The usual corner shows enough hatching where it shows this share of the most."""
_ALONE = "~"
"""Stands in the id of a step that is there for one unit or one piece alone."""
SIZES_ONLY = ("slice", "rip", "rip_thin", "sheet_cut", "crosscut", "crosscut_hand", "shear")
"""Operations that give a part its size, before anything is cut into it."""


def picture_step(plan: Plan, kind_id: str) -> Picture | None:
    """The picture of one step kind; None for a step that has nothing to show.

    KeyError where the plan has no such step kind.
    """
    kinds = {kind.id: kind for kind in plan.kinds}
    kind = kinds[kind_id]
    if kind.source is Source.DERIVED:
        return _picture_milling(plan, kind)
    tag = _tag_of(kind_id)
    pieces = make_pieces(part for part in plan.parts if _tag_of(part.name) == tag)
    own = (each for each in _authored(plan.kinds, kind_id) if _tag_of(each.id) == tag)
    scenes = scenes_of(own, pieces)
    number = next(n for n, scene in enumerate(scenes) if scene.kind.id == kind_id)
    closing = next((scene for scene in scenes[number:] if scene.coming), None)
    if kind.role is GlueRole.SPREAD and closing is not None:
        loose = tuple(piece for piece in pieces if piece.part.loose)
        return picture_spread(kind, closing, plan.joints, loose)
    return _picture_scene(scenes[number], plan.joints)


def _tag_of(name: str) -> str:
    """Which build of several; what is made for one unit alone belongs to the same build."""
    return name.partition(BUILD_MARK)[2].partition(_ALONE)[0]


def _authored(kinds: Iterable[StepKind], shown: str) -> list[StepKind]:
    """The steps of the build itself in their order, each once; ``shown``: the one that must be it.

    A step whose words differ for one unit is there a second time, for that unit.
    """
    found: dict[str, StepKind] = {}
    for kind in kinds:
        base = kind.id.partition(_ALONE)[0]
        if kind.source is Source.AUTHORED and (base not in found or kind.id == shown):
            found[base] = kind
    return list(found.values())


@dataclass(frozen=True, slots=True)
class _Shown:
    """One body in a picture."""

    body: Manifold
    weight: Weight


@dataclass(frozen=True, slots=True)
class _Move:
    """Pieces on their way in."""

    pieces: tuple[Piece, ...]
    label: str
    way: Way | None
    has_arrow: bool

    def shift(self, apart: float) -> Point:
        """How far off their place they are drawn."""
        if self.way is None:
            return 0.0, 0.0, 0.0
        x, y, z = self.way.direction
        return x * apart, y * apart, z * apart


def _picture_scene(scene: Scene, joints: Iterable[Joint]) -> Picture | None:
    there = scene.there
    here = {piece.key for piece in there}
    moves = _moves(scene)
    if not there and not moves:
        moves = [_Move((piece,), piece.label, None, False) for piece in scene.in_hand]
    if not there and not moves:
        return None
    held = {piece.key for piece in scene.in_hand} & here if not scene.coming else set()
    apart = _APART * _longest(there + tuple(p for m in moves for p in m.pieces))
    shown = [
        _Shown(p.body, Weight.HEAVY if p.key in held else Weight.LIGHT) for p in there
    ]  # fmt: skip
    shifts = {piece.key: move.shift(apart) for move in moves for piece in move.pieces}
    heads = heads_of(scene.kind, (*there, *(p for m in moves for p in m.pieces)), joints)
    bodies = [p.body for p in there]
    bodies += [p.body.translate(shifts[p.key]) for m in moves for p in m.pieces]
    placed = place_heads(heads, shifts)
    view = _view_of(moves, placed, bodies)
    arrows: list[Arrow] = []
    marks: list[Mark] = []
    names: list[str] = []
    for move in moves:
        shifted = [piece.body.translate(move.shift(apart)) for piece in move.pieces]
        shown += [_Shown(body, Weight.HEAVY) for body in shifted]
        if not scene.coming:
            continue
        names.append(move.label)
        if move.way and move.has_arrow:
            arrows.append(_arrow(move, shifted, view, apart))
        x, y = _top(shifted, view)
        marks.append(Mark(x, y, str(len(names))))
    notes = [f"{n} {name}" for n, name in enumerate(names, 1)]
    marks += marks_of(placed, seen_heads(placed, bodies, view), view, len(names) + 1)
    note = ", ".join([*notes, *note_of(heads, len(names) + 1)])
    return _finish(scene.kind.title, note, [Group(_drawn(shown, view), arrows, marks, view)])


def _view_of(moves: list[_Move], placed: list[tuple[Head, Point]], bodies: list[Manifold]) -> View:
    """The usual corner, unless most heads are seen from another one only."""
    from_below = all(m.way is not None and m.way.comes_from == "bottom" for m in moves if m.way)
    usual = corner_view(above=not (from_below and any(m.way for m in moves)))
    if not placed:
        return usual
    views = [usual, *(corner_view(right=r, above=a) for a in (True, False) for r in (True, False))]
    views += [
        corner_view(behind=False, right=r, above=a) for a in (True, False) for r in (True, False)
    ]
    counts = [len(seen_heads(placed, bodies, view)) for view in views]
    return next(v for v, n in zip(views, counts, strict=True) if n >= _ENOUGH * max(counts))


def picture_spread(
    kind: StepKind,
    closing: Scene,
    joints: Iterable[Joint],
    loose: tuple[Piece, ...] = (),
) -> Picture:
    """Where glue goes: what the next step closes, drawn apart, its glued faces hatched, and dotted
    what must stay bare because a ``loose`` piece slides or lies there.

    Seen from where more of the hatching is seen than from the usual corner, if it is much more.
    """
    moves = _moves(closing)
    coming = tuple(piece for move in moves for piece in move.pieces)
    apart = _APART * _longest(closing.there + coming)
    shifts = {piece.key: move.shift(apart) for move in moves for piece in move.pieces}
    shown = [_Shown(piece.body, Weight.LIGHT) for piece in closing.there]
    shown += [_Shown(p.body.translate(shifts[p.key]), Weight.HEAVY) for p in coming]
    zones = glue_zones(coming, closing.there, joints, kind.glue or "")
    hatching = [
        zone.hatching + numpy.array(shifts.get(zone.piece.key, (0.0, 0.0, 0.0)))
        for zone in zones
    ]  # fmt: skip
    tries = []
    for above in (True, False):
        for right in (True, False):
            view = corner_view(right=right, above=above)
            tries.append((_hatched(zones, hatching, shown, view), view))
    most = max(_length_of(lines) for lines, _ in tries)
    lines, view = next(each for each in tries if _length_of(each[0]) >= _ENOUGH * most)
    bare = [
        (zone, zone.hatching + numpy.array(shifts.get(zone.piece.key, (0.0, 0.0, 0.0))))
        for zone, _ in bare_zones((*coming, *closing.there), loose)
    ]
    lines += _hatched([z for z, _ in bare], [h for _, h in bare], shown, view, Weight.BARE)
    return _finish(kind.title, "", [Group([*lines, *_drawn(shown, view)], [], [], view)])


def _hatched(
    zones: list[Zone],
    hatching: list[Array],
    shown: list[_Shown],
    view: View,
    weight: Weight = Weight.GLUE,
) -> list[Line]:
    """What is seen of the hatching of those faces that look here."""
    here = [
        lines
        for zone, lines in zip(zones, hatching, strict=True)
        if sum(a * b for a, b in zip(zone.normal, view.viewer, strict=True)) > 0
    ]
    if not here:
        return []
    edges = numpy.concatenate(here)
    stretches = draw_on(edges, [item.body for item in shown], view)
    return [Line(*s.start, *s.end, weight) for s in stretches]


def _length_of(lines: list[Line]) -> float:
    return sum(length_of(line) for line in lines)


def _moves(scene: Scene) -> list[_Move]:
    """What comes, each with its way; in a step that adds nothing, what will come soon."""
    there = list(scene.there)
    if scene.coming:
        moves = []
        for coming in scene.coming:
            way = find_way(coming.pieces, there, coming.comes_from) if there else None
            moves.append(_Move(coming.pieces, coming.label, way, way is not None))
            there += coming.pieces
        return moves
    if not there:
        return []
    here = {piece.key for piece in there}
    return [
        _Move((piece,), piece.label, find_way((piece,), there), False)
        for piece in scene.in_hand
        if piece.key not in here
    ]


def _longest(pieces: tuple[Piece, ...]) -> float:
    boxes = [piece.body.bounding_box() for piece in pieces]
    return float(
        max(max(box[n + 3] for box in boxes) - min(box[n] for box in boxes) for n in range(3))
    )


def _arrow(move: _Move, shifted: list[Manifold], view: View, apart: float) -> Arrow:
    """From the middle of what comes to where that will be, on the picture's plane."""
    assert move.way is not None
    way = move.way.direction
    boxes = [body.bounding_box() for body in shifted]
    middle = [(min(b[n] for b in boxes) + max(b[n + 3] for b in boxes)) / 2 for n in range(3)]
    start = _flat(tuple(middle), view)
    end = _flat(tuple(middle[n] - way[n] * apart * 0.9 for n in range(3)), view)
    return Arrow(*start, *end)


def _flat(point: tuple[float, ...], view: View) -> tuple[float, float]:
    right = sum(a * b for a, b in zip(point, view.right, strict=True))
    return right, sum(a * b for a, b in zip(point, view.up, strict=True))


def _top(bodies: list[Manifold], view: View) -> tuple[float, float]:
    """Just above the middle of what comes."""
    corners = [
        _flat((box[i], box[j], box[k]), view)
        for box in (body.bounding_box() for body in bodies)
        for i in (0, 3)
        for j in (1, 4)
        for k in (2, 5)
    ]
    xs, ys = [c[0] for c in corners], [c[1] for c in corners]
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def _drawn(shown: list[_Shown], view: View) -> list[Line]:
    stretches = draw_edges([item.body for item in shown], view)
    return [Line(*s.start, *s.end, shown[s.body].weight) for s in stretches]


def _picture_milling(plan: Plan, kind: StepKind) -> Picture | None:
    """The parts of a machine step as they are after it; what is cut now is heavy."""
    setups = list(plan.setups)
    base = kind.id.split("#")[0]
    number = next((n for n, setup in enumerate(setups) if setup.id == base), None)
    if number is None:
        return _picture_marked(plan, kind)
    made = _made(setups[:number])
    now = _made([setups[number]])
    groups = []
    parts = [p for p in plan.parts if p.name in kind.parts and p.places]
    for part in parts:
        done = {f for name, hand, f in made | now if _is_of(part, name, hand)}
        new = {f for name, hand, f in now if _is_of(part, name, hand)}
        groups.append(part_group(part, done, new, setups[number].kind in SIZES_ONLY))
    return _finish(kind.title, "", groups) if groups else None


def _picture_marked(plan: Plan, kind: StepKind) -> Picture | None:
    parts = [p for p in plan.parts if p.name in kind.parts and p.places]
    every = {feature.name for part in parts for feature in part.features}
    groups = [part_group(part, every, set(), False) for part in parts]
    return _finish(kind.title, "", groups) if groups else None


def _made(setups: Iterable[Setup]) -> set[tuple[str, str, str]]:
    """Part, hand and feature of each operation: the ends of their ids."""
    found = set()
    for setup in setups:
        for operation in setup.operations:
            _, name, *rest = operation.split("/")
            hand = rest.pop(0) if rest and rest[0] in ("left", "right") else ""
            found |= {(name, hand, rest[0])} if rest else set()
    return found


def _is_of(part: Part, name: str, hand: str) -> bool:
    return part.name == name and (not hand or part.hand == hand)


def _finish(title: str, note: str, groups: list[Group]) -> Picture:
    """Groups side by side, everything rounded and in a fixed order."""
    lines, arrows, marks = lay_out(groups)
    return Picture(
        title,
        note,
        tuple(sorted({_rounded_line(line) for line in lines})),
        tuple(Arrow(*(round(v, _ROUND) for v in (a.x1, a.y1, a.x2, a.y2))) for a in arrows),
        tuple(replace(m, x=round(m.x, _ROUND), y=round(m.y, _ROUND)) for m in marks),
    )


def _rounded_line(line: Line) -> Line:
    a = (round(line.x1, _ROUND) + 0.0, round(line.y1, _ROUND) + 0.0)
    b = (round(line.x2, _ROUND) + 0.0, round(line.y2, _ROUND) + 0.0)
    (x1, y1), (x2, y2) = sorted((a, b))
    return Line(x1, y1, x2, y2, line.weight)
