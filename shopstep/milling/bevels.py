"""Bevels: along the grain with a tilted blade, across an end with the mitre gauge.

Imports ``shopstep.model``.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.milling.drafts import TABLE_SAW, Draft
from shopstep.milling.faces import (
    axis_of,
    extent_across,
    face_across,
    is_end,
    opposite_face,
    say_face,
    true_face,
)
from shopstep.milling.marks import say_down, say_up
from shopstep.model.feature import Bevel, Face
from shopstep.model.operation import Setting
from shopstep.model.part import Part
from shopstep.units import Angle, Length
from shopstep.words import say

_SQUARE = Angle.degrees(90)
_HALF = Angle.degrees(45)
"""Blades tilt no further than this."""
GAUGE_LIMIT = Angle.degrees(60)
"""Mitre gauges turn no further from square (common practice; the gauge's own scale decides)."""


@dataclass(frozen=True, slots=True)
class Slope:
    """A bevel as it lies at the saw: its heel at fence or stop, its toe further out."""

    heel: Face
    """The face that the slope begins on: on the table, or along the stop at the gauge."""
    toe: Face
    """The face that it runs out on."""
    along: Length
    """From the toe's face to the heel, along the heel's face."""
    up: Length
    """From the heel's face to the toe, along the toe's face."""


def slope_at_saw(part: Part, bevel: Bevel) -> Slope:
    """Which ends of the bevel are heel and toe in the setup that ``cut_bevel`` gives."""
    if is_across_end(part, bevel):
        turned = turn_to_end(part, bevel)
        return Slope(turned.face, turned.edge, turned.back, turned.drop)
    broad = _turn_to_broad(part, bevel)
    if broad.angle >= _HALF:
        return Slope(broad.face, broad.edge, broad.back, broad.drop)
    return Slope(broad.edge, broad.face, broad.drop, broad.back)


def is_across_end(part: Part, bevel: Bevel) -> bool:
    """Whether the bevel takes off an end, and not a long edge."""
    return is_end(part, bevel.edge) or is_end(part, bevel.face)


def cut_bevel(part: Part, bevel: Bevel, _kerf: Length) -> Draft:
    """The cut for a bevel: ``mitre`` where it takes off an end, ``bevel_rip`` along the grain."""
    if not is_across_end(part, bevel):
        return _rip_bevel(part, _turn_to_broad(part, bevel))
    turned = turn_to_end(part, bevel)
    return _tilt_end(part, turned) if _is_broad(part, turned.face) else _mitre_end(part, turned)


def turn_to_end(part: Part, bevel: Bevel) -> Bevel:
    """The same bevel told so that ``edge`` is the end of the part."""
    return bevel if is_end(part, bevel.edge) else _turn_about(bevel)


def _turn_to_broad(part: Part, bevel: Bevel) -> Bevel:
    return bevel if _is_broad(part, bevel.face) else _turn_about(bevel)


def _turn_about(bevel: Bevel) -> Bevel:
    """The same cut with ``face`` and ``edge`` in each other's place."""
    return Bevel(
        name=bevel.name,
        face=bevel.edge,
        edge=bevel.face,
        back=bevel.drop,
        drop=bevel.back,
        angle=_rest_of_square(bevel.angle),
    )


def off_square(part: Part, bevel: Bevel) -> Angle:
    """How far the gauge or the blade stands from a square cut for a bevel across an end."""
    return _rest_of_square(turn_to_end(part, bevel).angle)


def is_tilted(part: Part, bevel: Bevel) -> bool:
    """Whether a bevel across an end runs across the broad face, so that the blade tilts."""
    return is_across_end(part, bevel) and _is_broad(part, turn_to_end(part, bevel).face)


def _rest_of_square(angle: Angle) -> Angle:
    return Angle(_SQUARE.microdeg - angle.microdeg)


def _is_broad(part: Part, face: Face) -> bool:
    return part.runs.index(axis_of(face)) == 2


def _spoiled(part: Part, bevel: Bevel) -> frozenset[Face]:
    return frozenset({true_face(bevel.face, part.hand), true_face(bevel.edge, part.hand)})


def _mitre_end(part: Part, bevel: Bevel) -> Draft:
    """Lies flat, the edge opposite the bevelled one to the gauge, the body left of the blade.

    That edge stays longer than the other, so the gauge's left side swings away from the person.
    """
    note = say(
        "{face} pointing away from you; stop along the {face_2}; {face_3} to the gauge; {up}",
        face=say_face(part, opposite_face(bevel.edge)),
        face_2=say_face(part, bevel.face),
        face_3=say_face(part, opposite_face(bevel.face)),
        up=say_up(part, face_across(bevel.edge, bevel.face, part.hand)),
    )
    return Draft(
        kind="mitre",
        tool=TABLE_SAW,
        name=bevel.name,
        settings=(
            Setting("angle", off_square(part, bevel)),
            Setting("stop", part.length - bevel.back),
        ),
        note=note,
        leans_on=frozenset({true_face(opposite_face(bevel.face), part.hand)}),
        spoils=_spoiled(part, bevel),
    )


def _tilt_end(part: Part, bevel: Bevel) -> Draft:
    note = say(
        "{down}; stop along it; {face} at the blade, which leans away from the part",
        down=say_down(part, bevel.face),
        face=say_face(part, bevel.edge),
    )
    return Draft(
        kind="mitre",
        tool=TABLE_SAW,
        name=bevel.name,
        settings=(
            Setting("tilt", off_square(part, bevel)),
            Setting("stop", part.length - bevel.back),
        ),
        note=note,
        leans_on=frozenset({true_face(bevel.face, part.hand)}),
        spoils=_spoiled(part, bevel),
    )


def _rip_bevel(part: Part, bevel: Bevel) -> Draft:
    """Steep bevels lie flat; flat ones stand on edge, so the blade never tilts beyond 45°."""
    slope = slope_at_saw(part, bevel)
    flat = slope.heel is bevel.face
    tilt = _rest_of_square(bevel.angle) if flat else bevel.angle
    down, back, fence_face = slope.heel, slope.along, opposite_face(slope.toe)
    fence = say("fence") if flat else say("tall fence")
    note = say(
        "{down}; {face} to the {fence}",
        down=say_down(part, down),
        face=say_face(part, fence_face),
        fence=fence,
    )
    return Draft(
        kind="bevel_rip",
        tool=TABLE_SAW,
        name=bevel.name,
        settings=(
            Setting("tilt", tilt),
            Setting("fence", extent_across(part, fence_face) - back),
        ),
        note=note,
        on_stick=True,
        leans_on=frozenset({true_face(down, part.hand), true_face(fence_face, part.hand)}),
        spoils=_spoiled(part, bevel),
    )
