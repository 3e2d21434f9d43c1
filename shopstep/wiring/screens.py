"""What the screens are given besides the session: settings, alarm, pictures, and the rack."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from shopstep.storage.folders import settings_file, shipped_folder
from shopstep.storage.screen_settings import ScreenSettings, read_screen_settings
from shopstep.storage.sound import FILES, SoundAlarm
from shopstep.wiring.picturing import ChildPictures
from shopstep.wiring.problems import ExitCode, Problem, plain_problems
from shopstep.workbench import Alarm

if TYPE_CHECKING:
    from shopstep.model.rack import KeptPiece


def screen_settings() -> ScreenSettings:
    """The screen's part of the settings file. Problem with one sentence where it is wrong."""
    with plain_problems():
        return read_screen_settings(settings_file())


def keys_problem(problem: ValueError) -> Problem:
    """What is wrong with ``[keys]``, and in which file."""
    return Problem(f"{settings_file()}: {problem}", ExitCode.USAGE)


def make_alarm() -> Alarm:
    """The alarm of this machine."""
    return SoundAlarm(shipped_folder("assets"))


def alarm_files() -> dict[str, bytes]:
    """The sounds of the alarms by name, as WAV files; what cannot be read is left out."""
    found = {name: shipped_folder("assets") / file for name, file in FILES.items()}
    return {name: path.read_bytes() for name, path in found.items() if path.is_file()}


def make_pictures() -> ChildPictures:
    """Draws steps beside the screen."""
    return ChildPictures()


def put_offcut(display: str) -> Callable[[KeptPiece], str]:
    """Puts a piece on the keeper's rack and says its number; Problem where it could not be."""

    def put(piece: KeptPiece) -> str:
        from dataclasses import replace

        from shopstep.present.rack_text import put_words
        from shopstep.wiring.rack_desk import RackDesk

        (number,) = RackDesk().add([piece])
        return put_words(replace(piece, id=number), display)

    return put
