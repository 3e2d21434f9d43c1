"""Where no page is in sight, the machine that serves rings for the timers itself.

Pure: what it hears are the clocks as pages are told them.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from shopstep.present.moments import TimerStage

LOUD = frozenset({TimerStage.HALF, TimerStage.NEARLY, TimerStage.LATE, TimerStage.READY})
PRESSING = frozenset({TimerStage.NEARLY, TimerStage.LATE})
"""Told at once when the last page goes out of sight."""


class Bell:
    """Notices what becomes urgent, and rings where nobody watches."""

    def __init__(self, ring: Callable[[str], None]) -> None:
        self._ring = ring
        self._stages: dict[str, str] | None = None
        self._was_watched = False

    def look(self, timers: list[dict[str, Any]], *, is_watched: bool) -> None:
        """Compare with the last look; what is over already when first seen is not rung for."""
        before, was_watched = self._stages, self._was_watched
        self._stages = {_key(timer): timer["stage"] for timer in timers}
        self._was_watched = is_watched
        if is_watched or before is None:
            return
        for timer in timers:
            stage = timer["stage"]
            is_news = before.get(_key(timer)) not in (None, stage)
            if (is_news and stage in LOUD) or (was_watched and stage in PRESSING):
                self._ring(f"{timer['name']}: {timer['words']}")


def _key(timer: dict[str, Any]) -> str:
    """Clamps and cure of one joint have one name, and each its own limit."""
    return f"{timer['name']} {timer['kind']}"
