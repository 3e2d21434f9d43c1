"""The shop around a session: its hours and clamps, as the session was planned with them.

Hours and other sessions are looked at for commands only, and imported with the first one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from shopstep.model.plan import Shop
from shopstep.model.resources import ClampSet
from shopstep.model.stock import RackPiece
from shopstep.session.around import NOBODY_SAYS, Around, clamps_on


class ShopAround:
    """Hours and clamps of one shop, and its rack. Nobody reads a thermometer for it."""

    def __init__(
        self,
        shop: Shop,
        labels: tuple[tuple[str, str], ...] = (),
        file: Path | None = None,
        rack: Callable[[], tuple[RackPiece, ...] | None] = lambda: None,
    ) -> None:
        self._shop = shop
        self._rack = rack
        """What lies on the rack for this session; None where it has none or cannot be read."""
        self._file = file
        """The session's own file, beside which others lie; None: there are no others."""
        told = (name.rpartition(".") for name, _ in labels)
        self._labels = frozenset(supply for supply, _, what in told if what == "open")

    def look(self, now_s: int) -> Around:
        """Closing time of the day, where the shop is open that day, and the clamps."""
        from datetime import UTC, datetime
        from zoneinfo import ZoneInfo

        from shopstep.sequence.hours import check_calendar
        from shopstep.sequence.openings import is_open_on, opening_on

        calendar = self._shop.calendar
        if check_calendar(calendar):
            return replace(NOBODY_SAYS, rack=self._rack())
        today = datetime.fromtimestamp(now_s, UTC).astimezone(ZoneInfo(calendar.zone)).date()
        closes_s = opening_on(calendar, today)[1] if is_open_on(calendar, today) else None
        return Around(
            closes_s=closes_s,
            clamps=self._shop.clamps,
            labels=self._labels,
            clamp_sets=self._shop.clamp_sets,
            rack=self._rack(),
        )

    def air(self) -> None:
        """Nobody reads a thermometer for it."""

    def clamps_elsewhere(self) -> tuple[ClampSet, ...]:
        """Clamps on joints of other batches that are under way in this shop."""
        if self._file is None:
            return ()
        from shopstep.storage.other_sessions import running_beside

        others = running_beside(self._file, self._shop.name)
        return tuple(
            ClampSet(hold.amount, hold.reach)
            for state, plan in others
            for hold in clamps_on(state, plan)
        )
