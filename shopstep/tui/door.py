"""What the start screen needs; the real door stands in ``wiring``, tests bring one of their own.

Imports the shapes of ``desk``, ``present``, ``model`` and ``units`` only.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from shopstep.desk import Wish
from shopstep.model.plan import Plan
from shopstep.present.air import Air
from shopstep.present.readings import MeasureCard
from shopstep.present.shelf_words import KeptSession, NotOpened, ShelfBuild
from shopstep.units import Length


class Door(Protocol):
    """All that happens before a session."""

    def now_s(self) -> int:
        """Seconds since 1970 UTC."""
        ...

    def zone(self) -> str:
        """IANA name of the local time zone."""
        ...

    def sessions(self) -> tuple[KeptSession, ...]:
        """The newest sessions, the newest first."""
        ...

    def shops(self) -> tuple[str, ...]:
        """Names of the keeper's shops, the usual one first."""
        ...

    def shelf(self, shop: str | None) -> tuple[ShelfBuild, ...] | str:
        """The builds, with what a shop has measured; a sentence where it cannot be read."""
        ...

    def picture(
        self, build: str, shop: str | None, columns: int, rows: int
    ) -> tuple[str, ...] | None:
        """What a build looks like, as lines; () for no picture, None while it is drawn."""
        ...

    def cards(self, build: str, shop: str | None) -> tuple[MeasureCard, ...] | str:
        """What a build asks to have measured; a sentence where it cannot be read."""
        ...

    def keep(self, build: str, shop: str | None, name: str, value: Length, round_: str) -> str:
        """Keep a reading; on disk on return. The words for what is kept now."""
        ...

    def last_air(self, shop: str | None) -> Air:
        """The air of the newest session, else of the settings."""
        ...

    def plan(self, wish: Wish) -> Plan | tuple[str, ...]:
        """The plan, or why there is none and what would be right."""
        ...

    def begin(self, wish: Wish) -> str | None:
        """Make the session of a wish and keep it open; a sentence where that failed."""
        ...

    def open(self, name: str, follow: str = "") -> NotOpened | None:
        """Open a session and keep it open.

        ``follow``: of a build file that has changed, ``keep`` the session's plan or ``move``.
        """
        ...


def first_open(sessions: Sequence[KeptSession]) -> KeptSession | None:
    """The newest session in which there is something left to do."""
    return next((kept for kept in sessions if kept.look.is_open), None)
