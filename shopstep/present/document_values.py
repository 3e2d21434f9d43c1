"""Lengths, angles and features as JSON values, the same in every document.

Imports ``model`` and ``units``.
"""

from __future__ import annotations

from shopstep.model.feature import Bevel, Feature, Groove, Holes, Notch
from shopstep.units import Angle, Length, format_angle, format_length


def length_entry(length: Length, display: str) -> dict[str, object]:
    """A length as {nm, text}: exact, and as people read it (``display`` is in or mm)."""
    return {"nm": length.nm, "text": format_length(length, display)}


def optional_length(length: Length | None, display: str) -> dict[str, object] | None:
    """A length as {nm, text}, or None where there is none."""
    return None if length is None else length_entry(length, display)


def angle_entry(angle: Angle) -> dict[str, object]:
    """An angle as {microdeg, text}."""
    return {"microdeg": angle.microdeg, "text": format_angle(angle)}


def value_entry(value: Length | Angle | int, display: str) -> dict[str, object] | int:
    """A number of a step or a machine setting; a count stays a whole number."""
    if isinstance(value, Length):
        return length_entry(value, display)
    return angle_entry(value) if isinstance(value, Angle) else value


def feature_entry(feature: Feature, display: str) -> dict[str, object]:
    """A feature with its kind, name, faces and sizes."""
    head: dict[str, object] = {
        "kind": feature.kind,
        "name": feature.name,
        "face": feature.face.value,
    }
    if isinstance(feature, Bevel):
        head |= {"edge": feature.edge.value, "angle": angle_entry(feature.angle)}
    else:
        head["reference"] = feature.reference.value
    if isinstance(feature, Holes):
        head["count"] = feature.count
    return head | {name: length_entry(value, display) for name, value in _sizes(feature).items()}


def _sizes(feature: Feature) -> dict[str, Length]:
    match feature:
        case Groove():
            return {
                "offset": feature.offset,
                "width": feature.width,
                "depth": feature.depth,
                "stop_start": feature.stop_start,
                "stop_end": feature.stop_end,
            }
        case Bevel():
            return {"back": feature.back, "drop": feature.drop}
        case Holes():
            return {
                "offset": feature.offset,
                "diameter": feature.diameter,
                "pitch": feature.pitch,
            }
        case Notch():
            return {"width": feature.width, "height": feature.height}
