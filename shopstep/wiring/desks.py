"""The desk on this machine's shelf and settings, and what goes with it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from shopstep.storage.answers import AnswerFolder
from shopstep.storage.folders import (
    cache_folder,
    data_folder,
    measurements_file,
    own_builds_folder,
    rack_file,
    sessions_folder,
    settings_file,
    shipped_folder,
    tablet_folder,
    voice_model_file,
    voice_words_file,
)
from shopstep.wiring.late_planner import RememberingPlanner
from shopstep.wiring.problems import ExitCode, Problem, plain_problems
from shopstep.words import say

if TYPE_CHECKING:
    from shopstep.desk import Desk
    from shopstep.model.estimate import TimeFactor
    from shopstep.model.plan import BuildSummary, BuildText


def _parent_of(build: BuildText) -> str | None:
    """The id of a build's parent. Most have none, and then nothing has to be read for it."""
    if "parent" not in build.text and "\\" not in build.text:
        return None
    from shopstep import planner

    return planner.parent_of(build)


def _describe(build: BuildText, parents: tuple[BuildText, ...], place: str) -> BuildSummary:
    from shopstep import planner

    return planner.describe_build(build, parents, place)


class LatePast:
    """Past sessions, read with the first question."""

    def times(self) -> tuple[TimeFactor, ...]:
        """See ``pasts.PastWork.times``."""
        from shopstep.wiring.pasts import PastWork

        return PastWork().times()

    def to_get(self) -> tuple[str, ...]:
        """See ``pasts.PastWork.to_get``."""
        from shopstep.wiring.pasts import PastWork

        return PastWork().to_get()


def open_desk() -> Desk:
    """The desk on this machine's shelf and settings."""
    from shopstep.desk import Desk
    from shopstep.storage.clock import find_zone_name
    from shopstep.storage.measurements import MeasurementFile
    from shopstep.storage.rack_file import RackFile
    from shopstep.storage.settings import FileProfiles
    from shopstep.storage.shelf import FolderShelf

    folders = (own_builds_folder(), shipped_folder("builds"))
    shelf = FolderShelf(folders, _parent_of, _describe)
    return Desk(
        shelf,
        FileProfiles(settings_file(), find_zone_name()),
        RackFile(rack_file()),
        RememberingPlanner(AnswerFolder(cache_folder() / "checks")),
        MeasurementFile(measurements_file()),
        LatePast(),
    )


def build_schema() -> dict[str, object]:
    """The JSON Schema of a build file."""
    from shopstep import planner

    return planner.build_schema()


def write_new_build(name: str, file: Path | None) -> Path:
    """A small working build under a name, where none is yet. Problem where it cannot be."""
    from shopstep import planner
    from shopstep.storage.new_build import write_build

    if not planner.can_be_id(name):
        raise Problem(
            say(
                "'{name}' cannot be the id of a build; use up to 60 small letters, digits and"
                " hyphens, a letter first, for example herb-box",
                name=name,
            ),
            ExitCode.USAGE,
        )
    target = file or Path(f"{name}.yaml")
    if target.suffix not in (".yaml", ".yml"):
        raise Problem(
            say("{target} is no build file by its name; end it in .yaml", target=target),
            ExitCode.USAGE,
        )
    with plain_problems():
        try:
            write_build(shipped_folder("assets"), name, target)
        except FileExistsError:
            raise Problem(
                say(
                    "{target} is there already and stays as it is; name another with --to",
                    target=target,
                ),
                ExitCode.FILES,
            ) from None
    return target


def places() -> tuple[tuple[str, str], ...]:
    """Where this program keeps and looks for files, each with its name."""
    return (
        ("settings", str(settings_file())),
        ("sessions", str(sessions_folder())),
        ("measurements", str(measurements_file())),
        ("rack", str(rack_file())),
        (say("own builds"), str(own_builds_folder())),
        (say("paired tablets"), str(tablet_folder())),
        (say("own phrases"), str(voice_words_file())),
        (say("own voice"), str(voice_model_file())),
        (say("shipped builds"), str(shipped_folder("builds"))),
        ("data", str(data_folder())),
        ("cache", str(cache_folder())),
    )
