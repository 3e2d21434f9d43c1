"""What every screen knows about a gloved hand: a tap that bounces is no second tap.

Imports nothing of the project. Time comes in as a function that gives monotonic seconds.
"""

from __future__ import annotations

from collections.abc import Callable

BOUNCE_S = 0.35
"""Activations this soon after something new came up are a bouncing glove, not an answer to it."""


class Glove:
    """Knows since when what stands under the finger has stood there."""

    def __init__(self, monotonic: Callable[[], float]) -> None:
        self._monotonic = monotonic
        self._shown_at = float("-inf")

    def is_bounce(self) -> bool:
        """Whether what is shown has only just come up."""
        return self.is_shown_for_less(BOUNCE_S)

    def is_shown_for_less(self, seconds: float) -> bool:
        """Whether what is shown came up less than ``seconds`` ago."""
        return self._monotonic() - self._shown_at < seconds

    def mark_shown(self) -> None:
        """Something new stands under the finger from now on."""
        self._shown_at = self._monotonic()
