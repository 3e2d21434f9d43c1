"""Parts with their sizes, features and places; handed parts once for each hand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from shopstep.design.aligning import corner_of, define_faces
from shopstep.design.allowances import resolve_allowances, resolve_free, width_text
from shopstep.design.build_file import BuildFile
from shopstep.design.features import resolve_feature
from shopstep.design.joints import joint_features
from shopstep.design.nearest import did_you_mean
from shopstep.design.schema import AtEntry, LeanEntry, PartEntry
from shopstep.design.values import Values
from shopstep.design.yaml_source import Path
from shopstep.model.feature import Feature
from shopstep.model.material import Form, Material
from shopstep.model.part import Axis, Hand, Lean, Part, Placement
from shopstep.model.plan import BuildFileError
from shopstep.units import ZERO, Length
from shopstep.words import say


def define_materials(build: BuildFile, values: Values) -> None:
    """Name every material's thickness: ``board.thickness``."""
    for name, entry in build.entry.materials.items():
        path = ("materials", name, "thickness")
        values.define_text(f"{name}.thickness", entry.thickness, path)


def resolve_materials(build: BuildFile, values: Values) -> tuple[Material, ...]:
    """All materials with their measured thickness."""
    return tuple(
        Material(
            id=name,
            title=entry.title,
            form=Form(entry.form),
            thickness=values.size(f"{name}.thickness", ("materials", name, "thickness")),
            sold_width=values.size(entry.sold_width, ("materials", name, "sold_width")),
            sold_length=_sold_lengths(build, name, values)[0],
            other_lengths=_sold_lengths(build, name, values)[1:],
            sold_as=entry.sold_as,
            stuff=entry.stuff if entry.stuff in ("foam", "metal") else "",
            sold_thickness=_sold_thickness(build, name, values),
        )
        for name, entry in build.entry.materials.items()
    )


def _sold_thickness(build: BuildFile, name: str, values: Values) -> Length:
    """How thick a board is sold rough; zero where it is sold as thick as it is used."""
    entry, path = build.entry.materials[name], ("materials", name, "sold_thickness")
    if entry.sold_thickness is None:
        return ZERO
    rough = values.size(entry.sold_thickness, path)
    wanted = values.size(f"{name}.thickness", ("materials", name, "thickness"))
    said = ""
    if entry.form != "board" or entry.stuff not in (None, "wood"):
        said = say("is for boards of wood only")
    elif rough <= wanted:
        said = say("must be more than its thickness; leave it out where it is sold as thick")
    elif not isinstance(entry.sold_length, str):
        said = say("goes with one sold_length; name the one that you buy")
    if said:
        raise BuildFileError(
            say("'sold_thickness' of '{name}' {said}", name=name, said=said),
            build.source.where(path, name),
        )
    return rough


def _sold_lengths(build: BuildFile, name: str, values: Values) -> tuple[Length, ...]:
    """All lengths that a material is sold in, the longest first."""
    entry, path = build.entry.materials[name], ("materials", name, "sold_length")
    if isinstance(entry.sold_length, str):
        return (values.size(entry.sold_length, path),)
    found = {values.size(text, (*path, n)) for n, text in enumerate(entry.sold_length)}
    if not found or (len(found) > 1 and entry.form == "roll"):
        said = (
            say("of a roll is one length, the least that is sold")
            if found
            else say("names no length")
        )
        raise BuildFileError(
            say("'sold_length' of '{name}' {said}", name=name, said=said),
            build.source.where(path, name),
        )
    return tuple(sorted(found, reverse=True))


def define_parts(build: BuildFile, values: Values, widths: Mapping[str, Length]) -> None:
    """Name every part's sizes: ``panel.length``, ``panel.width``, ``panel.thickness``.

    ``widths``: what was chosen for widths that do not matter, by part.
    """
    for name, entry in build.entry.parts.items():
        path = ("parts", name)
        if entry.material not in build.entry.materials:
            raise BuildFileError(
                say(
                    "part '{name}' is made of '{material}', which is not there{did_you_mean}",
                    name=name,
                    material=entry.material,
                    did_you_mean=did_you_mean(entry.material, build.entry.materials),
                ),
                build.source.where((*path, "material"), name),
            )
        values.define_text(f"{name}.length", entry.length, (*path, "length"))
        width = width_text(entry, widths.get(name))
        values.define_text(f"{name}.width", width, (*path, "width"))
        thickness = entry.thickness or f"{entry.material}.thickness"
        values.define_text(f"{name}.thickness", thickness, (*path, "thickness"))
    define_faces(build, values)


def resolve_parts(build: BuildFile, values: Values) -> tuple[Part, ...]:
    """All parts, in the order of the build file, left before right."""
    parts: list[Part] = []
    for name, entry in build.entry.parts.items():
        hands = (Hand.LEFT, Hand.RIGHT) if entry.hands else (None,)
        parts += [_resolve_part(build, values, name, entry, hand) for hand in hands]
    return tuple(parts)


def _resolve_part(
    build: BuildFile, values: Values, name: str, entry: PartEntry, hand: Hand | None
) -> Part:
    path: Path = ("parts", name)
    sizes = [values.size(f"{name}.{key}", (*path, key)) for key in ("length", "width", "thickness")]
    runs = _runs(build, name, entry)
    ats = entry.at if isinstance(entry.at, list) else [entry.at]
    if not ats:
        raise BuildFileError(
            say("part '{name}' stands nowhere; give 'at' a place for each piece", name=name),
            build.source.where((*path, "at"), name),
        )
    places = tuple(
        _place(build, values, name, at, dict(zip(runs, sizes, strict=True)), (*path, "at"))
        for at in ats
    )
    if hand is Hand.RIGHT and entry.hands is not None:
        middle = values.length(entry.hands.middle, (*path, "hands", "middle"))
        places = tuple(_mirrored(place, middle) for place in places)
    features = _features(build, values, name, entry, sizes)
    return Part(
        name=name,
        hand=hand,
        title=entry.title,
        material=entry.material,
        count_unit=len(places),
        length=sizes[0],
        width=sizes[1],
        thickness=sizes[2],
        runs=runs,
        places=places,
        features=features,
        why=entry.why,
        line=build.source.line(path),
        allowances=resolve_allowances(build, values, name, entry, runs, features),
        free=resolve_free(build, values, name, entry, sizes[1]),
        loose=entry.loose,
    )


def _runs(build: BuildFile, name: str, entry: PartEntry) -> tuple[Axis, Axis, Axis]:
    if len(set(entry.runs)) != 3:
        raise BuildFileError(
            say(
                "part '{name}': length, width and thickness must run along three different axes",
                name=name,
            ),
            build.source.where(("parts", name, "runs"), name),
        )
    length, width, thickness = (Axis(axis) for axis in entry.runs)
    return length, width, thickness


def _place(
    build: BuildFile,
    values: Values,
    name: str,
    at: AtEntry,
    extent: dict[Axis, Length],
    path: Path,
) -> Placement:
    front, left, bottom = corner_of(build, name, at, path)
    return Placement(
        front=values.length(front, (*path, "front")),
        left=values.length(left, (*path, "left")),
        bottom=values.length(bottom, (*path, "bottom")),
        depth=extent[Axis.FRONT_BACK],
        breadth=extent[Axis.LEFT_RIGHT],
        height=extent[Axis.BOTTOM_TOP],
        turned=Axis(at.turned) if at.turned else None,
        lean=_lean(values, at.lean, (*path, "lean")) if at.lean else None,
    )


def _lean(values: Values, lean: LeanEntry, path: Path) -> Lean:
    return Lean(
        values.distance(lean.rise, (*path, "rise")),
        values.size(lean.run, (*path, "run")),
        values.length(lean.back, (*path, "back")),
        values.length(lean.bottom, (*path, "bottom")),
    )


def _mirrored(place: Placement, middle: Length) -> Placement:
    left = middle + middle - place.left - place.breadth
    return replace(place, left=left)


def _features(
    build: BuildFile, values: Values, name: str, entry: PartEntry, sizes: list[Length]
) -> tuple[Feature, ...]:
    own = [
        resolve_feature(build, values, name, feature_name, feature, sizes)
        for feature_name, feature in entry.features.items()
    ]
    return (*joint_features(build, values, name), *own)
