"""The start app: puts the start screen on the terminal.

Imports the themed app and the flow of its pages; started by ``run_start``.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import TYPE_CHECKING

from shopstep.tui.door import Door
from shopstep.tui.glove import Glove
from shopstep.tui.hand import new_command_id
from shopstep.tui.screens.page import Page
from shopstep.tui.start_flow import StartFlow
from shopstep.tui.themed_app import ThemedApp

if TYPE_CHECKING:
    from textual.screen import Screen

TICK_S = 5.0


class StartApp(ThemedApp):
    """One way to the bench; the door then holds the session that was opened, if any."""

    def __init__(
        self,
        door: Door,
        theme: str = "dark",
        notice: str = "",
        *,
        monotonic: Callable[[], float] = time.monotonic,
        new_round: Callable[[], str] = new_command_id,
    ) -> None:
        super().__init__(theme)
        self._door = door
        self._minute = door.now_s() // 60
        self._flow = StartFlow(self, door, Glove(monotonic), new_round, notice)

    def get_default_screen(self) -> Screen[str]:
        """The first page; there is no other screen under it."""
        return self._flow.home()

    def on_mount(self) -> None:
        """The clock in the head line goes on."""
        self.set_interval(TICK_S, self.tick)

    def tick(self) -> None:
        """Each minute the page in sight is shown anew."""
        minute = self._door.now_s() // 60
        if minute != self._minute and isinstance(self.screen, Page):
            self._minute = minute
            self.screen.show()
