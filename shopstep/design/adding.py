"""What an authored step puts in its place: names checked against the parts. Imports ``model``."""

from __future__ import annotations

from shopstep.design.build_file import BuildFile
from shopstep.design.nearest import did_you_mean
from shopstep.design.schema_steps import AddEntry
from shopstep.model.plan import BuildFileError
from shopstep.model.step import Added
from shopstep.words import say


def resolve_add(build: BuildFile, step: str, entry: str | AddEntry) -> Added:
    """One movement of a step; BuildFileError for a part or a hand that is not there."""
    if isinstance(entry, str):
        _check_piece(build, step, entry)
        return Added((entry,))
    for name in entry.parts:
        _check_piece(build, step, name)
    return Added(tuple(entry.parts), True, entry.comes_from or "", entry.apart)


def part_of(piece: str) -> str:
    """The name of the part in ``left side_rail``."""
    return piece.rpartition(" ")[2]


def without_parts(adds: list[str | AddEntry], gone: set[str]) -> list[str | AddEntry]:
    """The movements without parts that are not chosen."""
    kept: list[str | AddEntry] = []
    for entry in adds:
        if isinstance(entry, str):
            kept += [] if part_of(entry) in gone else [entry]
            continue
        parts = [name for name in entry.parts if part_of(name) not in gone]
        kept += [entry.model_copy(update={"parts": parts})] if parts else []
    return kept


def _check_piece(build: BuildFile, step: str, piece: str) -> None:
    name = part_of(piece)
    where = build.source.where(("steps", step, "adds"), step)
    if name not in build.entry.parts:
        raise BuildFileError(
            say(
                "step '{step}' adds a part '{name}' that is not there{did_you_mean}",
                step=step,
                name=name,
                did_you_mean=did_you_mean(name, build.entry.parts),
            ),
            where,
        )
    if name != piece and build.entry.parts[name].hands is None:
        raise BuildFileError(
            say(
                "step '{step}' adds '{piece}', but '{name}' is not handed; write '{name}'",
                step=step,
                piece=piece,
                name=name,
            ),
            where,
        )
