"""Builds handed from keeper to keeper: packed into one file, looked over, put on the shelf."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from shopstep.model.plan import BuildFileError, BuildText, Where
from shopstep.paper.measurement_sheet import sheet_lines
from shopstep.storage.folders import own_builds_folder
from shopstep.storage.landing import land
from shopstep.storage.package_file import Package, read_package, write_package
from shopstep.wiring.desks import open_desk
from shopstep.wiring.problems import ExitCode, Problem, plain_problems
from shopstep.words import say

if TYPE_CHECKING:
    from shopstep.desk import Wish
    from shopstep.model.plan import BuildSummary, Plan


@dataclass(frozen=True, slots=True)
class Landed:
    """A package that is on the shelf now."""

    name: str
    """Under which the shelf knows it."""
    file: Path
    package: Package
    found: BuildSummary


def pack_build(wish: Wish, target: Path, note: str, *, measured: bool) -> Package:
    """Write a build with its parents and what to measure. Problem where it cannot be.

    With ``measured`` the sender's own numbers go along, so that the other keeper can see what
    differs.
    """
    desk = open_desk()
    with plain_problems():
        request = desk.request(wish, 0)
        asks = desk.asking(wish).asks
        texts = _with_plain_names((request.build, *request.parents))
        package = Package(
            texts[0].name,
            texts,
            request.settings if measured else (),
            note,
            "\n".join(sheet_lines(asks)) + "\n",
        )
        _check(package, target)
        try:
            write_package(target, package)
        except FileExistsError:
            text = say(
                "{target} is there already and stays as it is; name another with --to",
                target=target,
            )
            raise Problem(text, ExitCode.FILES) from None
    return package


def _with_plain_names(texts: tuple[BuildText, ...]) -> tuple[BuildText, ...]:
    """File names without their folders; a package knows no folders."""
    return tuple(replace(text, name=Path(text.name).name) for text in texts)


def look_into(path: Path) -> Package:
    """The package in a file, checked; Problem for whatever is not as it should be."""
    with plain_problems():
        package = read_package(path)
        _check(package, path)
    return package


def _check(package: Package, path: Path) -> None:
    """BuildFileError where the build has errors, or a parent of it is not in the package."""
    from shopstep import planner

    texts = {Path(text.name).stem: text for text in package.texts}
    chain = [package.texts[0]]
    while (parent := planner.parent_of(chain[-1])) is not None:
        text = texts.get(Path(parent).stem) if Path(parent).name == parent else None
        if text is None or text in chain:
            what = say("which goes round in a circle") if text else say("which is not beside it")
            raise BuildFileError(
                say(
                    "'{chain_name}' in {path} is made from '{parent}', {what}",
                    chain_name=chain[-1].name,
                    path=path,
                    parent=parent,
                    what=what,
                ),
                Where(str(path), 0, parent),
            )
        chain.append(text)
    planner.describe_build(chain[0], tuple(chain[1:]), str(path))


def unpack_build(path: Path, name: str | None) -> Landed:
    """Check a package and put it on the shelf. Problem where anything is wrong with it."""
    from shopstep import planner

    package = look_into(path)
    called = name or Path(package.build).stem
    if not planner.can_be_id(called):
        raise Problem(
            say(
                "'{called}' cannot be a name on the shelf; give one with --as, for example "
                "my-floor",
                called=called,
            ),
            ExitCode.USAGE,
        )
    with plain_problems():
        _refuse_hiding(called)
        try:
            file = land(package, own_builds_folder(), called)
        except FileExistsError:
            text = say(
                "'{called}' is on your shelf already, and is another one; give this one a name of "
                "its own with --as",
                called=called,
            )
            raise Problem(text, ExitCode.FILES) from None
        found = next(entry for entry in open_desk().builds() if entry.place == str(file))
    return Landed(called, file, package, found)


def _refuse_hiding(called: str) -> None:
    """A build that ships, or that the keeper has as a file of its own, is not put out of sight."""
    own = own_builds_folder() / called
    for entry in open_desk().builds():
        file = Path(entry.place)
        if file.stem == called and file.parent != own:
            text = say(
                "'{called}' is on your shelf already ({file}), and this one would stand in its "
                "place; give it a name of its own with --as",
                called=called,
                file=file,
            )
            raise Problem(text, ExitCode.FILES)


def plans_of_both(path: Path, wish: Wish, begin_s: int) -> tuple[Plan, Plan]:
    """The package's build at the sender's measurements, and at the receiver's own."""
    package = look_into(path)
    if not package.measured:
        text = say(
            "{path} holds no measurements of its sender: there is nothing to compare with",
            path=path,
        )
        raise Problem(text, ExitCode.REFUSED)
    desk = open_desk()
    theirs = replace(wish, settings=package.measured)
    with plain_problems():
        return desk.plan(theirs, begin_s), desk.plan(wish, begin_s)
