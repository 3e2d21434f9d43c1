"""Settings for one of several builds: ``box_width@hive-body``, where the others keep their own.

Imports the build file and ``model``.
"""

from __future__ import annotations

from collections.abc import Sequence

from shopstep.design.build_file import BuildFile
from shopstep.design.nearest import did_you_mean
from shopstep.design.sharing import Pairs, asks_of
from shopstep.model.naming import BUILD_MARK
from shopstep.model.plan import BuildFileError, Where
from shopstep.words import say

Names = tuple[str, ...]
"""What one build can be called by, its tag (which no other has) in front."""


def part_settings(
    files: Sequence[BuildFile], typed: Pairs, names: Sequence[Names]
) -> tuple[Pairs, tuple[Pairs, ...]]:
    """The settings for all builds, and for each build those that are for it alone.

    BuildFileError for a build that is not there, that is not told from another, that does not ask
    for the setting, or that is given it twice.
    """
    own: list[dict[str, str]] = [{} for _ in files]
    for whole, text in typed:
        if BUILD_MARK not in whole:
            continue
        name, _, build = (part.strip() for part in whole.partition(BUILD_MARK))
        number = _find_build(whole, build, names)
        asked = asks_of(files[number])
        if name not in asked:
            raise _wrong(
                whole,
                say(
                    "is no measurement or choice of {names}{did_you_mean}",
                    names=names[number][0],
                    did_you_mean=did_you_mean(name, asked),
                ),
            )
        if name in own[number]:
            raise _wrong(whole, say("is given twice for {names}", names=names[number][0]))
        own[number][name] = text
    shared = tuple(pair for pair in typed if BUILD_MARK not in pair[0])
    return shared, tuple(tuple(pairs.items()) for pairs in own)


def _find_build(whole: str, build: str, names: Sequence[Names]) -> int:
    tagged = [number for number, called in enumerate(names) if build == called[0]]
    found = tagged or [number for number, called in enumerate(names) if build in called]
    if len(found) == 1:
        return found[0]
    if found:
        tags = say(" or ").join(names[number][0] for number in found)
        raise _wrong(
            whole,
            say(
                "may be one of {found} builds; write {tags} after the @",
                found=len(found),
                tags=tags,
            ),
        )
    known = [called[0] for called in names]
    raise _wrong(
        whole,
        say("is for no build of these{did_you_mean}", did_you_mean=did_you_mean(build, known)),
    )


def _wrong(whole: str, why: str) -> BuildFileError:
    return BuildFileError(f"'{whole}' {why}", Where("--set", 0, whole))
