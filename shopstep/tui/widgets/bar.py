"""A bar across the whole screen that can be touched: a notice, or an alarm.

Imports the painting of this room.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.message import Message

from shopstep.tui.widgets.painting import Rows

if TYPE_CHECKING:
    from textual import events


class Bar(Rows):
    """A bar that can be tapped away."""

    class Tapped(Message):
        """Sent when the bar is touched."""

        def __init__(self, bar: Bar) -> None:
            super().__init__()
            self.bar = bar
            """The bar that was touched."""

    def on_click(self, event: events.Click) -> None:
        """A tap anywhere on the bar."""
        event.stop()
        self.post_message(self.Tapped(self))
