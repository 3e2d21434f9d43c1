"""What a build offers to other builds and asks of them, with its sizes worked out."""

from __future__ import annotations

from shopstep.design.build_file import BuildFile
from shopstep.design.nearest import did_you_mean
from shopstep.design.schema_interfaces import CompareEntry, MateEntry
from shopstep.design.values import Values
from shopstep.design.yaml_source import Path
from shopstep.model.interface import Comparison, Interface, Mate
from shopstep.model.plan import BuildFileError
from shopstep.words import say


def resolve_interfaces(build: BuildFile, values: Values) -> tuple[Interface, ...]:
    """All interfaces with their sizes."""
    return tuple(
        Interface(
            name=name,
            role=entry.role,
            text=entry.text,
            sizes=tuple(
                (size, values.distance(text, ("interfaces", name, "sizes", size)))
                for size, text in entry.sizes.items()
            ),
            where=build.source.where(("interfaces", name), name),
        )
        for name, entry in build.entry.interfaces.items()
    )


def resolve_mates(build: BuildFile, values: Values) -> tuple[Mate, ...]:
    """All rules for other builds; BuildFileError where one names what is not there."""
    return tuple(_mate(build, values, name, entry) for name, entry in build.entry.mates.items())


def _mate(build: BuildFile, values: Values, name: str, entry: MateEntry) -> Mate:
    path: Path = ("mates", name)
    mine = build.entry.interfaces.get(entry.mine)
    if mine is None:
        raise BuildFileError(
            say(
                "mate '{name}' says 'mine: {mine}', and this build has no such interface"
                "{did_you_mean}",
                name=name,
                mine=entry.mine,
                did_you_mean=did_you_mean(entry.mine, build.entry.interfaces),
            ),
            build.source.where((*path, "mine"), name),
        )
    for size in entry.compare:
        if size not in mine.sizes:
            raise BuildFileError(
                say(
                    "mate '{name}' compares '{size}', and interface '{mine}' gives no such size"
                    "{did_you_mean}",
                    name=name,
                    size=size,
                    mine=entry.mine,
                    did_you_mean=did_you_mean(size, mine.sizes),
                ),
                build.source.where((*path, "compare", size), name),
            )
    return Mate(
        name=name,
        mine=entry.mine,
        theirs=entry.theirs,
        level=entry.level,
        text=entry.text,
        source=entry.source,
        compare=tuple(
            _comparison(build, values, size, each, (*path, "compare", size))
            for size, each in entry.compare.items()
        ),
        where=build.source.where(path, name),
    )


def _comparison(
    build: BuildFile, values: Values, size: str, entry: CompareEntry, path: Path
) -> Comparison:
    least = values.length(entry.least, (*path, "least")) if entry.least else None
    most = values.length(entry.most, (*path, "most")) if entry.most else None
    if least is None and most is None:
        raise BuildFileError(
            say("mate '{path}' needs 'least' or 'most' for '{size}'", path=path[1], size=size),
            build.source.where(path, str(path[1])),
        )
    if least is not None and most is not None and least > most:
        raise BuildFileError(
            say(
                "mate '{path}': 'least' is more than 'most' for '{size}'; change them round",
                path=path[1],
                size=size,
            ),
            build.source.where(path, str(path[1])),
        )
    return Comparison(size, least, most)
