"""A page with the keys of a number: digits, the next set of keys, and the letters of its ways.

Imports the page and the keys.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from textual.binding import Binding, BindingType

from shopstep.tui.measure_keys import TURN_KEY, WHOLE
from shopstep.tui.screens.page import Page


def keypad_bindings(name: str, letters: str) -> list[BindingType]:
    """The typed keys of such a page; their ids begin with its name."""
    return [
        Binding("0", "number('0')", id=f"{name}.number_0"),
        Binding("full_stop", "letter('.')", id=f"{name}.point"),
        Binding("backspace,delete", "letter('del')", id=f"{name}.delete"),
        Binding("slash", "letter('/')", id=f"{name}.turn"),
        *[Binding(key, f"letter('{key}')", id=f"{name}.letter_{key}") for key in letters],
    ]


class KeypadPage(Page):
    """Whole numbers first; a key turns to the others."""

    _LETTERS: ClassVar[Mapping[str, str]] = {}
    """What a typed letter chooses."""
    keys = WHOLE
    """Which set of keys is in sight."""

    def _turn_keys(self, keys: str) -> None:
        """Another set of keys; the light stays on its button, or goes where it does no harm."""
        lit = self._buttons.focused_choice()
        self.keys = keys
        self.show()
        self._buttons.focus_on(lit if self._buttons.find(lit) else self.first_focus)

    def action_letter(self, key: str) -> None:
        """The letter of a way, the point, taking back, or the next set of keys."""
        if key == TURN_KEY:
            self._choose_by_key(key)
            return
        self._choose_if_shown(self._LETTERS.get(key, ""))

    def _choose_if_shown(self, choice: str) -> bool:
        """Whether it is in sight, and so chosen."""
        is_shown = self._buttons.find(choice) is not None
        if is_shown:
            self.choose(choice)
        return is_shown
