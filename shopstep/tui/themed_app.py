"""What every app of this room wears: a theme by roles, and no colour at all under NO_COLOR.

Imports Textual and the themes.
"""

from __future__ import annotations

import os
from typing import ClassVar

from textual import events
from textual.app import App
from textual.binding import Binding, BindingType
from textual.theme import Theme

from shopstep.tui.key_map import KeyMap
from shopstep.tui.theme import PALETTES, Dress, Palette, make_dress

INTERRUPTED = 130
"""Exit code after Ctrl-C: 128 and the number of SIGINT, as shells give it."""


class ThemedApp(App[int]):
    """An app in one of our themes; Ctrl-C leaves it."""

    ENABLE_COMMAND_PALETTE = False
    ALLOW_SELECT = False
    TITLE = "shopstep"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+c", "interrupt", show=False, priority=True, id="app.leave"),
    ]

    def __init__(self, theme: str, key_map: KeyMap | None = None) -> None:
        self.key_map = key_map or KeyMap()
        """Keys as the keeper has them."""
        self._is_coloured = "NO_COLOR" not in os.environ
        # With colours passed through as they are, Textual drops all of them under NO_COLOR;
        # otherwise it would only turn them grey.
        super().__init__(ansi_color=None if self._is_coloured else True)
        for name, palette in PALETTES.items():
            self.register_theme(_textual_theme(name, palette))
        self.dress: Dress = {}
        """How every role looks just now."""
        self.wear(theme)

    async def on_event(self, event: events.Event) -> None:
        """Every key as the table names it, before any screen sees it."""
        if isinstance(event, events.Key) and not event.is_forwarded:
            meant = self.key_map.translate(event.key)
            if meant != event.key:
                event = events.Key(meant, None)
        await super().on_event(event)

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

    def action_interrupt(self) -> None:
        """Leave by Ctrl-C; the shell hears of it."""
        self.exit(INTERRUPTED, return_code=INTERRUPTED)


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
