"""What draws for the screen; the real one is wired, tests bring a fake.

Imports the shapes of ``model`` only.
"""

from __future__ import annotations

from typing import Protocol

from shopstep.model.plan import Plan


class Pictures(Protocol):
    """Draws steps beside the work."""

    def cells(self, plan: Plan, kind_id: str, columns: int, rows: int) -> tuple[str, ...] | None:
        """The picture of a step kind as lines; () for none, or for one that cannot be drawn.

        None while it is drawn: the call asks for it. Never waits, never fails.
        """
        ...

    def stop(self) -> None:
        """Give up what is drawn now; nothing is left running."""
        ...
