"""Joints as nouns: each kind knows what it asks of its parts, and derives lengths from it.

The table ``_KINDS`` has one row for each kind: how its values are named, and which features it cuts
into which part.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from shopstep.design.build_file import BuildFile
from shopstep.design.joints_flush import (
    cut_bevel_joint,
    cut_lap,
    define_bevel,
    define_lap,
)
from shopstep.design.nearest import did_you_mean
from shopstep.design.schema_joints import (
    BevelJointEntry,
    BoxJointEntry,
    ButtJointEntry,
    DadoJointEntry,
    GrooveJointEntry,
    LapJointEntry,
    RabbetJointEntry,
)
from shopstep.design.values import Values
from shopstep.model.feature import Dado, Face, Feature, Fingers, Groove, Rabbet
from shopstep.model.joint import Joint
from shopstep.model.plan import BuildFileError
from shopstep.units import ZERO, Length
from shopstep.words import say

_ENDS = {"box": 2}
"""Ends of the member in joints that do not say it."""


def define_joints(build: BuildFile, values: Values) -> None:
    """Name every joint's values: ``joint.span``, ``joint.channel`` and what they come from.

    groove, rabbet, dado: span = clear + ends × depth − play; channel = member's thickness + ease.
    lap and bevel: see ``joints_flush``. box: span = clear + twice the thickness of ``into``;
    depth = that thickness. butt: span = clear.
    """
    for name, entry in build.entry.joints.items():
        for part in (entry.member, entry.into):
            if part not in build.entry.parts:
                raise BuildFileError(
                    say(
                        "joint '{name}' names a part '{part}' that is not there{did_you_mean}",
                        name=name,
                        part=part,
                        did_you_mean=did_you_mean(part, build.entry.parts),
                    ),
                    build.source.where(("joints", name), name),
                )
        if entry.member == entry.into:
            raise BuildFileError(
                say(
                    "joint '{name}' joins '{member}' with itself; name two parts",
                    name=name,
                    member=entry.member,
                ),
                build.source.where(("joints", name, "into"), name),
            )
        _KINDS[type(entry)].define(name, entry, values)


def _define_channel(name: str, entry: Any, values: Values) -> None:
    path = ("joints", name)
    for key in ("clear", "depth", "play", "ease"):
        values.define_text(f"{name}.{key}", getattr(entry, key), (*path, key))

    def length(key: str) -> Length:
        return values.length(f"{name}.{key}", path)

    def span() -> Length:
        return length("clear") + length("depth").times(int(entry.ends)) - length("play")

    def channel() -> Length:
        return values.length(f"{entry.member}.thickness", path) + length("ease")

    values.define(f"{name}.span", span, path)
    values.define(f"{name}.channel", channel, path)


def _define_butt(name: str, entry: ButtJointEntry, values: Values) -> None:
    path = ("joints", name)
    values.define_text(f"{name}.clear", entry.clear, (*path, "clear"))
    values.define_text(f"{name}.play", entry.play, (*path, "play"))
    values.define(f"{name}.span", lambda: values.length(f"{name}.clear", path), path)


def _define_box(name: str, entry: BoxJointEntry, values: Values) -> None:
    path = ("joints", name)
    values.define_text(f"{name}.clear", entry.clear, (*path, "clear"))
    values.define_text(f"{name}.pitch", entry.pitch, (*path, "pitch"))

    def depth() -> Length:
        return values.length(f"{entry.into}.thickness", path)

    def span() -> Length:
        return values.length(f"{name}.clear", path) + depth() + depth()

    values.define(f"{name}.depth", depth, path)
    values.define(f"{name}.span", span, path)


def resolve_joint(build: BuildFile, values: Values, name: str) -> Joint:
    """One joint with all its lengths."""
    entry = build.entry.joints[name]
    path = ("joints", name)
    known = _KINDS[type(entry)].lengths

    def length(key: str) -> Length:
        return values.length(f"{name}.{key}", path) if key in known else ZERO

    _check_glue(build, name, entry.glue)
    if "clear" in known:
        values.size(f"{name}.clear", (*path, "clear"))
    if "play" in known:
        values.distance(f"{name}.play", path)
    return Joint(
        name=name,
        kind=entry.kind,
        member=entry.member,
        into=entry.into,
        glue=entry.glue,
        depth=length("depth"),
        play=length("play"),
        ease=length("ease"),
        clear=length("clear"),
        span=length("span"),
        ends=int(getattr(entry, "ends", _ENDS.get(entry.kind, 1))),
        line=build.source.line(path),
    )


def _check_glue(build: BuildFile, name: str, glue: str | None) -> None:
    if glue is not None and glue not in build.entry.glues:
        raise BuildFileError(
            say(
                "joint '{name}' names a glue '{glue}' that is not there{did_you_mean}",
                name=name,
                glue=glue,
                did_you_mean=did_you_mean(glue, build.entry.glues),
            ),
            build.source.where(("joints", name, "glue"), name),
        )


def joint_features(build: BuildFile, values: Values, part: str) -> tuple[Feature, ...]:
    """What joints cut into a part."""
    return tuple(
        feature
        for name, entry in build.entry.joints.items()
        for feature in _KINDS[type(entry)].cut(name, entry, part, values)
    )


def _cut_groove(name: str, entry: GrooveJointEntry, part: str, values: Values) -> list[Feature]:
    if entry.into != part:
        return []
    path = ("joints", name)
    return [
        Groove(
            name=name,
            face=Face(entry.face),
            reference=Face(entry.reference),
            offset=values.distance(entry.offset, (*path, "offset")),
            width=values.size(f"{name}.channel", path),
            depth=values.size(f"{name}.depth", path),
            stop_start=values.distance(entry.stop_start, (*path, "stop_start")),
            stop_end=values.distance(entry.stop_end, (*path, "stop_end")),
        )
    ]


def _cut_rabbet(name: str, entry: RabbetJointEntry, part: str, values: Values) -> list[Feature]:
    if entry.into != part:
        return []
    path = ("joints", name)
    return [
        Rabbet(
            name=f"{name}_{edge}",
            face=Face(entry.face),
            edge=Face(edge),
            width=values.size(f"{name}.channel", path),
            depth=values.size(f"{name}.depth", path),
            stop_start=values.distance(entry.stop_start, (*path, "stop_start")),
            stop_end=values.distance(entry.stop_end, (*path, "stop_end")),
        )
        for edge in entry.edges
    ]


def _cut_dado(name: str, entry: DadoJointEntry, part: str, values: Values) -> list[Feature]:
    if entry.into != part:
        return []
    path = ("joints", name)
    return [
        Dado(
            name=name,
            face=Face(entry.face),
            reference=Face(entry.reference),
            offset=values.distance(entry.offset, (*path, "offset")),
            width=values.size(f"{name}.channel", path),
            depth=values.size(f"{name}.depth", path),
        )
    ]


def _cut_fingers(name: str, entry: BoxJointEntry, part: str, values: Values) -> list[Feature]:
    path = ("joints", name)
    ends = {entry.into: entry.into_ends, entry.member: entry.member_ends}.get(part, [])
    other = entry.member if part == entry.into else entry.into
    return [
        Fingers(
            name=f"{name}_{end}",
            end=Face(end),
            pitch=values.size(f"{name}.pitch", path),
            depth=values.size(f"{other}.thickness", path),
            starts_with="finger" if part == entry.into else "slot",
            reference=Face(entry.reference),
        )
        for end in ends
    ]


def _cut_nothing(name: str, entry: ButtJointEntry, part: str, values: Values) -> list[Feature]:
    del name, entry, part, values
    return []


@dataclass(frozen=True, slots=True)
class _Kind:
    """What a kind of joint does."""

    define: Callable[[str, Any, Values], None]
    cut: Callable[[str, Any, str, Values], list[Feature]]
    lengths: tuple[str, ...]
    """Names of its lengths, for ``Joint`` and for expressions."""


_CHANNEL = ("clear", "depth", "play", "ease", "span", "channel")
_KINDS: dict[type[Any], _Kind] = {
    GrooveJointEntry: _Kind(_define_channel, _cut_groove, _CHANNEL),
    RabbetJointEntry: _Kind(_define_channel, _cut_rabbet, _CHANNEL),
    DadoJointEntry: _Kind(_define_channel, _cut_dado, _CHANNEL),
    BoxJointEntry: _Kind(_define_box, _cut_fingers, ("clear", "depth", "span", "pitch")),
    ButtJointEntry: _Kind(_define_butt, _cut_nothing, ("clear", "play", "span")),
    LapJointEntry: _Kind(define_lap, cut_lap, ("depth", "ease")),
    BevelJointEntry: _Kind(define_bevel, cut_bevel_joint, ()),
}
