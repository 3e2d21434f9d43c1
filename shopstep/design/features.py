"""What is cut into a part, checked against the part it is cut into."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from shopstep.design.build_file import BuildFile
from shopstep.design.schema_features import (
    BevelEntry,
    DadoEntry,
    FeatureEntry,
    FingersEntry,
    GrooveEntry,
    HolesEntry,
    NotchEntry,
    RabbetEntry,
    RecessEntry,
)
from shopstep.design.values import Values
from shopstep.design.yaml_source import Path
from shopstep.model.feature import (
    Bevel,
    Dado,
    Face,
    Feature,
    Fingers,
    Groove,
    Holes,
    Notch,
    Rabbet,
    Recess,
)
from shopstep.model.plan import BuildFileError, Finding, Level, Where
from shopstep.units import Angle, Length, format_length
from shopstep.words import say


def resolve_feature(
    build: BuildFile, values: Values, part: str, name: str, entry: FeatureEntry, sizes: list[Length]
) -> Feature:
    """One feature of a part with its lengths; BuildFileError where it makes no sense."""
    path: Path = ("parts", part, "features", name)
    make: Callable[..., Feature] = _MAKERS[type(entry)]
    if isinstance(entry, BevelEntry) and entry.face == entry.edge:
        raise BuildFileError(
            say("bevel '{name}' needs two different faces", name=name),
            build.source.where(path, part),
        )
    return make(values, name, entry, path)


def _groove(values: Values, name: str, entry: GrooveEntry, path: Path) -> Feature:
    return Groove(
        name,
        Face(entry.face),
        Face(entry.reference),
        values.distance(entry.offset, (*path, "offset")),
        values.size(entry.width, (*path, "width")),
        values.size(entry.depth, (*path, "depth")),
        values.distance(entry.stop_start, (*path, "stop_start")),
        values.distance(entry.stop_end, (*path, "stop_end")),
    )


def _bevel(values: Values, name: str, entry: BevelEntry, path: Path) -> Feature:
    back = values.size(entry.back, (*path, "back"))
    drop = values.size(entry.drop, (*path, "drop"))
    return Bevel(name, Face(entry.face), Face(entry.edge), back, drop, Angle.from_rise(drop, back))


def _holes(values: Values, name: str, entry: HolesEntry, path: Path) -> Feature:
    holes = Holes(
        name,
        Face(entry.face),
        Face(entry.reference),
        values.size(entry.offset, (*path, "offset")),
        values.size(entry.diameter, (*path, "diameter")),
        _hole_count(values, entry, (*path, "count")),
        values.size(entry.pitch, (*path, "pitch")),
    )
    if holes.count > 1 and holes.pitch <= holes.diameter:
        raise BuildFileError(
            say(
                "the holes of '{name}' run into each other; the pitch must be more than the "
                "diameter",
                name=name,
            ),
            values.source.where((*path, "pitch"), name),
        )
    return holes


def _hole_count(values: Values, entry: HolesEntry, path: Path) -> int:
    count = values.count(entry.count, path)
    if count == 0:
        raise BuildFileError(
            say(
                "'{path}' of part '{path_2}' comes out as a row of 0 holes; give it 'when', so"
                " that it goes where there is no room",
                path=path[-2],
                path_2=path[1],
            ),
            values.source.where(path, str(path[1])),
        )
    return count


def _notch(values: Values, name: str, entry: NotchEntry, path: Path) -> Feature:
    return Notch(
        name,
        Face(entry.face),
        Face(entry.reference),
        values.size(entry.width, (*path, "width")),
        values.size(entry.height, (*path, "height")),
    )


def _rabbet(values: Values, name: str, entry: RabbetEntry, path: Path) -> Feature:
    return Rabbet(
        name,
        Face(entry.face),
        Face(entry.edge),
        values.size(entry.width, (*path, "width")),
        values.size(entry.depth, (*path, "depth")),
        values.distance(entry.stop_start, (*path, "stop_start")),
        values.distance(entry.stop_end, (*path, "stop_end")),
    )


def _dado(values: Values, name: str, entry: DadoEntry, path: Path) -> Feature:
    return Dado(
        name,
        Face(entry.face),
        Face(entry.reference),
        values.distance(entry.offset, (*path, "offset")),
        values.size(entry.width, (*path, "width")),
        values.size(entry.depth, (*path, "depth")),
    )


def _fingers(values: Values, name: str, entry: FingersEntry, path: Path) -> Feature:
    return Fingers(
        name,
        Face(entry.end),
        values.size(entry.pitch, (*path, "pitch")),
        values.size(entry.depth, (*path, "depth")),
        entry.starts_with,
        Face(entry.reference),
    )


def _recess(values: Values, name: str, entry: RecessEntry, path: Path) -> Feature:
    return Recess(
        name,
        Face(entry.face),
        Face(entry.reference),
        values.distance(entry.offset, (*path, "offset")),
        values.size(entry.length, (*path, "length")),
        values.size(entry.height, (*path, "height")),
        values.size(entry.depth, (*path, "depth")),
    )


_MAKERS: dict[type[Any], Callable[..., Feature]] = {
    GrooveEntry: _groove,
    BevelEntry: _bevel,
    HolesEntry: _holes,
    NotchEntry: _notch,
    RabbetEntry: _rabbet,
    DadoEntry: _dado,
    FingersEntry: _fingers,
    RecessEntry: _recess,
}


def feature_findings(
    label: str,
    feature: Feature,
    sizes: tuple[Length, Length, Length],
    where: Where,
    display: str,
) -> tuple[Finding, ...]:
    """Stops for a feature that does not lie on its part. ``sizes``: length, width, thickness."""
    checks = _REACHES[type(feature)](feature, sizes)
    return tuple(
        Finding(
            Level.STOP,
            "feature_off_part",
            say(
                "{label}: {what} of '{feature_name}' comes to {reach}; there is {room}.",
                label=label,
                what=what,
                feature_name=feature.name,
                reach=format_length(reach, display),
                room=format_length(room, display),
            ),
            where,
            say("Make the feature smaller or the part larger; see the sizes they come from."),
        )
        for what, reach, room in checks
        if reach > room
    )


Reaches = list[tuple[str, Length, Length]]


def _groove_reaches(groove: Groove, sizes: tuple[Length, Length, Length]) -> Reaches:
    length, width, thickness = sizes
    return [
        (say("the far wall"), groove.offset + groove.width, width),
        (say("the depth"), groove.depth, thickness - Length(1)),
        (say("the stops"), groove.stop_start + groove.stop_end, length - Length(1)),
    ]


def _bevel_reaches(bevel: Bevel, sizes: tuple[Length, Length, Length]) -> Reaches:
    length, width, thickness = sizes
    return [
        (say("the cut"), max(bevel.back, bevel.drop), length),
        (say("the cut"), min(bevel.back, bevel.drop), max(width, thickness)),
    ]


def _holes_reaches(holes: Holes, sizes: tuple[Length, Length, Length]) -> Reaches:
    length, width, _ = sizes
    row = holes.pitch.times(max(holes.count - 1, 0)) + holes.diameter
    return [
        (say("the row"), row, length),
        (say("the edge"), holes.offset + holes.diameter.over(2), width),
        (say("the edge"), holes.diameter.over(2), holes.offset),
    ]


def _notch_reaches(notch: Notch, sizes: tuple[Length, Length, Length]) -> Reaches:
    length, width, _ = sizes
    return [
        (say("the width"), notch.width, length - Length(1)),
        (say("the height"), notch.height, width - Length(1)),
    ]


def _rabbet_reaches(rabbet: Rabbet, sizes: tuple[Length, Length, Length]) -> Reaches:
    length, width, thickness = sizes
    return [
        (say("the width"), rabbet.width, max(width, length) - Length(1)),
        (say("the depth"), rabbet.depth, max(thickness, width) - Length(1)),
        (say("the stops"), rabbet.stop_start + rabbet.stop_end, length - Length(1)),
    ]


def _dado_reaches(dado: Dado, sizes: tuple[Length, Length, Length]) -> Reaches:
    length, _, thickness = sizes
    return [
        (say("the far wall"), dado.offset + dado.width, length),
        (say("the depth"), dado.depth, thickness - Length(1)),
    ]


def _fingers_reaches(fingers: Fingers, sizes: tuple[Length, Length, Length]) -> Reaches:
    length, width, _ = sizes
    return [
        (say("the depth"), fingers.depth, length),
        (say("two fingers"), fingers.pitch.times(2), width),
    ]


def _recess_reaches(recess: Recess, sizes: tuple[Length, Length, Length]) -> Reaches:
    length, width, thickness = sizes
    return [
        (say("the length"), recess.length, length - Length(1)),
        (say("the far side"), recess.offset + recess.height, width - Length(1)),
        (say("the depth"), recess.depth, thickness - Length(1)),
    ]


_REACHES: dict[type[Any], Callable[..., Reaches]] = {
    Groove: _groove_reaches,
    Bevel: _bevel_reaches,
    Holes: _holes_reaches,
    Notch: _notch_reaches,
    Rabbet: _rabbet_reaches,
    Dado: _dado_reaches,
    Fingers: _fingers_reaches,
    Recess: _recess_reaches,
}
