"""Laps and bevelled corners: joints that are cut into both parts, so that they come out flush.

Imported by ``joints``, whose table has a row for each.
"""

from __future__ import annotations

from shopstep.design.schema_joints import BevelJointEntry, LapEnd, LapJointEntry
from shopstep.design.values import Values
from shopstep.model.feature import Bevel, Dado, Face, Feature, Rabbet
from shopstep.units import ZERO, Angle, Length


def define_lap(name: str, entry: LapJointEntry, values: Values) -> None:
    """``depth`` into the member; ``rest`` into the other: what is left of the member there.

    ``channel``: how wide the member is cut (the other's width + ease); ``seat``: how wide the
    other is cut (the member's width + ease).
    """
    path = ("joints", name)
    values.define_text(f"{name}.depth", entry.depth, (*path, "depth"))
    values.define_text(f"{name}.ease", entry.ease, (*path, "ease"))

    def length(key: str) -> Length:
        return values.length(key, path)

    def rest() -> Length:
        return length(f"{entry.member}.thickness") - length(f"{name}.depth")

    def across(part: str) -> Length:
        return length(f"{part}.width") + length(f"{name}.ease")

    values.define(f"{name}.rest", rest, path)
    values.define(f"{name}.channel", lambda: across(entry.into), path)
    values.define(f"{name}.seat", lambda: across(entry.member), path)


def cut_lap(name: str, entry: LapJointEntry, part: str, values: Values) -> list[Feature]:
    """A step at an end, or a channel across, in each of the two parts."""
    sides = {
        entry.member: (entry.member_cut, "depth", "channel"),
        entry.into: (entry.into_cut, "rest", "seat"),
    }
    if part not in sides:
        return []
    cut, depth, width = sides[part]
    key = "member_cut" if part == entry.member else "into_cut"
    path = ("joints", name)
    return [
        _lap_feature(
            name,
            cut,
            values.distance(cut.offset, (*path, key, "offset")),
            values.size(f"{name}.{width}", path),
            values.size(f"{name}.{depth}", (*path, "depth")),
        )
    ]


def _lap_feature(name: str, cut: LapEnd, offset: Length, width: Length, depth: Length) -> Feature:
    face, end = Face(cut.face), Face(cut.reference)
    if offset == ZERO:
        return Rabbet(name, face, end, width, depth, ZERO, ZERO)
    return Dado(name, face, end, offset, width, depth)


def define_bevel(name: str, entry: BevelJointEntry, values: Values) -> None:
    """``half``: the angle of each cut against its face; the two halves make the corner."""
    path = ("joints", name)
    values.define_text(f"{name}.half", f"({entry.angle})/2", (*path, "angle"))
    for part in (entry.member, entry.into):
        text = f"{part}.thickness / tan({name}.half)"
        values.define_text(f"{name}.{part}_back", text, (*path, "angle"))


def cut_bevel_joint(name: str, entry: BevelJointEntry, part: str, values: Values) -> list[Feature]:
    """The bevel on one of the two parts: through its whole thickness, at half the corner."""
    sides = {
        entry.member: (entry.member_face, entry.member_edge),
        entry.into: (entry.into_face, entry.into_edge),
    }
    if part not in sides:
        return []
    path = ("joints", name)
    face, edge = sides[part]
    back = values.size(f"{name}.{part}_back", (*path, "angle"))
    drop = values.size(f"{part}.thickness", path)
    return [Bevel(name, Face(face), Face(edge), back, drop, Angle.from_rise(drop, back))]
