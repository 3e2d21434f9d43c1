"""The build shelf: files, the keeper's own builds, the builds that ship. Reads text only.

A build that came in a package stands in a folder of its own name, with the parents that it was
made with: ``my-floor/my-floor.yaml``.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from shopstep.model.plan import BuildFileError, BuildSummary, BuildText, Where
from shopstep.storage.text_file import read_text
from shopstep.words import say

SUFFIXES = (".yaml", ".yml")
MOST_PARENTS = 8
Describe = Callable[[BuildText, tuple[BuildText, ...], str], BuildSummary]
ParentOf = Callable[[BuildText], str | None]


class FolderShelf:
    """Builds in folders, the first folder first.

    ``parent_of`` and ``describe`` read a build's text for the shelf; they come from wiring,
    because this room reads files and not builds.
    """

    def __init__(self, folders: tuple[Path, ...], parent_of: ParentOf, describe: Describe) -> None:
        self._folders = folders
        self._parent_of = parent_of
        self._describe = describe

    def entries(self) -> tuple[BuildSummary, ...]:
        """All builds on the shelf by name; a name in an earlier folder hides a later one."""
        found: dict[str, Path] = {}
        for folder in self._folders:
            for path in _builds_in(folder):
                found.setdefault(path.stem, path)
        return tuple(self._entry(path) for _, path in sorted(found.items()))

    def _entry(self, path: Path) -> BuildSummary:
        try:
            build, parents = self._with_parents(path)
            return self._describe(build, parents, str(path))
        except BuildFileError as problem:
            said = say("line {line}: {problem}", line=problem.where.line, problem=problem.text)
            return BuildSummary(path.stem, path.stem, "", 0, str(path), (), said)

    def find(self, build: str) -> tuple[BuildText, tuple[BuildText, ...]]:
        """A build by file name or shelf name, with its parents; BuildFileError."""
        return self._with_parents(self._locate(build, None))

    def _locate(self, build: str, beside: Path | None) -> Path:
        typed = Path(build)
        if typed.suffix in SUFFIXES or typed.exists() or "/" in build or "\\" in build:
            return typed
        folders = ((beside,) if beside else ()) + self._folders
        for folder in folders:
            for path in (folder / build, folder / build / build):
                for suffix in SUFFIXES:
                    if (file := path.with_name(f"{build}{suffix}")).is_file():
                        return file
        raise self._unknown(build)

    def _unknown(self, build: str) -> BuildFileError:
        import difflib

        names = sorted({path.stem for folder in self._folders for path in _builds_in(folder)})
        here = [file for suffix in SUFFIXES if Path(file := f"{build}{suffix}").is_file()]
        if not here:  # an ending that was cut short, as in own.yam
            files = [file.name for file in _builds_in(Path())]
            here = difflib.get_close_matches(build, files, n=1, cutoff=0.75)
        near = here or difflib.get_close_matches(build, names, n=1, cutoff=0.5)
        tail = (
            say("; did you mean '{near}'?", near=near[0])
            if near
            else say("; on the shelf: {names}", names=", ".join(names))
        )
        return BuildFileError(
            say(
                "there is no build '{build}' on the shelf, and no file of just that name{tail}",
                build=build,
                tail=tail,
            ),
            Where("", 0, build),
        )

    def _with_parents(self, path: Path) -> tuple[BuildText, tuple[BuildText, ...]]:
        build = BuildText(str(path), read_text(path, f"build file '{path}'"))
        parents: list[BuildText] = []
        here, folder = build, path.parent
        while (parent := self._parent_of(here)) is not None:
            place = self._locate(parent, folder)
            if len(parents) >= MOST_PARENTS or place.name in (Path(p.name).name for p in parents):
                raise BuildFileError(
                    say(
                        "the parents of '{path}' go round in a circle at '{parent}'",
                        path=path,
                        parent=parent,
                    ),
                    Where(here.name, 0, parent),
                )
            here, folder = (
                BuildText(str(place), read_text(place, f"parent '{place}'")),
                place.parent,
            )
            parents.append(here)
        return build, tuple(parents)


def _builds_in(folder: Path) -> list[Path]:
    """Build files of a folder, and those that stand in a folder of their own name."""
    if not folder.is_dir():
        return []
    loose = [path for path in folder.glob("*") if path.suffix in SUFFIXES]
    packed = [p for p in folder.glob("*/*") if p.suffix in SUFFIXES and p.stem == p.parent.name]
    return [*sorted(loose), *sorted(packed)]
