"""Wood left on a part beyond its finished size, and a width that does not matter."""

from __future__ import annotations

from shopstep.design.build_file import BuildFile
from shopstep.design.schema import PartEntry, RangeEntry
from shopstep.design.values import Values
from shopstep.design.yaml_source import Path
from shopstep.model.feature import Face, Feature
from shopstep.model.part import Allowance, Axis, Free
from shopstep.model.plan import BuildFileError
from shopstep.units import Length, format_length, write_exact
from shopstep.words import say

_ACROSS = {
    Face.FRONT: Axis.FRONT_BACK,
    Face.BACK: Axis.FRONT_BACK,
    Face.BOTTOM: Axis.BOTTOM_TOP,
    Face.TOP: Axis.BOTTOM_TOP,
}
_CENTRED = ("holes", "notch", "recess")
"""Features that stand in the middle of the length: wood on one end would move them."""
_NO_ALLOWANCE = ("bevel", "fingers")


def resolve_allowances(
    build: BuildFile,
    values: Values,
    name: str,
    entry: PartEntry,
    runs: tuple[Axis, Axis, Axis],
    features: tuple[Feature, ...],
) -> tuple[Allowance, ...]:
    """The allowances of a part; BuildFileError where a feature could not keep its place."""
    found: list[Allowance] = []
    for number, said in enumerate(entry.allowances):
        path: Path = ("parts", name, "allowances", number)
        face = Face(said.face)
        _refuse_place(build, path, name, face, runs, features)
        found.append(Allowance(face, values.size(said.extra, (*path, "extra")), said.why))
    return tuple(found)


def _refuse_place(
    build: BuildFile,
    path: Path,
    name: str,
    face: Face,
    runs: tuple[Axis, Axis, Axis],
    features: tuple[Feature, ...],
) -> None:
    axis = _ACROSS.get(face, Axis.LEFT_RIGHT)
    where = build.source.where((*path, "face"), name)
    if axis is runs[2]:
        raise BuildFileError(
            say(
                "part '{name}': nothing can be left on its {face} face, that is its thickness; name"
                " an edge or an end",
                name=name,
                face=face,
            ),
            where,
        )
    stuck = [
        feature.name
        for feature in features
        if feature.kind in _NO_ALLOWANCE or (axis is runs[0] and feature.kind in _CENTRED)
    ]
    if stuck:
        raise BuildFileError(
            say(
                "part '{name}': with wood left on at the {face}, '{stuck}' would not come out in"
                " its place; leave the wood on another part",
                name=name,
                face=face,
                stuck=stuck[0],
            ),
            where,
        )


def width_text(entry: PartEntry, chosen: Length | None) -> str:
    """The expression of a part's width: of a free one the chosen width, or the usual."""
    if not isinstance(entry.width, RangeEntry):
        return entry.width
    return write_exact(chosen) if chosen is not None else entry.width.usual


def resolve_free(
    build: BuildFile, values: Values, name: str, entry: PartEntry, width: Length
) -> Free | None:
    """The range of a free width; BuildFileError where the width lies outside of it."""
    said = entry.width
    if not isinstance(said, RangeEntry):
        return None
    path = ("parts", name, "width")
    least, usual, most = (
        values.size(getattr(said, end), (*path, end)) for end in ("least", "usual", "most")
    )
    if not least <= usual <= most or not least <= width <= most:
        shown = [format_length(end, build.entry.show.display) for end in (least, usual, most)]
        raise BuildFileError(
            say(
                "part '{name}': a width of {shown} does not lie from {shown_2} to {shown_3};"
                " give least, usual and most in this order",
                name=name,
                shown=shown[1],
                shown_2=shown[0],
                shown_3=shown[2],
            ),
            build.source.where(path, name),
        )
    return Free(least, most)
