"""The proof of a design: nothing collides, joints meet, the order can be done, hands are mirrors.

Loads the solids: imported only where a proof is asked for. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import combinations
from types import MappingProxyType

from manifold3d import Manifold, OpType

from shopstep.model.fastener import FastenerSize
from shopstep.model.joint import Joint
from shopstep.model.material import Form, Material
from shopstep.model.part import Hand, Part
from shopstep.model.plan import Finding, Level, Where
from shopstep.model.proof import Contact, Proof, WayIn
from shopstep.model.step import StepKind
from shopstep.solids.bare import glue_on_loose, measure_bare
from shopstep.solids.bodies import Piece, make_pieces
from shopstep.solids.causes import explain_overlap
from shopstep.solids.fastening import check_fasteners, wood_of_joints
from shopstep.solids.gluing import meeting_mm2
from shopstep.solids.measures import boxes_meet, met_mm2, pieces_named
from shopstep.solids.painting import check_paint
from shopstep.solids.scenes import Coming, Scene, scenes_of
from shopstep.solids.ways import find_way, is_wood
from shopstep.units import Length, format_length
from shopstep.words import say

NO_SIZES: Mapping[str, FastenerSize] = MappingProxyType({})
_LEAST_MM2 = 1.0
"""Faces that meet on less do not meet."""
_NEAR_MM = 100.0
"""How far apart faces are still measured."""
_ALIKE = 1e-6
"""Mirrored hands differ by no more than this share of their volume."""


def prove_design(
    parts: tuple[Part, ...],
    joints: tuple[Joint, ...],
    kinds: Iterable[StepKind],
    materials: tuple[Material, ...] = (),
    display: str = "in",
    *,
    measured: bool = True,
    sizes: Mapping[str, FastenerSize] = NO_SIZES,
) -> Proof:
    """Every finding, with what was looked at. ``kinds``: the authored steps in their order.

    ``sizes``: of fasteners, by title; others are not looked at. ``measured``: False leaves out the
    outside faces and takes any free way in, which is quicker and finds the same.
    """
    pieces = make_pieces(parts)
    shared, pairs = _find_shared(pieces, joints, display)
    contacts, open_joints = _find_contacts(pieces, joints, display)
    kinds = tuple(kinds)
    scenes = scenes_of(kinds, pieces)
    ways, blocked = _find_ways(scenes, pieces, seated=measured)
    soft = frozenset(m.id for m in materials if m.form is Form.ROLL or m.stuff)
    wood = wood_of_joints(joints, soft)
    driven, badly = check_fasteners(kinds, pieces, scenes, sizes, joints, wood, display)
    badly += [*check_paint(scenes, pieces, wood, display), *glue_on_loose(pieces, joints)]
    return Proof(
        pieces=len(pieces),
        pairs=pairs,
        contacts=tuple(contacts),
        ways=tuple(ways),
        outside_mm2=outside_mm2(pieces, materials) if measured else 0.0,
        findings=(*shared, *_find_unlike_hands(pieces), *open_joints, *blocked, *badly),
        driven=driven,
        bare=measure_bare(pieces) if measured else (),
    )


def _find_shared(
    pieces: tuple[Piece, ...], joints: tuple[Joint, ...], display: str
) -> tuple[list[Finding], int]:
    found: dict[tuple[str, str], Finding] = {}
    pairs = 0
    for one, other in combinations(pieces, 2):
        pairs += 1
        names = one.part.label, other.part.label
        if names in found or not boxes_meet(one.box, other.box):
            continue
        shared = one.body ^ other.body
        if is_wood(shared):
            found[names] = explain_overlap(one, other, shared, joints, display)
    return list(found.values()), pairs


def _find_unlike_hands(pieces: tuple[Piece, ...]) -> list[Finding]:
    found = []
    for left in pieces:
        if left.part.hand is not Hand.LEFT:
            continue
        for right in pieces_named(pieces, left.part.name):
            if right.part.hand is not Hand.RIGHT or right.index != left.index:
                continue
            if not _is_mirror(left.body, right.body):
                found.append(_say_unlike(left))
    return found


def _is_mirror(left: Manifold, right: Manifold) -> bool:
    mirrored = left.mirror((0.0, 1.0, 0.0))
    shift = right.bounding_box()[1] - mirrored.bounding_box()[1]
    same = float((mirrored.translate((0.0, shift, 0.0)) ^ right).volume())
    largest = max(float(left.volume()), float(right.volume()))
    return same >= largest * (1 - _ALIKE)


def _say_unlike(left: Piece) -> Finding:
    return Finding(
        Level.STOP,
        "hands_unlike",
        say(
            "left and right {part_title} are no mirror images of each other",
            part_title=left.part.title,
        ),
        Where(name=left.part.name, line=left.part.line),
        say(
            "cut it into 'inside' or 'outside' instead of 'left' or 'right', which do not change "
            "sides"
        ),
    )


def _find_contacts(
    pieces: tuple[Piece, ...], joints: tuple[Joint, ...], display: str
) -> tuple[list[Contact], list[Finding]]:
    contacts: list[Contact] = []
    findings: list[Finding] = []
    for joint in joints:
        members, intos = pieces_named(pieces, joint.member), pieces_named(pieces, joint.into)
        gap = max(joint.play, joint.ease).in_mm
        areas = {(m.key, i.key): _met_mm2(m, i, gap) for m in members for i in intos}
        if not areas:
            continue
        contacts.append(
            Contact(joint.name, members[0].part.title, intos[0].part.title, sum(areas.values()),
                    joint.glue)
        )  # fmt: skip
        for piece, others in [(m, intos) for m in members] + [(i, members) for i in intos]:
            met = sum(area for keys, area in areas.items() if piece.key in keys)
            if met < _LEAST_MM2:
                findings.append(_say_open(joint, piece, others, display))
    return contacts, findings


def _met_mm2(member: Piece, into: Piece, gap_mm: float) -> float:
    """Pushing is quicker; of a piece with slopes the faces are laid over each other."""
    if _has_slopes(member):
        return meeting_mm2(member, into, gap_mm)
    return met_mm2(member.body, into.body, gap_mm)


def _has_slopes(piece: Piece) -> bool:
    return piece.place.lean is not None or any(f.kind == "bevel" for f in piece.part.features)


def _say_open(joint: Joint, piece: Piece, others: tuple[Piece, ...], display: str) -> Finding:
    near = min(others, key=lambda other: piece.body.min_gap(other.body, _NEAR_MM))
    gap = float(piece.body.min_gap(near.body, _NEAR_MM))
    apart = Length.mm(str(round(gap, 4)))
    if gap >= _NEAR_MM:
        how = say("they stand far apart")
    elif gap < 1e-3:
        how = say("they touch on an edge at most, on no face")
    else:
        how = say("they are {apart} apart", apart=format_length(apart, display))
    return Finding(
        Level.STOP,
        "joint_open",
        say(
            "{piece_label} does not meet {near_label} in joint {joint_name}: {how}",
            piece_label=piece.label,
            near_label=near.label,
            joint_name=joint.name,
            how=how,
        ),
        Where(name=piece.part.name, line=joint.line),
        say(
            "look at where {part_title} and {part_title_2} stand, and at the size between",
            part_title=piece.part.title,
            part_title_2=near.part.title,
        ),
    )


def _find_ways(
    scenes: tuple[Scene, ...], pieces: tuple[Piece, ...], *, seated: bool
) -> tuple[list[WayIn], list[Finding]]:
    ways: list[WayIn] = []
    findings: list[Finding] = []
    step_of: dict[tuple[str, str, int], Scene] = {}
    for scene in scenes:
        there = list(scene.there)
        for coming in scene.coming:
            again = [p for p in coming.pieces if any(p.key == other.key for other in there)]
            if again:
                findings.append(_say_again(scene, again[0], step_of))
                continue
            way = (
                find_way(coming.pieces, there, coming.comes_from, seated=seated) if there else None
            )
            ways.append(WayIn(scene.kind.id, coming.label, way.comes_from if way else ""))
            if way and way.blocked_by:
                findings += _tell_blocked(scene, coming, there, step_of)
            there += coming.pieces
            step_of |= {piece.key: scene for piece in coming.pieces}
    if step_of:
        findings += [_say_never(piece) for piece in pieces if piece.key not in step_of]
    return ways, findings


def _tell_blocked(
    scene: Scene,
    coming: Coming,
    there: list[Piece],
    step_of: dict[tuple[str, str, int], Scene],
) -> list[Finding]:
    """Nothing where all that is in the way shares its place anyway: that is told already."""
    clear = [o for o in there if not any(is_wood(o.body ^ p.body) for p in coming.pieces)]
    blocker = find_way(coming.pieces, clear, coming.comes_from).blocked_by
    return [_say_blocked(scene, coming, clear, blocker, step_of)] if blocker else []


def _say_blocked(
    scene: Scene,
    coming: Coming,
    there: list[Piece],
    blocker: Piece,
    step_of: dict[tuple[str, str, int], Scene],
) -> Finding:
    """What cannot come, what stands in its way, and which step comes too early for it."""
    label = coming.label
    early = _too_early(coming, there, blocker)
    side = (
        say("from {comes_from}", comes_from=coming.comes_from)
        if coming.comes_from
        else say("from any side")
    )
    too_early = step_of.get(early.key)
    if too_early is None or too_early is scene:
        remedy = say("bring {label} before {early_label}", label=label, early_label=early.label)
    else:
        remedy = say(
            "bring {label} before {early_label}: step {step} comes too early",
            label=label,
            early_label=early.label,
            step=too_early.kind.id,
        )
    return Finding(
        Level.STOP,
        "no_way_in",
        say(
            "in step {kind_id}, {label} cannot come in {side}: {blocker_label} stands in the way",
            kind_id=scene.kind.id,
            label=label,
            side=side,
            blocker_label=blocker.label,
        ),
        Where(name=scene.kind.id, line=scene.kind.line),
        remedy,
    )


def _too_early(coming: Coming, there: list[Piece], blocker: Piece) -> Piece:
    """The piece before which there still was a way in."""
    for n in range(len(there) - 1, -1, -1):
        if find_way(coming.pieces, there[:n], coming.comes_from).blocked_by is None:
            return there[n]
    return blocker


def _say_again(scene: Scene, piece: Piece, step_of: dict[tuple[str, str, int], Scene]) -> Finding:
    before = step_of.get(piece.key, scene).kind.id
    return Finding(
        Level.STOP,
        "added_twice",
        say(
            "step {kind_id} adds {piece_label}, which is there since {before}",
            kind_id=scene.kind.id,
            piece_label=piece.label,
            before=before,
        ),
        Where(name=scene.kind.id, line=scene.kind.line),
        say("leave it out of one of the two"),
    )


def _say_never(piece: Piece) -> Finding:
    return Finding(
        Level.WARN,
        "never_added",
        say("no step puts {piece_label} in its place", piece_label=piece.label),
        Where(name=piece.part.name, line=piece.part.line),
        say("name it under 'adds' in the step that does"),
    )


def outside_mm2(pieces: tuple[Piece, ...], materials: tuple[Material, ...]) -> float:
    """What is seen of all wood from the six sides; what lies in a shadow does not count."""
    wood = {m.id for m in materials if m.form is not Form.ROLL and not m.stuff}
    bodies = [p.body for p in pieces if not materials or p.part.material in wood]
    if not bodies:
        return 0.0
    whole = Manifold.batch_boolean(bodies, OpType.Add)
    turned = (whole, whole.rotate((90.0, 0.0, 0.0)), whole.rotate((0.0, 90.0, 0.0)))
    return 2 * sum(float(body.project().area()) for body in turned)
