"""Several builds for one keeper: the same measurements and choices where they ask for the same.

What was given comes first; what was not is taken from the first build that asks for it, so that
two builds with different usual values are still worked out for one thing.
"""

from __future__ import annotations

from collections.abc import Sequence

from shopstep.design.build_file import BuildFile
from shopstep.design.inputs import define_inputs
from shopstep.design.nearest import did_you_mean
from shopstep.design.values import Values
from shopstep.model.plan import BuildFileError, Where
from shopstep.units import write_exact
from shopstep.words import say

Pairs = tuple[tuple[str, str], ...]


def sort_settings(files: Sequence[BuildFile], typed: Pairs) -> tuple[Pairs, ...]:
    """For each build the typed settings that it asks for.

    BuildFileError for a name that no build asks for, with the nearest.
    """
    asked = {name for file in files for name in asks_of(file)}
    for name, _ in typed:
        if name not in asked:
            raise BuildFileError(
                say(
                    "'{name}' is no measurement or choice of these builds{did_you_mean}",
                    name=name,
                    did_you_mean=did_you_mean(name, asked),
                ),
                Where("--set", 0, name),
            )
    return tuple(tuple(pair for pair in typed if pair[0] in asks_of(file)) for file in files)


def share_settings(files: Sequence[BuildFile], given: Sequence[Pairs]) -> tuple[Pairs, ...]:
    """For each build what it was given, and what the builds before it were worked out for.

    What a build would take for itself is not given to it: a usual value stays one.
    """
    known: dict[str, str] = {}
    out: list[Pairs] = []
    for file, pairs in zip(files, given, strict=True):
        own = _used(file, pairs)
        shared = {
            name: text
            for name, text in known.items()
            if name not in dict(pairs) and own.get(name) != text and _takes(file, name, text)
        }
        out.append((*pairs, *shared.items()))
        known = own | known
    return tuple(out)


def asks_of(file: BuildFile) -> set[str]:
    """Names of all measurements and choices of a build."""
    return set(file.entry.measurements) | set(file.entry.choices)


def _takes(file: BuildFile, name: str, text: str) -> bool:
    choice = file.entry.choices.get(name)
    return name in file.entry.measurements if choice is None else text in choice.options


def _used(file: BuildFile, pairs: Pairs) -> dict[str, str]:
    inputs = define_inputs(file, Values(file.source), pairs, file.entry.show.display)
    lengths = {item.name: write_exact(item.value) for item in inputs.measured}
    return lengths | dict(inputs.choices)
