"""The measuring app: puts the measuring page on the terminal.

Imports the themed app and the page; started by ``run_measuring``.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence

from shopstep.present.readings import MeasureCard
from shopstep.tui.glove import Glove
from shopstep.tui.hand import new_command_id
from shopstep.tui.screens.measure_page import KeepReading, MeasurePage
from shopstep.tui.themed_app import ThemedApp


class MeasureApp(ThemedApp):
    """One round of measuring on one terminal."""

    def __init__(
        self,
        cards: Sequence[MeasureCard],
        keep: KeepReading,
        theme: str = "dark",
        *,
        monotonic: Callable[[], float] = time.monotonic,
        new_round: Callable[[], str] = new_command_id,
    ) -> None:
        super().__init__(theme)
        self._page = MeasurePage(Glove(monotonic), cards, keep, new_round, self.action_leave)

    def on_mount(self) -> None:
        """The page lies over an empty screen and is never closed before the app."""
        self.push_screen(self._page)
