"""The app that puts offcuts on the rack: the offcut page on the terminal.

Imports the themed app and the page; started by ``run_offcuts``.
"""

from __future__ import annotations

import time
from collections.abc import Callable

from shopstep.tui.glove import Glove
from shopstep.tui.screens.offcut_page import OffcutPage, PutPiece
from shopstep.tui.themed_app import ThemedApp


class OffcutApp(ThemedApp):
    """One piece after the other, until the person leaves."""

    def __init__(
        self,
        unit: str,
        put: PutPiece,
        theme: str = "dark",
        *,
        monotonic: Callable[[], float] = time.monotonic,
    ) -> None:
        super().__init__(theme)
        self._page = OffcutPage(Glove(monotonic), unit, put)

    def on_mount(self) -> None:
        """The page lies over an empty screen; with it the app goes."""
        self.push_screen(self._page, lambda _: self.exit(0))
