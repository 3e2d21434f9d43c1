"""Fasteners proved: each holds, stays inside, keeps clear of edges, of others and of later cuts.

The words are in ``fastening_words``. Loads the solids. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from shopstep.model.fastener import FastenerSize
from shopstep.model.feature import Face
from shopstep.model.joint import Joint
from shopstep.model.plan import Finding, Level, Where
from shopstep.model.proof import Driven
from shopstep.model.step import StepKind
from shopstep.solids.axes import Axis, axes_of, stands_of
from shopstep.solids.bodies import Piece
from shopstep.solids.cuts import side_of
from shopstep.solids.driving import (
    FULL_DIAMETERS,
    NOWHERE,
    Fault,
    Track,
    Wood,
    Wrong,
    in_cut,
    near_pairs,
)
from shopstep.solids.fastening_words import Check, say_crossing, say_cut, say_fault
from shopstep.solids.scenes import Scene
from shopstep.words import say

_ANYWHERE = (Wrong.LITTLE, Wrong.OUT)
"""What is wrong wherever on the face they go in."""


def wood_of_joints(joints: tuple[Joint, ...], soft: frozenset[str]) -> Wood:
    """What holds fasteners; ``soft``: ids of materials that do not."""
    glued = frozenset(frozenset((j.member, j.into)) for j in joints if j.glue)
    return Wood(lambda piece: piece.part.material not in soft, glued)


def check_fasteners(
    kinds: tuple[StepKind, ...],
    pieces: tuple[Piece, ...],
    scenes: tuple[Scene, ...],
    sizes: Mapping[str, FastenerSize],
    joints: tuple[Joint, ...],
    wood: Wood,
    display: str,
) -> tuple[tuple[Driven, ...], list[Finding]]:
    """What is known of the fasteners of each step, and what is wrong with them.

    Where places are guessed nothing is refused.
    """
    stands = stands_of(dict.fromkeys(piece.part for piece in pieces))
    check = _prepare(
        axes_of(kinds, stands, sizes, joints), kinds, pieces, scenes, sizes, wood, display
    )
    tracks = check.judge([*check.axes, *check.guessed])
    findings: list[Finding] = []
    for one in tracks:
        kept = (f for f in _grouped(one.faults) if not one.axis.is_guessed or f.wrong in _ANYWHERE)
        findings += [say_fault(check, one, fault) for fault in kept]
    findings += [say_crossing(check, i, j) for i, j, _ in near_pairs(check.axes)]
    findings += _cuts_met(check, kinds, [one for one in tracks if not one.axis.is_guessed])
    sorted_out = _once(_softened(findings, {axis.step for axis in check.guessed}))
    return tuple(_driven(check, kinds, tracks)), [*_miscounted(check, kinds), *sorted_out]


def _prepare(
    axes: tuple[Axis, ...],
    kinds: tuple[StepKind, ...],
    pieces: tuple[Piece, ...],
    scenes: tuple[Scene, ...],
    sizes: Mapping[str, FastenerSize],
    wood: Wood,
    display: str,
) -> Check:
    has_order = any(scene.coming for scene in scenes)
    there = {
        scene.kind.id: (*scene.there, *scene.new) if has_order else pieces for scene in scenes
    }  # fmt: skip
    added = {piece.key: scene.kind.id for scene in scenes for piece in scene.new}
    return Check(
        {piece.key: piece for piece in pieces},
        there,
        added,
        {kind.id: kind.line for kind in kinds},
        wood,
        display,
        tuple(axis for axis in axes if not axis.is_guessed),
        has_order,
        sizes,
        tuple(axis for axis in axes if axis.is_guessed),
    )


def _grouped(faults: list[Fault]) -> list[Fault]:
    """Of what follows from a head that lies nowhere nothing else is told; of edges the nearest."""
    off = [fault for fault in faults if fault.wrong in NOWHERE]
    if off:
        return off
    edges = [fault for fault in faults if fault.wrong is Wrong.EDGE]
    rest = [fault for fault in faults if fault.wrong is not Wrong.EDGE]
    if any(fault.wrong in (Wrong.STRANGER, Wrong.VOID) for fault in rest):
        rest = [fault for fault in rest if fault.wrong is not Wrong.LITTLE]
    return rest + sorted(edges, key=lambda fault: fault.mm - fault.wanted_mm)[:1]


def _cuts_met(
    check: Check, kinds: tuple[StepKind, ...], tracks: list[Track]
) -> Iterable[Finding]:  # fmt: skip
    """Fasteners that are there already when a later step cuts where they are."""
    order = {kind.id: n for n, kind in enumerate(kinds)}
    for kind in kinds:
        for cut in kind.cuts:
            before = [one for one in tracks if order[one.axis.step] < order[kind.id]]
            for piece in (p for p in check.pieces.values() if p.part.name == cut.part):
                axis, is_high = side_of(Face(cut.face), piece.part.hand)
                for one in before:
                    if in_cut(one, piece, axis, is_high, cut.deep.in_mm, cut.is_line):
                        yield say_cut(check, one.axis, kind, piece, cut.face)


def _miscounted(check: Check, kinds: tuple[StepKind, ...]) -> Iterable[Finding]:
    """Rows that come to another number than the step says, or that meet nothing."""
    for kind in kinds:
        for fastener in kind.fasteners:
            own = {a.number for a in check.axes if a.step == kind.id and a.fastener is fastener}
            known = fastener.title in check.sizes
            if not fastener.rows or not known or len(own) == fastener.count:
                continue
            if not own:
                said = say("none of its rows finds two parts that meet")
            else:
                said = say("its rows place {own}", own=len(own))
            yield Finding(
                Level.STOP,
                "fastener_count",
                say(
                    "step {kind_id} says {count} × {fastener_title}, and {said}",
                    kind_id=kind.id,
                    count=fastener.count,
                    fastener_title=fastener.title,
                    said=said,
                ),
                Where(name=kind.id, line=fastener.rows[0].line or kind.line),
                say("change the count, or the rows that say where they go in"),
            )


def _softened(findings: list[Finding], guessed: set[str]) -> list[Finding]:
    """Where the build does not say where they go in, what is wrong is only warned of."""
    told = say(" The build does not say where they go in; give them 'rows'.")
    return [
        replace(f, level=Level.WARN, remedy=f.remedy + "." + told)
        if f.where.name in guessed
        else f
        for f in findings
    ]  # fmt: skip


def _once(findings: list[Finding]) -> list[Finding]:
    """Of one row each rule once."""
    kept: dict[tuple[str, str, int], Finding] = {}
    for finding in findings:
        kept.setdefault((finding.rule, finding.where.name, finding.where.line), finding)
    return list(kept.values())


def _driven(
    check: Check, kinds: tuple[StepKind, ...], tracks: list[Track]
) -> Iterable[Driven]:  # fmt: skip
    for kind in kinds:
        for fastener in kind.fasteners:
            own = [t for t in tracks if t.axis.step == kind.id and t.axis.fastener is fastener]
            numbers = {t.axis.number for t in own}
            short = {
                t.axis.number
                for t in own
                if t.hold_mm < FULL_DIAMETERS * t.axis.size.diameter_mm
                or t.least_edge_mm < FULL_DIAMETERS / 2.4
            }
            yield Driven(
                kind.id,
                fastener.title,
                fastener.count,
                len(numbers),
                any(t.axis.is_guessed for t in own),
                len(short),
                min((t.hold_mm for t in own), default=0.0),
            )
