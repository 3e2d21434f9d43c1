"""Joints as nouns: each kind knows what it asks of its parts, and derives lengths from it."""

from __future__ import annotations

from shopstep.design.build_file import BuildFile
from shopstep.design.nearest import did_you_mean
from shopstep.design.schema import ButtJointEntry, GrooveJointEntry
from shopstep.design.values import Values
from shopstep.model.feature import Face, Groove
from shopstep.model.joint import Joint
from shopstep.model.plan import BuildFileError
from shopstep.units import ZERO, Length

JOINT_VALUES = ("clear", "depth", "play", "ease", "span", "channel")


def define_joints(build: BuildFile, values: Values) -> None:
    """Name every joint's values: ``joint.span``, ``joint.channel`` and what they come from.

    groove: span = clear + ends × depth − play; channel = member's thickness + ease.
    butt: span = clear.
    """
    for name, entry in build.entry.joints.items():
        for part in (entry.member, entry.into):
            if part not in build.entry.parts:
                raise BuildFileError(
                    f"joint '{name}' names a part '{part}' that is not there"
                    f"{did_you_mean(part, build.entry.parts)}",
                    build.source.where(("joints", name), name),
                )
        if isinstance(entry, GrooveJointEntry):
            _define_groove(name, entry, values)
        else:
            _define_butt(name, entry, values)


def _define_groove(name: str, entry: GrooveJointEntry, values: Values) -> None:
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
    values.define(f"{name}.span", lambda: values.length(f"{name}.clear", path), path)


def resolve_joint(build: BuildFile, values: Values, name: str) -> Joint:
    """One joint with all its lengths."""
    entry = build.entry.joints[name]
    path = ("joints", name)
    groove = isinstance(entry, GrooveJointEntry)

    def length(key: str) -> Length:
        return values.length(f"{name}.{key}", path)

    _check_glue(build, name, entry.glue)
    return Joint(
        name=name,
        kind=entry.kind,
        member=entry.member,
        into=entry.into,
        glue=entry.glue,
        depth=length("depth") if groove else ZERO,
        play=length("play") if groove else ZERO,
        ease=length("ease") if groove else ZERO,
        clear=length("clear"),
        span=length("span"),
        ends=int(entry.ends),
        line=build.source.line(path),
    )


def _check_glue(build: BuildFile, name: str, glue: str | None) -> None:
    if glue is not None and glue not in build.entry.glues:
        raise BuildFileError(
            f"joint '{name}' names a glue '{glue}' that is not there"
            f"{did_you_mean(glue, build.entry.glues)}",
            build.source.where(("joints", name, "glue"), name),
        )


def grooves_into(build: BuildFile, values: Values, part: str) -> tuple[Groove, ...]:
    """The grooves that joints cut into a part."""
    return tuple(
        _joint_groove(values, name, entry)
        for name, entry in build.entry.joints.items()
        if isinstance(entry, GrooveJointEntry) and entry.into == part
    )


def _joint_groove(values: Values, name: str, entry: GrooveJointEntry) -> Groove:
    path = ("joints", name)
    return Groove(
        name=name,
        face=Face(entry.face),
        reference=Face(entry.reference),
        offset=values.length(entry.offset, (*path, "offset")),
        width=values.size(f"{name}.channel", path),
        depth=values.size(f"{name}.depth", path),
        stop_start=values.length(entry.stop_start, (*path, "stop_start")),
        stop_end=values.length(entry.stop_end, (*path, "stop_end")),
    )
