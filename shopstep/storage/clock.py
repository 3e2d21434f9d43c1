"""The clock: moments from this machine, and moments from a test.

Reads the time, the zone's name and the boot id; imports only the session's ``Moment``.
"""

from __future__ import annotations

import os
import time
import uuid
from collections.abc import Mapping
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from shopstep.session.events import Moment

_BOOT_ID = Path("/proc/sys/kernel/random/boot_id")
_PROCESS_ID = uuid.uuid4().hex
"""Stands in for the boot id where the system tells none."""


def is_zone_name(name: str) -> bool:
    """Whether this machine knows a time zone of that IANA name."""
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True


def find_zone_name(environment: Mapping[str, str] = os.environ, etc: Path = Path("/etc")) -> str:
    """The IANA name of the local time zone; ``UTC`` where none can be found.

    Looked for in ``TZ``, then the target of ``localtime``, then ``timezone`` (both in ``etc``).
    """
    for name in (
        environment.get("TZ", "").removeprefix(":"),
        _zone_of_link(etc / "localtime"),
        _first_line(etc / "timezone"),
    ):
        if name and is_zone_name(name):
            return name
    return "UTC"


def _zone_of_link(link: Path) -> str:
    try:
        target = os.readlink(link)
    except OSError:
        return ""
    _, found, name = target.partition("/zoneinfo/")
    return name.removeprefix("posix/").removeprefix("right/") if found else ""


def _first_line(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8").partition("\n")[0].strip()
    except (OSError, UnicodeDecodeError):
        return ""


def read_boot_id(path: Path = _BOOT_ID) -> str:
    """An id that changes with each start of the machine, else with each start of the program."""
    return _first_line(path) or _PROCESS_ID


_STEADY_MARK = "+sleep" if hasattr(time, "CLOCK_BOOTTIME") else ""
"""Told with the boot id, so that two kinds of steady clock are never compared."""


def steady_ns() -> int:
    """Time that only goes on, through the machine's sleep as well where the system tells it."""
    if hasattr(time, "CLOCK_BOOTTIME"):
        return time.clock_gettime_ns(time.CLOCK_BOOTTIME)
    return time.monotonic_ns()


class SystemClock:
    """The machine's clock. Satisfies the workbench's ``Clock``."""

    def __init__(self, zone_name: str | None = None) -> None:
        self._zone = zone_name if zone_name is not None else find_zone_name()
        self._boot_id = read_boot_id() + _STEADY_MARK

    def now(self) -> Moment:
        """This moment, with the local zone, the boot id and the monotonic time."""
        return Moment(int(time.time()), self._zone, self._boot_id, steady_ns())


class FixedClock:
    """A clock that stands where it is put: for tests and for a plan's own moment."""

    def __init__(self, at_s: int, zone: str = "UTC") -> None:
        self.at_s = at_s
        """Seconds since 1970 UTC; set it to move the clock."""
        self._zone = zone

    def now(self) -> Moment:
        """The moment at which the clock stands."""
        return Moment(self.at_s, self._zone, "fixed", self.at_s * 1_000_000_000)
