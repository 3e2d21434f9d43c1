"""Where a step's fasteners go in, what it paints and what it takes off. Imports ``model``."""

from __future__ import annotations

from shopstep.design.adding import part_of
from shopstep.design.build_file import BuildFile
from shopstep.design.nearest import did_you_mean
from shopstep.design.schema_steps import FastenerEntry, RowEntry, SpreadEntry, StepEntry
from shopstep.design.values import Values
from shopstep.design.words import fill_words
from shopstep.design.yaml_source import Path
from shopstep.model.feature import CutLine, FaceOf
from shopstep.model.joint import FastenerRow, Spots
from shopstep.model.plan import BuildFileError
from shopstep.model.step import Fastener
from shopstep.units import ZERO, Angle
from shopstep.words import say


def resolve_fastener(
    build: BuildFile, values: Values, entry: FastenerEntry, path: Path
) -> Fastener:
    """The fasteners of one entry; rows of parts that are not chosen are left out."""
    rows = []
    for n, row in enumerate(entry.rows):
        at: Path = (*path, "rows", n)
        named = [part_of(row.through), *([row.into] if row.into else [])]
        if _are_there(build, at, [part_of(name) for name in named]):
            rows.append(_row(build, values, row, at))
    return Fastener(
        kind=entry.kind,
        title=fill_words(values, entry.title, (*path, "title"), "in"),
        count=values.count(entry.count, (*path, "count")),
        pilot=values.size(entry.pilot, (*path, "pilot")) if entry.pilot else None,
        clearance=values.size(entry.clearance, (*path, "clearance")) if entry.clearance else None,
        rows=tuple(rows),
    )


def _are_there(build: BuildFile, path: Path, names: list[str]) -> bool:
    """Whether the parts are chosen; BuildFileError where the file does not have them at all."""
    for name in names:
        if name not in build.all_parts:
            raise BuildFileError(
                say(
                    "step '{path}' fastens a part '{name}' that is not there{did_you_mean}",
                    path=path[1],
                    name=name,
                    did_you_mean=did_you_mean(name, build.all_parts),
                ),
                build.source.where(path, str(path[1])),
            )
    return all(name in build.entry.parts for name in names)


def _row(build: BuildFile, values: Values, row: RowEntry, path: Path) -> FastenerRow:
    if row.into is None and row.face is None:
        raise BuildFileError(
            say(
                "step '{path}' does not say where fasteners through '{through}' go in; give"
                " the row 'into', or the 'face' that the heads lie on",
                path=path[1],
                through=row.through,
            ),
            build.source.where(path, str(path[1])),
        )
    if (row.tilt is None) is not (row.towards is None):
        raise BuildFileError(
            say("step '{path}' needs both 'tilt' and 'towards' in a row, or neither", path=path[1]),
            build.source.where(path, str(path[1])),
        )
    spots: list[Spots] = []
    for face, value in row.at.items():
        at = (*path, "at", face)
        if isinstance(value, SpreadEntry):
            spots.append(_spread(values, face, value, at))
        else:
            texts = value if isinstance(value, list) else [value]
            spots += [Spots(face, values.distance(text, at)) for text in texts]
    return FastenerRow(
        row.through,
        row.into or "",
        row.face or "",
        tuple(spots),
        row.straight or "",
        _angle(build, values, row, path),
        row.towards or "",
        build.source.line(path),
    )


def _spread(values: Values, face: str, entry: SpreadEntry, path: Path) -> Spots:
    first = values.distance(entry.first, (*path, "first"))
    return Spots(
        face,
        first,
        values.count(entry.count, (*path, "count")),
        values.size(entry.gap, (*path, "gap")) if entry.gap else ZERO,
        values.distance(entry.last, (*path, "last")) if entry.last else first,
    )


def _angle(build: BuildFile, values: Values, row: RowEntry, path: Path) -> Angle:
    if row.tilt is None:
        return Angle(0)
    value = values.number(row.tilt, (*path, "tilt"))
    if isinstance(value, Angle) and 0 <= value.microdeg <= 60_000_000:
        return value
    raise BuildFileError(
        say(
            "step '{path}' tilts a fastener by '{tilt}'; give an angle from 0° to 60°",
            path=path[1],
            tilt=row.tilt,
        ),
        build.source.where((*path, "tilt"), str(path[1])),
    )


def resolve_coats(build: BuildFile, step: str, entry: StepEntry) -> tuple[FaceOf, ...]:
    """The faces that a step paints, of parts that are chosen."""
    path: Path = ("steps", step, "coats")
    pairs = [text.split() for text in entry.coats]
    return tuple(FaceOf(part, face) for part, face in pairs if _are_there(build, path, [part]))


def resolve_cuts(
    build: BuildFile, values: Values, step: str, entry: StepEntry
) -> tuple[CutLine, ...]:
    """What a step takes off parts that are chosen."""
    path: Path = ("steps", step, "cuts")
    return tuple(
        CutLine(cut.part, cut.face, values.distance(cut.deep, (*path, n, "deep")), cut.line)
        for n, cut in enumerate(entry.cuts)
        if _are_there(build, (*path, n), [cut.part])
    )
