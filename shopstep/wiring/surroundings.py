"""The shop around a session: its hours and clamps, as the session was planned with them."""

from __future__ import annotations

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from shopstep.model.plan import Shop
from shopstep.sequence.hours import check_calendar
from shopstep.sequence.openings import is_open_on, opening_on
from shopstep.session.around import NOBODY_SAYS, Around


class ShopAround:
    """Hours and clamps of one shop. Nobody reads a thermometer or a rack for it."""

    def __init__(self, shop: Shop, labels: tuple[tuple[str, str], ...] = ()) -> None:
        self._shop = shop
        told = (name.rpartition(".") for name, _ in labels)
        self._labels = frozenset(supply for supply, _, what in told if what == "open")

    def look(self, now_s: int) -> Around:
        """Closing time of the day, where the shop is open that day, and the clamps."""
        calendar = self._shop.calendar
        if check_calendar(calendar):
            return NOBODY_SAYS
        today = datetime.fromtimestamp(now_s, UTC).astimezone(ZoneInfo(calendar.zone)).date()
        closes_s = opening_on(calendar, today)[1] if is_open_on(calendar, today) else None
        return Around(closes_s=closes_s, clamps=self._shop.clamps, labels=self._labels)
