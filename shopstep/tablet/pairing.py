"""The code that pairs a tablet: it works once, for two minutes, and five tries.

Pure: the time is an argument (monotonic seconds, so that a clock that leaps lengthens nothing).
"""

from __future__ import annotations

import hmac
import secrets
from collections.abc import Callable
from enum import Enum

LASTS_S = 120
TRIES = 5
DIGITS = 8


class Verdict(Enum):
    """What came of a code that was tried."""

    RIGHT = "right"
    WRONG = "wrong"
    GONE = "gone"
    """No code is open: used, too old, or tried too often."""


def make_code() -> str:
    """A code of eight digits, each as likely as any other."""
    return f"{secrets.randbelow(10**DIGITS):0{DIGITS}d}"


class Pairing:
    """At most one open code at a time; a new one takes the place of the old."""

    def __init__(self, make: Callable[[], str] = make_code) -> None:
        self._make = make
        self._code = ""
        self._ends = 0.0
        self.tries_left = 0
        """Tries that the open code still bears."""

    def open(self, now: float) -> str:
        """A new code, from now on."""
        self._code, self._ends, self.tries_left = self._make(), now + LASTS_S, TRIES
        return self._code

    def is_open(self, now: float) -> bool:
        """Whether there is a code that would be taken."""
        return bool(self._code) and now < self._ends and self.tries_left > 0

    def try_code(self, typed: str, now: float) -> Verdict:
        """Try a code; whatever comes of it uses up a try, and the right one the code."""
        if not self.is_open(now):
            self._code = ""
            return Verdict.GONE
        self.tries_left -= 1
        if not hmac.compare_digest(typed.encode(), self._code.encode()):
            return Verdict.WRONG
        self._code = ""
        return Verdict.RIGHT
