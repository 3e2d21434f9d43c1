"""The bench app: puts the bench screen on the terminal and wears a theme.

Imports Textual, the hand and the screens; started by ``run_bench``.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar

from textual.app import App
from textual.binding import Binding, BindingType
from textual.theme import Theme

from shopstep.tui.bench import Bench
from shopstep.tui.hand import Hand, new_command_id
from shopstep.tui.screens.bench_screen import BenchScreen
from shopstep.tui.theme import PALETTES, Dress, Palette, make_dress

if TYPE_CHECKING:
    from textual.screen import Screen


class BenchApp(App[int]):
    """One bench on one terminal."""

    ENABLE_COMMAND_PALETTE = False
    ALLOW_SELECT = False
    TITLE = "shopstep"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+c", "leave", show=False, priority=True, id="app.leave"),
    ]

    def __init__(
        self,
        bench: Bench,
        theme: str = "dark",
        *,
        monotonic: Callable[[], float] = time.monotonic,
        new_id: Callable[[], str] = new_command_id,
    ) -> None:
        self._is_coloured = "NO_COLOR" not in os.environ
        # With colours passed through as they are, Textual drops all of them under NO_COLOR;
        # otherwise it would only turn them grey.
        super().__init__(ansi_color=None if self._is_coloured else True)
        for name, palette in PALETTES.items():
            self.register_theme(_textual_theme(name, palette))
        self.hand = Hand(bench, monotonic, new_id)
        self.dress: Dress = {}
        """How every role looks just now."""
        self.wear(theme)

    def get_default_screen(self) -> Screen[None]:
        """The bench; there is no other screen under it."""
        return BenchScreen(self.hand)

    def wear(self, theme: str) -> None:
        """Put on a theme by name."""
        self.dress = make_dress(theme, is_coloured=self._is_coloured)
        self.theme = theme

    def wear_next(self) -> None:
        """Put on the theme after this one."""
        names = list(PALETTES)
        self.wear(names[(names.index(self.theme) + 1) % len(names)])
        self.screen.refresh()

    def action_leave(self) -> None:
        """Leave; all is on disk."""
        self.exit(0)


def _textual_theme(name: str, palette: Palette) -> Theme:
    return Theme(
        name=name,
        primary=palette.lead,
        foreground=palette.ink,
        background=palette.ground,
        surface=palette.ground,
        panel=palette.block,
        dark=palette.is_dark,
    )
