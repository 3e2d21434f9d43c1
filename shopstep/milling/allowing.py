"""Parts as they are cut: with the wood that is left on for planing flush or for trimming.

Imports ``shopstep.model``.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from shopstep.milling.faces import axis_of, end_faces, true_face
from shopstep.model.feature import Dado, Feature, Fingers, Groove, Holes, Notch, Rabbet, Recess
from shopstep.model.part import Allowance, Part
from shopstep.units import Length


def as_cut(part: Part) -> Part:
    """The part with its allowances on; every feature keeps its place in the finished part."""
    for allowance in part.allowances:
        part = _enlarge(part, allowance)
    return part


def _enlarge(part: Part, allowance: Allowance) -> Part:
    role = part.runs.index(axis_of(allowance.face))
    sizes = [part.length, part.width, part.thickness]
    sizes[role] += allowance.extra
    return replace(
        part,
        length=sizes[0],
        width=sizes[1],
        thickness=sizes[2],
        features=tuple(_shift(part, feature, allowance) for feature in part.features),
    )


def _shift(part: Part, feature: Feature, allowance: Allowance) -> Feature:
    grown: dict[str, Any] = {
        field: getattr(feature, field) + allowance.extra
        for face_field, field in _GROWS.get(type(feature), {}).items()
        if _is_on(part, getattr(feature, face_field), allowance)
    }
    return replace(feature, **grown | _stops(part, feature, allowance))


def _is_on(part: Part, face: Any, allowance: Allowance) -> bool:
    return true_face(face, part.hand) is true_face(allowance.face, part.hand)


def _stops(part: Part, feature: Feature, allowance: Allowance) -> dict[str, Length]:
    """A stop is told from its end, so it grows with it; what runs through goes on doing so."""
    if not isinstance(feature, Groove | Rabbet):
        return {}
    stops = {"stop_start": feature.stop_start, "stop_end": feature.stop_end}
    ends = dict(zip(stops, end_faces(part), strict=True))
    return {
        name: stop + allowance.extra
        for name, stop in stops.items()
        if stop and _is_on(part, ends[name], allowance)
    }


_GROWS: dict[type[Any], dict[str, str]] = {
    Groove: {"face": "depth", "reference": "offset"},
    Rabbet: {"face": "depth", "edge": "width"},
    Dado: {"face": "depth", "reference": "offset"},
    Holes: {"reference": "offset"},
    Notch: {"reference": "height"},
    Recess: {"face": "depth", "reference": "offset"},
    Fingers: {"end": "depth"},
}
"""By kind of feature: the face that it is told from, and the size that grows with an allowance."""
