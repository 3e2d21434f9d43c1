"""Where no page can be heard, the machine that serves rings for the timers itself.

What the bell hears are the clocks as pages are told them. Imports the stages and the alarm's port.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Protocol

from shopstep.present.moments import TimerStage
from shopstep.workbench import Alarm

LOUD = frozenset({TimerStage.HALF, TimerStage.NEARLY, TimerStage.LATE, TimerStage.READY})
PRESSING = frozenset({TimerStage.NEARLY, TimerStage.LATE})
"""Rung for again while they last, and at once when the last page is gone."""
AGAIN_S = 20
"""Pause between two rings for the same."""
MOST = 15
"""After so many rings for the same nobody is there."""
RECENT_S = 15
"""A page that has just gone may have gone before this: what came up since is rung for here too."""
SOUNDS = {TimerStage.HALF: "half", TimerStage.LATE: "late"}
"""Which sound an alarm has; every other one the plain one."""


class Ring(Protocol):
    """Makes a sound of that name, and says in words what it is for."""

    def __call__(self, sound: str, what: str) -> None:
        """Never waits, never fails."""
        ...


class Ringer:
    """Sounds the alarm of this machine; the terminal's bell where there is none."""

    def __init__(self, alarm: Alarm | None, tell: Callable[[str, bool], None]) -> None:
        self._alarm = alarm
        self._tell = tell

    def __call__(self, sound: str, what: str) -> None:
        """The sound if the machine can, and in any case a line."""
        is_sounding = bool(sound) and self._alarm is not None and self._alarm.sound(sound)
        self._tell(what, bool(sound) and not is_sounding)


class Bell:
    """Notices what becomes urgent, and rings where no page does."""

    def __init__(self, ring: Ring) -> None:
        self._ring = ring
        self._stages: dict[str, str] | None = None
        self._news: dict[str, int] = {}
        """When each limit came to its stage (looks counted)."""
        self._rung: dict[str, tuple[int, int]] = {}
        """When it was rung for last, and how often."""
        self._was_heard = False
        self._second = 0

    def look(self, clocks: dict[str, Any], *, is_heard: bool) -> None:
        """Once a second; ``is_heard``: a page is there that can sound.

        What is over already when first seen is not rung for.
        """
        self._second += 1
        before, was_heard = self._stages, self._was_heard
        timers = clocks["timers"]
        self._stages = {_key(timer): timer["stage"] for timer in timers}
        self._was_heard = is_heard
        for key, stage in self._stages.items():
            if before is not None and before.get(key) not in (None, stage):
                self._news[key] = self._second
                self._rung.pop(key, None)
        if is_heard or before is None:
            return
        since = self._second - (RECENT_S if was_heard else 0)
        for timer in timers:
            if self._is_due(timer, since, was_heard=was_heard):
                times = self._rung.get(_key(timer), (0, 0))[1]
                self._rung[_key(timer)] = self._second, times + 1
                sound = "" if clocks["quiet"] else SOUNDS.get(timer["stage"], "due")
                self._ring(sound, f"{timer['name']}: {timer['words']}")

    def _is_due(self, timer: dict[str, Any], since: int, *, was_heard: bool) -> bool:
        key, stage = _key(timer), timer["stage"]
        if stage not in LOUD:
            return False
        if key in self._rung:
            last, times = self._rung[key]
            return stage in PRESSING and times < MOST and self._second - last >= AGAIN_S
        is_news = self._news.get(key, -1) >= since
        return is_news or (was_heard and stage in PRESSING)


def _key(timer: dict[str, Any]) -> str:
    """Clamps and cure of one joint have one name, and each its own limit."""
    return f"{timer['name']} {timer['kind']}"
