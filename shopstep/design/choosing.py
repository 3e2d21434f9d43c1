"""What a choice brings and takes away: parts, features, joints, fits and steps with ``when``.

What is not chosen is taken out of the build before anything is resolved, and out of the lists that
name it, so that the rest reads as if it had never stood there.
"""

from __future__ import annotations

from typing import Any, TypeVar

from shopstep.design.adding import without_parts
from shopstep.design.build_file import BuildFile
from shopstep.design.expression import kind_of
from shopstep.design.schema import BuildEntry, PartEntry
from shopstep.design.schema_steps import StepEntry
from shopstep.design.values import Values
from shopstep.design.yaml_source import Path
from shopstep.model.plan import BuildFileError
from shopstep.words import say

T = TypeVar("T")


def keep_chosen(build: BuildFile, values: Values) -> BuildFile:
    """The build with only what its conditions let in. Conditions may use choices and sizes."""
    entry = build.entry
    parts = _chosen(build, values, ("parts",), entry.parts)
    steps = _chosen(build, values, ("steps",), entry.steps)
    gone_parts, gone_steps = set(entry.parts) - set(parts), set(entry.steps) - set(steps)
    interfaces = _chosen(build, values, ("interfaces",), entry.interfaces)
    update: dict[str, Any] = {
        "parts": {n: _with_chosen_features(build, values, n, p) for n, p in parts.items()},
        "joints": _chosen(build, values, ("joints",), entry.joints),
        "fits": _chosen(build, values, ("fits",), entry.fits),
        "interfaces": interfaces,
        "mates": {
            name: mate
            for name, mate in _chosen(build, values, ("mates",), entry.mates).items()
            if mate.mine in interfaces or mate.mine not in entry.interfaces
        },
        "steps": {n: _without(step, gone_parts, gone_steps) for n, step in steps.items()},
    }
    chosen: BuildEntry = entry.model_copy(update=update)
    return BuildFile(build.source, chosen)


def _chosen(build: BuildFile, values: Values, path: Path, entries: dict[str, T]) -> dict[str, T]:
    return {
        name: entry
        for name, entry in entries.items()
        if _is_in(build, values, (*path, name), entry)
    }


def _is_in(build: BuildFile, values: Values, path: Path, entry: Any) -> bool:
    if entry.when is None:
        return True
    value = values.work_out(entry.when, (*path, "when"))
    if not isinstance(value, bool):
        raise BuildFileError(
            say(
                "'when' must be a condition, such as 'front is short', and is {kind_of}",
                kind_of=kind_of(value),
            ),
            build.source.where((*path, "when"), str(path[-1])),
        )
    return value


def _with_chosen_features(
    build: BuildFile, values: Values, name: str, part: PartEntry
) -> PartEntry:
    features = _chosen(build, values, ("parts", name, "features"), part.features)
    return part.model_copy(update={"features": features})


def _without(step: StepEntry, gone_parts: set[str], gone_steps: set[str]) -> StepEntry:
    """The step without what it names of parts and steps that are not chosen."""
    needs = None if step.needs is None else [n for n in step.needs if n not in gone_steps]
    return step.model_copy(
        update={
            "parts": [part for part in step.parts if part not in gone_parts],
            "adds": without_parts(step.adds, gone_parts),
            "needs": needs,
            "needs_also": [n for n in step.needs_also if n not in gone_steps],
            "after": [after for after in step.after if after.step not in gone_steps],
            "takes": [take for take in step.takes if take.until not in gone_steps],
        }
    )
