"""Where no glue may go: faces that a loose piece slides along or lies against.

Loads the solids. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Iterable

from shopstep.model.joint import Joint
from shopstep.model.plan import Finding, Level, Where
from shopstep.model.proof import Bare
from shopstep.solids.bodies import Piece
from shopstep.solids.gluing import Zone, zones_between
from shopstep.solids.measures import boxes_meet
from shopstep.words import say

_LEAST_MM2 = 100.0
"""Smaller areas are corners that only come near."""
NEAR_MM = 25.4 / 8
"""A bead of dried glue stands so high; common practice, no source."""


def bare_zones(pieces: Iterable[Piece], loose: Iterable[Piece]) -> list[tuple[Zone, Piece]]:
    """Faces of pieces that stay, each with the loose piece that comes so near to them."""
    moving = tuple(loose)
    found: list[tuple[Zone, Piece]] = []
    for piece in pieces:
        if piece.part.loose:
            continue
        for other in moving:
            if boxes_meet(piece.box, other.box, NEAR_MM):
                zones = zones_between(other, piece, NEAR_MM)
                found += [(zone, other) for zone in zones if zone.piece is piece]
    return found


def measure_bare(pieces: tuple[Piece, ...]) -> tuple[Bare, ...]:
    """The area that glue must be kept off, for each loose part and each part that it meets."""
    loose = tuple(piece for piece in pieces if piece.part.loose)
    areas: dict[tuple[str, str], float] = {}
    for zone, other in bare_zones(pieces, loose):
        key = other.part.title, zone.piece.part.title
        areas[key] = areas.get(key, 0.0) + zone.area_mm2
    return tuple(
        Bare(moving, stays, area) for (moving, stays), area in areas.items() if area > _LEAST_MM2
    )


def glue_on_loose(pieces: tuple[Piece, ...], joints: tuple[Joint, ...]) -> list[Finding]:
    """Glued joints that would hold a piece that is to come out again."""
    parts = {piece.part.name: piece.part for piece in pieces}
    findings = []
    for joint in joints:
        both = [parts[name] for name in (joint.member, joint.into) if name in parts]
        if joint.glue is None or len(both) < 2 or both[0].loose is both[1].loose:
            continue
        loose, fixed = both if both[0].loose else both[::-1]
        findings.append(
            Finding(
                Level.STOP,
                "glue_on_loose",
                say(
                    "joint {joint_name} glues {loose_title}, which is to come out, to "
                    "{fixed_title}",
                    joint_name=joint.name,
                    loose_title=loose.title,
                    fixed_title=fixed.title,
                ),
                Where(name=joint.name, line=joint.line),
                say("leave the glue out of the joint, or 'loose' out of the part"),
            )
        )
    return findings
