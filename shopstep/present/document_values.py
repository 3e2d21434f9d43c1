"""Lengths, angles and features as JSON values, the same in every document.

Imports ``model`` and ``units``.
"""

from __future__ import annotations

from dataclasses import fields
from enum import StrEnum

from shopstep.model.feature import Feature
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
    """A feature with its kind, name, faces and sizes, by the names of its fields."""
    shown: dict[str, object] = {"kind": feature.kind, "name": feature.name}
    for field in fields(feature):
        value = getattr(feature, field.name)
        if isinstance(value, Length | Angle):
            shown[field.name] = value_entry(value, display)
        elif isinstance(value, StrEnum):
            shown[field.name] = value.value
        else:
            shown[field.name] = value
    return shown
