"""What happened at the tablet's door, in lines without secrets; many alike become one.

Imports the standard library only.
"""

from __future__ import annotations

from collections.abc import Callable

from shopstep.words import say

QUIET_S = 10.0
"""The same thing is told again after this; what happened in between is counted."""
MOST_KINDS = 200
RING = "\a"
_MOST_LETTERS = 200


class Happenings:
    """Writes a line for what happens, and a count for what happens over and over."""

    def __init__(
        self,
        write: Callable[[str], None],
        monotonic: Callable[[], float],
        clock: Callable[[], str],
    ) -> None:
        self._write = write
        self._monotonic = monotonic
        self._clock = clock
        self._told: dict[str, tuple[float, int]] = {}

    def tell(self, what: str, address: str = "") -> None:
        """Something happened; never hand in a code, a cookie, or words that a stranger sent."""
        line = f"{what} ({address})" if address else what
        line = "".join(c if c.isprintable() else "?" for c in line)[:_MOST_LETTERS]
        now = self._monotonic()
        last, hidden = self._told.get(line, (-QUIET_S, 0))
        if now - last < QUIET_S:
            self._told[line] = (last, hidden + 1)
            return
        if len(self._told) >= MOST_KINDS:
            self._told.clear()
        self._told[line] = (now, 0)
        more = say(", and {hidden} times before", hidden=hidden) if hidden else ""
        self._write(f"{self._clock()} {line}{more}")

    def ring(self, what: str, with_bell: bool = True) -> None:
        """Something wants to be heard here: a line, and the terminal's bell."""
        self._write(f"{RING if with_bell else ''}{self._clock()} {what}")
